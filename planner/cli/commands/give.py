"""``dimpsy give``: a visit is given to somebody, or another date, by hand."""

from __future__ import annotations

import argparse

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import date
from planner.cli.visit_arguments import add_visit_argument
from planner.cli.visit_lines import verdict_data, verdict_lines
from planner.domain.season import Season
from planner.usecases.naming import visit_called, volunteer_called
from planner.usecases.plan.giving_visits import VisitWish, give, look
from planner.usecases.season.opening import open_season

NAME = "give"
HELP = (
    "give a visit another date, lead or second by hand, or fill it; refused with the reasons where a rule would break"
)
EPILOG = """  dimpsy give FILE R04 1 --date 2027-05-12
  dimpsy give FILE R04 1 --lead V07 --second "Ann Lee"
  dimpsy give FILE R04 1 --reserve 2027-05-20
  dimpsy give FILE R04 1 --date 2027-05-12 --look          the verdict only

What is not said stays. Where the date or the lead is new, set-up and reserve date go to where they break nothing.
'dimpsy ask' says who could go."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    add_visit_argument(parser)
    parser.add_argument("--date", metavar="DATE", type=date, help="when it is to be")
    parser.add_argument("--lead", metavar="WHO", default="", help="who leads it, by code or name")
    second = parser.add_mutually_exclusive_group()
    second.add_argument("--second", metavar="WHO", default="", help="who goes as second")
    second.add_argument("--alone", action="store_true", help="nobody goes as second")
    reserve = parser.add_mutually_exclusive_group()
    reserve.add_argument("--reserve", metavar="DATE", type=date, help="date held back in case of weather")
    reserve.add_argument("--no-reserve", action="store_true", help="hold no date back")
    setup = parser.add_mutually_exclusive_group()
    setup.add_argument("--setup", metavar="DATE", type=date, help="when its points are set up")
    setup.add_argument("--no-setup", action="store_true", help="no set-up")
    parser.add_argument("--look", action="store_true", help="say what would follow, and change nothing")
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Say what would follow, or do it."""
    with open_season(arguments.file) if arguments.look else open_for_change(arguments.file) as file:
        season = file.season()
        key, wish = visit_called(season, arguments.route, arguments.visit), _wish(arguments, season)
        today = today_of(arguments, season)
        if arguments.look:
            verdict = look(file, key, wish, today)
            lines = ("Nothing is changed. It would stand so:", *verdict_lines(verdict, season))
            return Report({"label": "", **verdict_data(verdict)}, lines, DONE if verdict.allowed else FINDINGS)
        placed = give(file, key, wish, today)
    assert placed.verdict is not None, "a visit that is placed is judged"
    if not placed.changed:
        return Report({"label": "", **verdict_data(placed.verdict)}, ("It stands so already.",))
    name = file_word(arguments.file)
    lines = (
        f"Done: {placed.label}.",
        *verdict_lines(placed.verdict, season),
        f"Tell those it touches:  dimpsy notices {name} --to DIR --changed",
        f"To take it back:  dimpsy undo {name}",
    )
    return Report({"label": placed.label, **verdict_data(placed.verdict)}, lines)


def _wish(arguments: argparse.Namespace, season: Season) -> VisitWish:
    def code(words: str) -> str:
        return volunteer_called(season, words).code if words else ""

    return VisitWish(
        date=arguments.date,
        lead=code(arguments.lead),
        second=code(arguments.second),
        alone=arguments.alone,
        reserve=arguments.reserve,
        no_reserve=arguments.no_reserve,
        setup=arguments.setup,
        no_setup=arguments.no_setup,
    )
