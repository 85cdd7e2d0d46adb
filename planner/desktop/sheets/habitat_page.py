"""The habitat page: the routes with what came in, and the grid of the one chosen."""

from __future__ import annotations

from planner.desktop.desk import Desk
from planner.desktop.sheets.page import SheetsPage
from planner.domain.finding import Subject


class HabitatPage(SheetsPage):
    """Sheets route by route."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)

    def takes(self, subject: Subject) -> bool:
        """A route or a point of one is shown here."""
        return bool(subject.route) and subject.date is None
