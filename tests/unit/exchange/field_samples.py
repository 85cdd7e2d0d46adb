"""An invented season whose sheets are filled in and come back, and hands that fill in a workbook."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.field.visit_record import RecordKey, VisitRecord
from planner.domain.light import Span
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.exchange.field_files.bad_cells import BadCell
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.field_tables import read_tables
from planner.exchange.field_files.form import FieldForm
from planner.exchange.field_files.parts import record_of, sheet_of
from planner.exchange.field_files.reading_back import FileSaid, file_said
from planner.exchange.field_files.workbook_out import workbook_bytes
from planner.usecases.field_files.joining import together
from planner.usecases.field_files.rows import FieldBook, fill_in_of
from tests.unit.exchange.samples import route, season, volunteer

IDENTITY = "0123456789abcdef0123456789abcdef"
EVENING = dt.date(2026, 5, 20)
SECOND = dt.date(2026, 6, 10)
SEASON = season(
    routes=(route("R01", count=4), route("R02", 50.8, count=3)),
    volunteers=(volunteer(), replace(volunteer("V02"), name="Ben Sample", telephone="07700 900002")),
)
PLAN = Plan(
    (
        PlannedVisit(VisitKey("R01", 1), "V01", EVENING, "dusk", second="V02"),
        PlannedVisit(VisitKey("R01", 2), "V01", SECOND, "dusk"),
        PlannedVisit(VisitKey("R02", 1), "V02", EVENING + dt.timedelta(days=2), "dusk"),
    )
)


def dusk(_route: str, date: dt.date) -> Span:
    """A light window like that of an English evening in May: 20:40 to 22:10 by the clock."""
    opens = dt.datetime.combine(date, dt.time(19, 40), tzinfo=dt.UTC)
    return Span(opens, opens + dt.timedelta(minutes=90))


def known(season: Season = SEASON, plan: Plan = PLAN) -> FieldSeason:
    """The season as the readers need it."""
    return FieldSeason(season, plan, FieldForm.of(season, IDENTITY), dusk)


def book(
    season: Season = SEASON,
    plan: Plan = PLAN,
    sheets: Sequence[HabitatSheet] = (),
    records: Sequence[VisitRecord] = (),
) -> FieldBook:
    """What fill-in files are made of."""
    return FieldBook(season, plan, tuple(sheets), tuple(records), FieldForm.of(season, IDENTITY))


def filled_in(path: Path, of: FieldBook | None = None, who: str = "V01") -> Path:
    """Write the fill-in workbook of a volunteer as it goes out."""
    path.write_bytes(workbook_bytes(fill_in_of(of or book(), who)))
    return path


def back(path: Path, of: FieldSeason | None = None) -> FileSaid:
    """Read a file that came back."""
    return file_said(path, read_tables(path), of or known(), {})


def sheets_of(said: FileSaid, of: FieldSeason | None = None) -> dict[SheetKey, HabitatSheet]:
    """The sheets that a file makes by itself."""
    sides = (of or known()).form.sides
    joint, _ = together(said.said, SEASON.tzinfo)
    return {key: sheet_of(one, sides) for key, one in joint.items() if isinstance(key, SheetKey)}


def records_of(said: FileSaid) -> dict[RecordKey, VisitRecord]:
    """The records that a file makes by itself."""
    joint, _ = together(said.said, SEASON.tzinfo)
    return {key: record_of(one) for key, one in joint.items() if isinstance(key, RecordKey)}


class Typist:
    """Writes into a fill-in workbook as somebody at a spreadsheet does."""

    def __init__(self, path: Path, sheet: str = "Habitat") -> None:
        self.path = path
        self.book = openpyxl.load_workbook(path)
        self.turn_to(sheet)

    def turn_to(self, sheet: str) -> None:
        """Go to another sheet of the workbook."""
        found = self.book[sheet]
        assert isinstance(found, Worksheet)
        self.sheet = found
        self.keys = [str(cell.value) for cell in found[1]]

    def column(self, key: str) -> int:
        """Number of a column, by its hidden key."""
        return self.keys.index(key) + 1

    def at(self, row: int, key: str) -> str:
        """What a cell is called."""
        return self.sheet.cell(row, self.column(key)).coordinate

    def type(self, row: int, values: Mapping[str, object]) -> None:
        """Write into the cells of a row, by the hidden keys of their columns."""
        for key, value in values.items():
            self.sheet.cell(row, self.column(key)).value = value  # type: ignore[assignment]  # whatever people type

    def save(self) -> Path:
        """Save the workbook."""
        self.book.save(self.path)
        return self.path


WHOLE = {"class TH": 60, "class SH": 40, "grazed": 20, "livestock": 0}
"""A sheet without a fault."""
FIRST_ROW = 4
"""Of the rows below the headings."""


def cells(bad: Sequence[BadCell]) -> list[tuple[str, str, str]]:
    """Each bad cell by its sheet, its name and what stood there."""
    return [(one.sheet, one.cell, one.stood) for one in bad]
