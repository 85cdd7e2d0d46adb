"""``dimpsy report``: the figures that a coordinator answers for, as tables, a map and a page for the board."""

from __future__ import annotations

import argparse
from textwrap import fill

from planner.cli.commands.print_papers import add_paper_argument
from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import date, path
from planner.domain.reports.driving_saved import BY_HAND_WORDS, COMPARED_WORDS
from planner.domain.reports.hours import Basis
from planner.domain.reports.progress import Tally
from planner.domain.reports.season_report import SeasonReport
from planner.printing import Paper
from planner.usecases.reports import ReportWish, report_of, write_report
from planner.usecases.reports.writing import WrittenFile
from planner.usecases.season.opening import open_season

NAME = "report"
HELP = "write what the season has come to: tables with a data dictionary, a map, and one page for the board"
EPILOG = f"""files:
  board.pdf            one page: what was to be done and what is, hours, habitat, weakest routes, what is asked
  visits.csv …         tidy tables, a fact a row: UTF-8, ISO dates, moments in UTC and in the season's zone
  points.geojson       points with habitat and state, for map programs (RFC 7946)
  hours.csv, hours_by_month.csv
                       hours and kilometres of volunteers, by code unless --names is given: personal data
  dictionary.csv       every column of every file: description, unit, type, allowed values, source
  datapackage.json     the same for programs, as a Frictionless data package

{fill(f"Driving saved. {BY_HAND_WORDS} {COMPARED_WORDS}", 100)}"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", dest="folder", metavar="DIR", type=path, required=True, help="folder for the files")
    parser.add_argument("--names", action="store_true", help="name volunteers in the tables of hours")
    parser.add_argument("--pdf-only", action="store_true", help="write the page for the board alone")
    parser.add_argument("--today", metavar="DATE", type=date, default=None, help="day of the report (default: today)")
    add_paper_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Write the files and tell the figures."""
    wish = ReportWish(names=arguments.names, pdf_only=arguments.pdf_only, paper=Paper(arguments.paper))
    with open_season(arguments.file) as file:
        report, found = report_of(file, arguments.today)
    written = write_report(report, found, arguments.folder, wish)
    lines = [*_figures(report), f"{len(written.files)} files, in {file_word(arguments.folder)}:"]
    lines += [f"  {_file_line(one)}" for one in written.files]
    lines += written.notes
    data = {"report": report, "files": written.files, "notes": written.notes}
    return Report(data, tuple(lines))


def _figures(report: SeasonReport) -> list[str]:
    hours, saved = report.hours, report.saved
    lines = [f"{report.season}, {report.today}:"]
    lines += [f"  {_tally_line(tally)}" for tally in report.progress.by_visit]
    lacking = (one for one in report.progress.standings if one.draft_lacks)
    lines += [f"  {one.title}, visit {one.key.number}: {one.words}" for one in lacking]
    past = f"{hours.hours(Basis.RECORDED):.1f} h recorded, {hours.hours(Basis.AS_PLANNED):.1f} h done as planned"
    lines.append(f"  hours: {past}, {hours.hours(Basis.PLANNED):.1f} h to come")
    lines.append(f"  distance: {hours.km(past=True):.0f} km driven, {hours.km(past=False):.0f} km to come")
    if saved.said:
        lines += [f"  driving: {saved.said[0]}", *(f"    {words}" for words in saved.said[1:])]
        lines += [f"    {one.what}: {one.plan:.4g}, by hand {one.hand:.4g}" for one in saved.beside]
    lines += [f"  asked of the board: {words}" for words in report.asked]
    return lines


def _tally_line(tally: Tally) -> str:
    states = ", ".join(tally.in_words)
    sheets = tally.sheets
    if not sheets.due:
        return f"{tally.name}: {states}"
    return f"{tally.name}: {states}; {sheets.final} of {sheets.due} sheets in, {sheets.missing} missing"


def _file_line(one: WrittenFile) -> str:
    rows = "" if one.rows is None else f", {one.rows} rows"
    return f"{one.path.name}: {one.words}{rows}"
