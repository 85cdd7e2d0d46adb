"""``dimpsy sheets``: files that volunteers fill in after their outings."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import path
from planner.usecases.field_files import FillInWritten, write_fill_in
from planner.usecases.season.opening import open_season

NAME = "sheets"
HELP = "write one workbook for each volunteer to fill in: habitat sheets and visit records"
EPILOG = """what is in it:
  Read me    how it is filled in, the classes and how to tell them apart
  Habitat    a row for each point and visit, a column for each class, with the sum and what is still to give
  Visits     a row for each visit: who went, the weather, why it was stopped, when home again, kilometres
  Counts     a row for each count: arrived, began, ended, done

Cells offer what the protocol knows and refuse what it does not; what is not to be changed is locked, without a
password. What is recorded already is filled in. Each file holds its own volunteer's outings, and nobody else's name,
home or number. What comes back is taken in by dimpsy record."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", dest="folder", metavar="DIR", type=path, required=True, help="folder for the files")
    parser.add_argument(
        "--volunteer",
        dest="volunteers",
        metavar="NAME",
        action="append",
        default=None,
        help="only this one, by code or name; may be given several times",
    )
    parser.add_argument("--csv", action="store_true", help="tables as text (CSV) in place of a workbook")
    parser.add_argument("--force", action="store_true", help="replace files of those names that stand there")


def run(arguments: argparse.Namespace) -> Report:
    """Write the files and list them."""
    with open_season(arguments.file) as file:
        written = write_fill_in(file, arguments.folder, arguments.volunteers, csv=arguments.csv, force=arguments.force)
    whom = "1 volunteer" if len(written) == 1 else f"{len(written)} volunteers"
    lines = [f"Files to fill in for {whom}, in {file_word(arguments.folder)}:"]
    lines += [_line(one) for one in written]
    lines.append(f"What comes back:  dimpsy record {file_word(arguments.file)} FILE...")
    return Report({"written": written}, tuple(lines))


def _line(one: FillInWritten) -> str:
    names = ", ".join(path.name for path in one.paths)
    visits = "1 visit" if one.visits == 1 else f"{one.visits} visits"
    sheets = f", {one.sheets} habitat sheets" if one.sheets else ""
    return f"  {names}: {visits}{sheets}"
