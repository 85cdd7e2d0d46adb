"""``dimpsy stand``: the coordinator lets a visit stand whose record misses the protocol."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.output import DONE, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, whole
from planner.domain.plan import VisitKey
from planner.usecases.records import latest_final, let_visit_stand

NAME = "stand"
HELP = "let a visit stand whose record misses the protocol, and say why"
EPILOG = """  dimpsy stand FILE R04 1 --because "two minutes late at the last point"
  dimpsy stand FILE R04 1 --take-back

It is the coordinator's decision: 'dimpsy check' then asks for nothing more of that visit, and it counts as done. What
the record itself says stays as it is; written down anew, it is judged anew."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", help="code of the route")
    parser.add_argument("visit", metavar="VISIT", type=whole, help="number of the visit")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--because", metavar="REASON", default="", help="why it stands, in your own words")
    what.add_argument("--take-back", action="store_true", help="what the protocol asks is asked again")
    parser.add_argument("--today", metavar="DATE", type=date, help="in place of today, YYYY-MM-DD")


def run(arguments: argparse.Namespace) -> Report:
    """Write the decision down and say what comes of it."""
    if not arguments.take_back and not arguments.because.strip():
        raise UsageError("--because needs a reason in words, or say --take-back")
    with open_for_change(arguments.file) as file:
        today = arguments.today or dt.datetime.now(tz=file.season().tzinfo).date()
        key = latest_final(file, VisitKey(arguments.route, arguments.visit))
        kept = let_visit_stand(file, key, arguments.because, today)
    judged = kept.judged
    lines = (
        f"{kept.changed.label}.",
        *(f"  {finding.what}" for finding in judged.findings),
        f"To take it back:  dimpsy undo {file_word(arguments.file)}",
    )
    data = {"label": kept.changed.label, "follows": judged.follows, "points_that_count": judged.points_that_count}
    return Report({**data, "findings": judged.findings}, lines, DONE)
