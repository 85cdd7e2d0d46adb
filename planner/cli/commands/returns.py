"""``dimpsy returns``: what came back from the field, what is missing, and putting it right."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, whole
from planner.domain.field.absent_class import EVERY_POINT, AbsentClass
from planner.store import Changed, SeasonFile
from planner.usecases.came_back import CameBack, came_back, record_meant, sheets_meant
from planner.usecases.naming import route_called, visit_called
from planner.usecases.records.keeping import forget_record, redate_record, reopen_record
from planner.usecases.records.standing import EveningStanding, RecordStanding
from planner.usecases.season.opening import open_season
from planner.usecases.sheets import clear_absent, forget_sheets, hand_in, mark_absent, reopen
from planner.usecases.sheets.standing import RouteStanding
from planner.usecases.sheets.swapping import swap_sheets

NAME = "returns"
HELP = "what came back from the field and what is missing; hand in drafts, open sheets again"
USAGE = "dimpsy returns FILE [ROUTE [VISIT]] [what to do with it] [--json] [--today DATE]"
EPILOG = """  dimpsy returns FILE                                  records that are late, drafts and why, sheets
  dimpsy returns FILE R04                              of one route
  dimpsy returns FILE --hand-in R04/1                  sheets that are drafts: of a route, a visit, or R04/1/3
  dimpsy returns FILE --reopen R04/1/3                 to be mended; --take-away takes sheets out
  dimpsy returns FILE --swap R04/1/3 R04/1/4           two sheets that changed places
  dimpsy returns FILE R04 1 --record reopen            the record of a visit; also take-away
  dimpsy returns FILE R04 1 --record-is-of 2027-05-11  the record is of another evening
  dimpsy returns FILE R04 --cannot-be C                a class that is not found there; --point N at one point

Each change is one step, which 'dimpsy undo' takes back. Sheets and records come in with 'dimpsy record'. Exit status
1: a record is late, or something is a draft."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", nargs="?", default="", help="code of the route")
    parser.add_argument("visit", metavar="VISIT", nargs="?", type=whole, help="number of the visit")
    doing = parser.add_mutually_exclusive_group()
    doing.add_argument("--hand-in", metavar="SHEETS", help="make drafts final")
    doing.add_argument("--reopen", metavar="SHEETS", help="make final sheets drafts again")
    doing.add_argument("--take-away", metavar="SHEETS", help="take sheets out")
    doing.add_argument("--swap", metavar="SHEET", nargs=2, help="let two sheets change places")
    doing.add_argument("--record", choices=["reopen", "take-away"], help="of ROUTE VISIT: open again, or take out")
    doing.add_argument("--record-is-of", metavar="DATE", type=date, help="of ROUTE VISIT: it is of that evening")
    doing.add_argument("--cannot-be", metavar="CLASS", help="of ROUTE: that habitat class is not found there")
    doing.add_argument("--may-be", metavar="CLASS", help="of ROUTE: it may be found there, after all")
    parser.add_argument("--date", metavar="DATE", type=date, help="which of several records of the visit")
    parser.add_argument("--point", metavar="N", type=whole, help="with --cannot-be, --may-be: at that point only")
    add_today_argument(parser)


_OF_RECORD = ("record", "record_is_of")
_OF_CLASS = ("cannot_be", "may_be")
_OF_SHEETS = ("hand_in", "reopen", "take_away", "swap")


def run(arguments: argparse.Namespace) -> Report:
    """Do what is asked, and say what came back."""
    doing = next((name for name in (*_OF_SHEETS, *_OF_RECORD, *_OF_CLASS) if getattr(arguments, name)), "")
    _refuse_mixed(arguments, doing)
    with open_for_change(arguments.file) if doing else open_season(arguments.file) as file:
        routes = (route_called(file.season(), arguments.route).code,) if arguments.route else ()
        changed = _changed(file, arguments, doing) if doing else None
        found = came_back(file, today_of(arguments, file.season()), routes)
    head = [f"Done: {changed.label}." if changed else "It is so already."] if changed is not None else []
    undo = [f"To take it back:  dimpsy undo {file_word(arguments.file)}"] if changed else []
    data = {"label": changed.label if changed else "", "evenings": found.evenings, "drafts": found.drafts}
    sheets = [{"route": one.route.code, "visits": one.visits} for one in found.sheets]
    status = FINDINGS if found.wants_doing else DONE
    return Report({**data, "sheets": sheets}, (*head, *_lines(found), *undo), status)


def _refuse_mixed(arguments: argparse.Namespace, doing: str) -> None:
    if doing in _OF_RECORD and arguments.visit is None:
        raise UsageError(f"--{doing.replace('_', '-')} needs ROUTE and VISIT, such as: R04 1")
    if doing in _OF_CLASS and not arguments.route:
        raise UsageError(f"--{doing.replace('_', '-')} needs ROUTE")
    if arguments.visit is not None and doing not in _OF_RECORD:
        raise UsageError("VISIT goes with --record and --record-is-of")
    if arguments.date is not None and doing not in _OF_RECORD:
        raise UsageError("--date goes with --record and --record-is-of")
    if arguments.point is not None and doing not in _OF_CLASS:
        raise UsageError("--point goes with --cannot-be and --may-be")


def _changed(file: SeasonFile, arguments: argparse.Namespace, doing: str) -> Changed:
    if doing in _OF_CLASS:
        code = route_called(file.season(), arguments.route).code
        absent = [AbsentClass(code, arguments.cannot_be or arguments.may_be, arguments.point or EVERY_POINT)]
        return (mark_absent if doing == "cannot_be" else clear_absent)(file, absent)
    if doing in _OF_RECORD:
        return _of_record(file, arguments)
    if doing == "swap":
        (first, *_), (second, *_) = (sheets_meant(file, words) for words in arguments.swap)
        return swap_sheets(file, first, second)
    keys = sheets_meant(file, getattr(arguments, doing), drafts=doing == "hand_in")
    return {"hand_in": hand_in, "reopen": reopen, "take_away": forget_sheets}[doing](file, keys)


def _of_record(file: SeasonFile, arguments: argparse.Namespace) -> Changed:
    today = today_of(arguments, file.season())
    key = record_meant(file, visit_called(file.season(), arguments.route, arguments.visit), arguments.date)
    if arguments.record_is_of is not None:
        return redate_record(file, key, arguments.record_is_of, today).changed
    return reopen_record(file, key, today).changed if arguments.record == "reopen" else forget_record(file, key, today)


_STANDINGS = {
    RecordStanding.OVERDUE: "no record, long after the visit: ask for it",
    RecordStanding.AWAITED: "no record yet",
    RecordStanding.DRAFT: "the record is a draft",
    RecordStanding.PARTLY: "the record is final, and the visit is not done by it",
    RecordStanding.DONE: "done",
    RecordStanding.TO_COME: "still to come",
}


def _lines(found: CameBack) -> Iterator[str]:
    shown = [one for one in found.evenings if one.standing not in (RecordStanding.DONE, RecordStanding.TO_COME)]
    yield from (_evening_line(one) for one in sorted(shown, key=lambda one: (one.standing, one.key)))
    for standing in (RecordStanding.DONE, RecordStanding.TO_COME):
        count = sum(one.standing is standing for one in found.evenings)
        yield f"{count} evenings {_STANDINGS[standing]}." if count != 1 else f"1 evening {_STANDINGS[standing]}."
    for key, faults in found.drafts:
        yield f"Draft: {key}: {'; '.join(faults) or 'nothing keeps it from being handed in'}"
    yield from (line for one in found.sheets for line in _sheet_lines(one))


def _evening_line(one: EveningStanding) -> str:
    return f"{one.key} ({' and '.join(one.people) or 'nobody named'}): {_STANDINGS[one.standing]}"


def _sheet_lines(one: RouteStanding) -> Iterator[str]:
    points = len(one.route.points)
    said = [
        f"visit {number}: {visit.final} of {points} sheets handed in"
        + (f", {visit.draft} drafts" if visit.draft else "")
        for number, visit in enumerate(one.visits, start=1)
        if visit.came_in
    ]
    if said:
        yield f"{one.route.title}: {'; '.join(said)}"
