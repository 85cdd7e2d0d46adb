"""Which class a room is, and what it is called; rooms are loaded when they are first needed."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from PySide6.QtCore import QCoreApplication

from planner.desktop.desk import Desk
from planner.desktop.room import Room, RoomName

_CLASSES: Mapping[RoomName, tuple[str, str]] = {
    RoomName.SEASON: ("planner.desktop.season.room", "SeasonRoom"),
    RoomName.ROUTES: ("planner.desktop.routes.room", "RoutesRoom"),
    RoomName.PEOPLE: ("planner.desktop.people.room", "PeopleRoom"),
    RoomName.BOARD: ("planner.desktop.board.room", "BoardRoom"),
    RoomName.OUTING: ("planner.desktop.outing.room", "OutingRoom"),
    RoomName.TODAY: ("planner.desktop.today.room", "TodayRoom"),
    RoomName.PAPER: ("planner.desktop.paper.room", "PaperRoom"),
    RoomName.SHEETS: ("planner.desktop.sheets.room", "SheetsRoom"),
    RoomName.REPORTS: ("planner.desktop.reports.room", "ReportsRoom"),
}


_LOADED: set[RoomName] = set()
"""Rooms whose code is there to the last line."""


def load_room(name: RoomName) -> None:
    """Load what a room needs, without making it; may be done on any thread."""
    import_module(_CLASSES[name][0])
    _LOADED.add(name)


def is_loaded(name: RoomName) -> bool:
    """Whether a room can be made without loading anything: that may take half a second."""
    return name in _LOADED


def make_room(name: RoomName, desk: Desk) -> Room:
    """Return a new room of that name."""
    load_room(name)
    module, class_name = _CLASSES[name]
    room = getattr(import_module(module), class_name)(desk)
    if not isinstance(room, Room):
        raise TypeError(f"{class_name} is not a room")
    return room


def room_title(name: RoomName) -> str:
    """Return what a room is called on the screen."""
    return {
        RoomName.SEASON: QCoreApplication.translate("rooms", "Season"),
        RoomName.ROUTES: QCoreApplication.translate("rooms", "Routes"),
        RoomName.PEOPLE: QCoreApplication.translate("rooms", "People"),
        RoomName.BOARD: QCoreApplication.translate("rooms", "Board"),
        RoomName.OUTING: QCoreApplication.translate("rooms", "Outing"),
        RoomName.TODAY: QCoreApplication.translate("rooms", "Today"),
        RoomName.PAPER: QCoreApplication.translate("rooms", "Paper"),
        RoomName.SHEETS: QCoreApplication.translate("rooms", "Sheets"),
        RoomName.REPORTS: QCoreApplication.translate("rooms", "Reports"),
    }[name]
