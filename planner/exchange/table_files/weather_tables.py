"""The tables of the weather: records of past evenings, and the coordinator's own chances of a lost one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from planner.domain.lost_evenings import HALF_MONTHS, half_month_name
from planner.exchange.faults import FaultList
from planner.exchange.reads import ChanceRow, ChancesRead, EveningRow, EveningsRead
from planner.exchange.table_files.cells import Cells
from planner.exchange.table_files.layouts import Layout
from planner.exchange.table_files.tables import Row, read_table

EVENINGS = Layout("a table of past evenings", ("date", "lost"), ("note",))
CHANCES = Layout("a table of chances of a lost evening", ("half_month", "lost_percent"), ("persistence_percent",))

_LOST = {"yes": True, "no": False}
_HALF_MONTHS = {half_month_name(number).casefold(): number for number in range(HALF_MONTHS)}


def read_evenings(path: Path) -> EveningsRead:
    """Read a table of past evenings: date, lost (yes or no), and if wanted a note, which is not kept.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = evenings_of(read_table(path, EVENINGS, faults), faults)
    faults.raise_any()
    return read


def evenings_of(rows: Sequence[Row], faults: FaultList) -> EveningsRead:
    """Return the evenings of some rows; what is wrong is noted among the faults."""
    evenings = [evening for row in rows if (evening := _evening(Cells(row, faults)))]
    return EveningsRead(faults.source, tuple(evenings))


def read_chances(path: Path) -> ChancesRead:
    """Read a table of chances: half_month, lost_percent, persistence_percent.

    A half-month is 'early May', up to day 15, or 'late May'. The persistence is one figure for the whole season: it
    may stand in any row, or in all of them.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = chances_of(read_table(path, CHANCES, faults), faults)
    faults.raise_any()
    return read


def chances_of(rows: Sequence[Row], faults: FaultList) -> ChancesRead:
    """Return the chances of some rows; what is wrong is noted among the faults."""
    chances = [chance for row in rows if (chance := _chance(Cells(row, faults)))]
    return ChancesRead(faults.source, tuple(chances))


def _evening(cells: Cells) -> EveningRow | None:
    date = cells.date("date")
    lost = _LOST.get(cells.text("lost").casefold())
    if lost is None:
        cells.note("lost", "yes or no", "Write yes where weather took the evening, no where it did not.")
    if date is None or lost is None:
        return None
    return EveningRow(cells.origin, date, lost)


def _chance(cells: Cells) -> ChanceRow | None:
    number = _HALF_MONTHS.get(cells.text("half_month").casefold())
    if number is None:
        cells.note("half_month", "a half-month such as 'early May' or 'late May'", "Early ends with day 15.")
    chance = cells.percent("lost_percent")
    persistence = cells.percent("persistence_percent") if cells.text("persistence_percent") else None
    if number is None or chance is None or not cells.sound:
        return None
    return ChanceRow(cells.origin, number, chance, persistence)
