"""Turns the cells of one row into values, and notes what cannot be turned."""

from __future__ import annotations

import datetime as dt
import math
import re

from planner.domain.calendar import DateRange
from planner.domain.geo import Place
from planner.exchange.faults import FaultList
from planner.exchange.formula_text import unguarded
from planner.exchange.reads import Origin
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.tables import Row

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WHOLE = re.compile(r"[0-9]{1,9}")
_NUMBER = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,9})?")


def squeezed(text: str) -> str:
    """Return text trimmed, with single spaces."""
    return " ".join(text.split())


class Cells:
    """The cells of one row. Each reader returns None after noting a fault; :attr:`sound` tells if there was one."""

    def __init__(self, row: Row, faults: FaultList, places: Places | None = None) -> None:
        self._row = row
        self._faults = faults
        self._places = places or Places()
        self._before = len(faults)

    @property
    def sound(self) -> bool:
        """Whether nothing was wrong with the row so far."""
        return len(self._faults) == self._before

    @property
    def origin(self) -> Origin:
        """Where the row stands."""
        return Origin(self._faults.source, self._row.where())

    def has(self, column: str) -> bool:
        """Whether the table has that column."""
        return column in self._row.cells

    def text(self, column: str) -> str:
        """Return the cell with single spaces, without the apostrophe that keeps spreadsheets from calculating it."""
        return unguarded(squeezed(self._row.cells.get(column, "")))

    def note(self, column: str, expected: str, todo: str, found: str = "") -> None:
        """Note a fault of one cell."""
        shown = self.text(column)
        self._faults.add(self._row.where(column), expected, found or (repr(shown[:60]) if shown else "nothing"), todo)

    def needed(self, column: str, what: str) -> str | None:
        """Return text that must be there."""
        text = self.text(column)
        if not text:
            self.note(column, what, "Fill in the cell.")
        return text or None

    def words(self, column: str) -> frozenset[str]:
        """Return words parted by semicolons, in small letters, so that 'GPS' and 'gps' are one."""
        return frozenset(word for part in self.text(column).split(";") if (word := part.strip().casefold()))

    def whole(self, column: str, least: int, most: int, default: int | None = None) -> int | None:
        """Return a whole number between two bounds; ``default`` for an empty cell where there is one."""
        text = self.text(column)
        if not text and default is not None:
            return default
        if _WHOLE.fullmatch(text) and least <= int(text) <= most:
            return int(text)
        self.note(column, f"a whole number from {least} to {most}", "Correct the cell.")
        return None

    def minutes(self, column: str, default: float) -> float | None:
        """Return minutes above 0; ``default`` for an empty cell."""
        text = self.text(column)
        if not text:
            return default
        value = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else math.nan
        if value > 0:
            return value
        self.note(column, "minutes above 0", "Write a number alone, such as 45.")
        return None

    def percent(self, column: str) -> float | None:
        """Return a percentage from 0 to 100 as a share from 0 to 1."""
        text = self.text(column).removesuffix("%").rstrip()
        value = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else math.nan
        if 0 <= value <= 100:
            return value / 100
        self.note(column, "a percentage from 0 to 100", "Write a number alone, such as 35.")
        return None

    def place(self) -> Place | None:
        """Return the place of the row, from whichever columns give it."""
        found = self._places.of(self._row.place, self._row.cells)
        if isinstance(found, Place):
            return found
        for refusal in found:
            self.note(refusal.column, refusal.error.expected, refusal.todo, refusal.error.found)
        return None

    def date(self, column: str) -> dt.date | None:
        """Return an ISO date; any other order of day and month could be read in two ways."""
        text = self.text(column)
        try:
            if _DATE.fullmatch(text):
                return dt.date.fromisoformat(text)
        except ValueError:
            self.note(column, "a date that the calendar has", "Correct the day or the month.")
            return None
        self.note(column, "a date as YYYY-MM-DD, such as 2026-06-03", "Write year, month and day in that order.")
        return None

    def dates(self, first_column: str, last_column: str) -> DateRange | None:
        """Return the range between two dates."""
        first, last = self.date(first_column), self.date(last_column)
        if first is None or last is None:
            return None
        if last < first:
            self.note(last_column, f"a date on or after {first}", "Swap the two dates.", f"{last}: reversed dates")
            return None
        return DateRange(first, last)
