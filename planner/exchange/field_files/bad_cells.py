"""Cells that could not be taken as they stand: each by its place, what stood there, what was expected, what to do."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.errors import Fault

_SHOWN = 60
"""Letters of a cell that are shown in a line; all of them are kept with the sheet or the record."""


@dataclass(frozen=True, slots=True)
class BadCell:
    """One cell of a file that came back, or a whole row where no single cell is at fault."""

    source: str
    """The file, as the user named it."""
    sheet: str
    """Of a workbook; empty outside."""
    cell: str
    """Such as B7; in a text 'line 7, column grazed'; 'row 7' where the whole row is meant."""
    subject: str
    """What it is about: 'R01 visit 1 point 3'; empty where that is not known."""
    stood: str
    """What stood there, whole."""
    expected: str
    todo: str

    @property
    def where(self) -> str:
        """The place inside the file."""
        return f"sheet '{self.sheet}', {self.cell}" if self.sheet else self.cell

    @property
    def shown(self) -> str:
        """What stood there, of a length that can be read."""
        text = self.stood if len(self.stood) <= _SHOWN else f"{self.stood[: _SHOWN - 1]}…"
        return repr(text) if text else "nothing"

    def __str__(self) -> str:
        """One line: place, subject, expectation, finding, way out."""
        about = f" ({self.subject})" if self.subject else ""
        return f"{self.source}, {self.where}{about}: expected {self.expected}, found {self.shown}. {self.todo}"

    @property
    def fault(self) -> Fault:
        """The same as a fault of the file."""
        return Fault(self.source, self.where, self.expected, self.shown, self.todo)


class Unclear(Exception):  # noqa: N818 - it names what is raised, and never leaves the readers
    """A cell cannot be read as what its column holds."""

    def __init__(self, expected: str, todo: str) -> None:
        super().__init__(expected, todo)
        self.expected = expected
        self.todo = todo
