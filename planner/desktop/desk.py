"""What every room is given: the open season, the look, the units, the time, and the way to other rooms."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, QTimer, Signal

from planner.desktop.look.colours import LIGHT, Colours
from planner.desktop.room import RoomName
from planner.desktop.session import SeasonSession
from planner.desktop.settings import Settings
from planner.desktop.units import Units
from planner.domain.disruption import Disruption
from planner.domain.finding import Subject

_AFTER_MS = 20
"""Between a room's being seen and what is done in it: time for the window to answer."""


def system_now() -> dt.datetime:
    """Return the present moment, in UTC."""
    return dt.datetime.now(dt.UTC)


class Desk(QObject):
    """The coordinator's desk: made once for a window and handed to all that stands in it."""

    look_changed = Signal()
    units_changed = Signal()
    went = Signal(object, object)
    """A RoomName and the Subject to show there."""
    planning_wanted = Signal()
    """The whole season is to be planned; the Board does it."""
    telling_wanted = Signal(object)
    """Codes of those whose calendars and messages are to be written; the Paper room does it."""
    ways_wanted = Signal(object)
    """The Disruption whose ways on are wanted; the Today room finds them."""
    said = Signal(str)
    """Something short for the status line."""

    def __init__(
        self, settings: Settings, now: Callable[[], dt.datetime] = system_now, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.settings = settings
        self.now = now
        self.colours: Colours = LIGHT
        self.units = Units(settings.value("units", Units.METRIC.value))
        self.session = SeasonSession(lambda found: now().astimezone(found.season.tzinfo).date(), self)

    def today(self) -> dt.date:
        """Return today's date in the season's zone."""
        return self.now().astimezone(self.session.snapshot.season.tzinfo).date()

    def show_in(self, colours: Colours) -> None:
        """Change to another palette."""
        self.colours = colours
        self.look_changed.emit()

    def count_in(self, units: Units) -> None:
        """Change to other units, and remember them."""
        self.units = units
        self.settings.keep("units", units.value)
        self.units_changed.emit()

    def go(self, room: RoomName, subject: Subject | None = None) -> None:
        """Go to a room and show something there."""
        self.went.emit(room, subject or Subject())

    def plan(self) -> None:
        """Let the Board, which has been gone to, plan the whole season."""
        self.planning_wanted.emit()

    def tell(self, volunteers: Sequence[str]) -> None:
        """Go to the Paper room, which writes the calendars and messages of some."""
        self.go(RoomName.PAPER)
        self.telling_wanted.emit(tuple(volunteers))

    def find_ways(self, disruption: Disruption) -> None:
        """Go to the Today room, which finds the ways on after something broke; nothing is changed by it."""
        self.go(RoomName.TODAY)
        # The room is seen first: both at once would keep the window from its events.
        QTimer.singleShot(_AFTER_MS, self, lambda: self.ways_wanted.emit(disruption))

    def say(self, text: str) -> None:
        """Say something short in the status line."""
        self.said.emit(text)
