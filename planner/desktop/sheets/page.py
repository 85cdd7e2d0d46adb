"""A page of the Sheets room, and the list of those there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QT_TRANSLATE_NOOP
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from planner.desktop.sheets.words import tr
from planner.domain.finding import Subject

if TYPE_CHECKING:
    from planner.desktop.desk import Desk


class SheetsPage(QWidget):
    """One kind of what comes back, with all that is done to it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk

    def hasHeightForWidth(self) -> bool:  # Qt's name
        """A page takes the height it is given: a stack would make the height it would like the least of the window."""
        return False

    def takes(self, subject: Subject) -> bool:
        """Return whether this page is where that subject is shown: all of a route, where nothing else is said."""
        return bool(subject.route)

    def show_subject(self, subject: Subject) -> None:
        """Show what a finding, a search or another room speaks of."""

    @property
    def stands_on(self) -> str:
        """The point that dropped pictures would be attached to, in words; empty where there is none."""
        return ""

    def take_pictures(self, paths: Sequence[Path]) -> None:
        """Take pictures that were dropped on the room; a page that has no use for them says so."""
        self.desk.say(tr("Photos belong to a point: drop them on the Habitat page (%1).", len(paths)))

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here, for find-anything."""
        return ()


@dataclass(frozen=True, slots=True)
class PageKind:
    """Where a page is found; it is made when it is first turned to."""

    title: str
    """Its name on the tab, before translation."""
    module: str
    class_name: str

    def load(self) -> None:
        """Load what the page needs, without making it; may be done on any thread."""
        import_module(self.module)

    def make(self, desk: Desk) -> SheetsPage:
        """Return a new page of this kind."""
        page = getattr(import_module(self.module), self.class_name)(desk)
        if not isinstance(page, SheetsPage):
            raise TypeError(f"{self.class_name} is not a page")
        return page


PAGES: tuple[PageKind, ...] = (
    PageKind(str(QT_TRANSLATE_NOOP("sheets", "Habitat")), "planner.desktop.sheets.habitat_page", "HabitatPage"),
    PageKind(str(QT_TRANSLATE_NOOP("sheets", "Visits")), "planner.desktop.sheets.visits.page", "VisitsPage"),
    PageKind(str(QT_TRANSLATE_NOOP("sheets", "Drives")), "planner.desktop.sheets.drives.page", "DrivesPage"),
)
"""The pages from left to right; each is one line."""
