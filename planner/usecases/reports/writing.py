"""Write the figures of a season as files: tables with their dictionary, a map, and the page for the board."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.reports.season_report import SeasonReport
from planner.domain.reports.tables import Table
from planner.exchange import (
    PACKAGE_FILE,
    dictionary_table,
    is_package,
    package_bytes,
    survey_map_bytes,
    table_bytes,
    write_whole,
)
from planner.printing import Paper, is_own_pdf, write_board_page
from planner.store import SeasonFile
from planner.usecases.exporting import OthersStandThereError
from planner.usecases.reports.report_tables import report_tables
from planner.usecases.reports.season_report import season_report
from planner.usecases.season.opening import make_folder, whole_road_network
from planner.usecases.season.problem import roads_from_homes, season_problem
from planner.usecases.season.snapshot import Snapshot, snapshot

BOARD_PAGE = "board.pdf"
CARE_WORDS = (
    "points.geojson holds places of sensitive wildlife: pass it on only to those who must stand there. No file holds a"
    " home or a telephone number."
)


@dataclass(frozen=True, slots=True)
class ReportWish:
    """What is to be written."""

    names: bool = False
    """Whether hours name people; else they are known by their codes."""
    pdf_only: bool = False
    """The page for the board alone."""
    paper: Paper = Paper.A4


@dataclass(frozen=True, slots=True)
class WrittenFile:
    """One file, and what stands in it."""

    path: Path
    words: str
    rows: int | None
    """Of a table; None for the page and for what describes the tables."""
    personal: bool


@dataclass(frozen=True, slots=True)
class ReportWritten:
    """What writing came to."""

    files: tuple[WrittenFile, ...]
    report: SeasonReport
    notes: tuple[str, ...]
    """What a person should know of the files."""


def report_of(file: SeasonFile, today: dt.date | None = None) -> tuple[SeasonReport, Snapshot]:
    """Return the figures of a season file, and the file as it stands.

    Args:
        file: the season, which stays as it is.
        today: the day of the report; today in the season's zone if None.

    Raises:
        ImpossibleError: the season has no routes, or the file of its road map is gone.
    """
    found = snapshot(file)
    season = found.season
    if not season.routes:
        raise ImpossibleError("The season has no routes yet, so there is nothing to report.", "Import routes first.")
    today = today or dt.datetime.now(tz=season.tzinfo).date()
    network = roads_from_homes(season, whole_road_network(file.path, season.roads))
    return season_report(found, season_problem(season, network, today), network, today), found


def write_report(report: SeasonReport, found: Snapshot, folder: Path, wish: ReportWish) -> ReportWritten:
    """Write the files into a folder; each appears whole or not at all, and an older report there is replaced.

    Args:
        report: the figures.
        found: the season file that they are of.
        folder: made if missing.
        wish: what is to be written.

    Raises:
        OthersStandThereError: files of these names stand there that are no report of ours. Nothing is written then.
        InputError: the folder or a file in it cannot be written.
    """
    tables = () if wish.pdf_only else report_tables(report, found, names=wish.names)
    made = _bytes(report, tables)
    _refuse_others(folder, list(made))
    make_folder(folder)
    for name, data in made.items():
        write_whole(folder / name, data)
    write_board_page(report, folder / BOARD_PAGE, paper=wish.paper)
    return ReportWritten(tuple(_listed(folder, tables, made)), report, tuple(_notes(wish)))


def _bytes(report: SeasonReport, tables: Sequence[Table]) -> Mapping[str, bytes]:
    """Return the files of the tables by name; none without tables."""
    if not tables:
        return {}
    plain = [table for table in tables if table.ending == "csv"]
    dictionary = dictionary_table(tables)
    made = {
        table.file: table_bytes(table) if table in plain else survey_map_bytes(report.season, table) for table in tables
    }
    made[dictionary.file] = table_bytes(dictionary)
    made[PACKAGE_FILE] = package_bytes(report.season, report.today, [*plain, dictionary])
    return made


def _refuse_others(folder: Path, names: Sequence[str]) -> None:
    ours = is_package(folder / PACKAGE_FILE)
    others = [folder / name for name in names if (folder / name).exists() and not ours]
    board = folder / BOARD_PAGE
    if board.exists() and not is_own_pdf(board):
        others.append(board)
    if others:
        raise OthersStandThereError(
            "Nothing was written: other files of these names stand there. Name another folder.",
            *(str(path) for path in others),
        )


def _listed(folder: Path, tables: Sequence[Table], made: Mapping[str, bytes]) -> list[WrittenFile]:
    known = {table.file: table for table in tables}
    others = {
        "dictionary.csv": "what every column of every file means",
        PACKAGE_FILE: "the same for programs, as a Frictionless data package",
    }
    files = [
        WrittenFile(folder / name, f"each row is {known[name].words}", len(known[name].rows), known[name].personal)
        if name in known
        else WrittenFile(folder / name, others[name], None, personal=False)
        for name in made
    ]
    return [WrittenFile(folder / BOARD_PAGE, "one page for the programme's board", None, personal=False), *files]


def _notes(wish: ReportWish) -> list[str]:
    if wish.pdf_only:
        return []
    who = "names" if wish.names else "codes"
    hours = f"hours.csv and hours_by_month.csv hold {who} of volunteers and what they gave: personal data."
    return [CARE_WORDS, f"{hours} Notes in sheets.csv are as observers wrote them."]
