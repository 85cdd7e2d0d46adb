"""A room of the window: one part of the coordinator's work, with all that belongs to it on one screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from planner.domain.finding import Severity, Subject

if TYPE_CHECKING:
    from planner.desktop.desk import Desk


class RoomName(StrEnum):
    """The rooms, in the order in which they stand at the left."""

    SEASON = "season"
    ROUTES = "routes"
    PEOPLE = "people"
    BOARD = "board"
    OUTING = "outing"
    TODAY = "today"
    PAPER = "paper"
    SHEETS = "sheets"
    REPORTS = "reports"


@dataclass(frozen=True, slots=True)
class OpenFindings:
    """What is open in a room: how many, and the worst of them."""

    count: int
    worst: Severity


class Room(QWidget):
    """What every room has in common."""

    name: ClassVar[RoomName]
    open_changed = Signal()
    """What ``open_here`` returns has changed."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk

    def show_subject(self, subject: Subject) -> None:
        """Show what a finding, a search or another room speaks of; a room shows as much of it as it has."""

    def open_here(self) -> OpenFindings | None:
        """Return what is open here beside the findings of the checks; None where nothing is."""
        return None

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here, for find-anything; an action that is disabled says why in its tool tip."""
        return ()
