"""In which room a finding is mended."""

from __future__ import annotations

from planner.desktop.room import RoomName
from planner.domain.finding import Rule

_ROOMS = {
    "route": RoomName.ROUTES,
    "area": RoomName.ROUTES,
    "volunteer": RoomName.PEOPLE,
    "visit": RoomName.BOARD,
    "setup": RoomName.BOARD,
    "reserve": RoomName.BOARD,
    "day": RoomName.BOARD,
    "load": RoomName.BOARD,
    "sheet": RoomName.SHEETS,
    "photo": RoomName.SHEETS,
    "record": RoomName.SHEETS,
    "roads": RoomName.SEASON,
    "season": RoomName.SEASON,
    "protocol": RoomName.SEASON,
}
"""By what a rule's name begins with."""

_OWN = {Rule.SEASON_EMPTY: RoomName.ROUTES, Rule.ROADS_RECORDED: RoomName.SHEETS}
"""Rules that are mended elsewhere than their like."""


def room_of(rule: Rule) -> RoomName:
    """Return the room where what that rule asks for can be changed."""
    return _OWN.get(rule) or _ROOMS[rule.value.partition(".")[0]]
