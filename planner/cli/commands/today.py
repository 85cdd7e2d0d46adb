"""``dimpsy today``: who is out, due back when; whom to ring; go or no-go."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterator

from planner.cli.evening_lines import alarm_lines, clock, evening_data, outing_lines, reason_lines
from planner.cli.moment_argument import add_now_argument, now_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import date, up_to_a_day
from planner.domain.check_in import USUAL_GRACE
from planner.usecases.evening.tonight import Evening, evening_of
from planner.usecases.season.opening import open_season
from planner.usecases.wording import day_words

NAME = "today"
HELP = "who is out this evening and due back when, whom to ring, go or no-go"
EPILOG = """  dimpsy today FILE                        today, or the next date on which somebody goes out
  dimpsy today FILE --date 2027-05-10

Whoever must be rung comes first, whatever evening is looked at. Exit status 1: somebody is overdue or still out, or an
outing stands although the protocol says no-go. Your survey's own safety rules come first; in an emergency ring the
emergency services."""

_USUAL = round(USUAL_GRACE.total_seconds() / 60)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--date", metavar="DATE", type=date, help="another evening")
    parser.add_argument(
        "--grace",
        metavar="MINUTES",
        type=up_to_a_day,
        default=_USUAL,
        help="so long after the time due back somebody is overdue (default %(default)s: our own assumption)",
    )
    add_now_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Say how the evening stands."""
    with open_season(arguments.file) as file:
        now = now_of(arguments, file.season())
        evening = evening_of(file, now, arguments.date, dt.timedelta(minutes=arguments.grace))
    lines = tuple(_lines(evening, file_word(arguments.file)))
    return Report(evening_data(evening), lines, FINDINGS if evening.due else DONE)


def _lines(evening: Evening, file: str) -> Iterator[str]:
    zone = evening.season.tzinfo
    yield from alarm_lines(evening)
    if evening.due:
        yield ""
    at = f"{clock(evening.now, zone)} on {day_words(evening.now.date())}"
    yield f"{day_words(evening.date)} {evening.date.year}, as at {at}"
    for now in evening.outings:
        yield from outing_lines(now, zone)
    yield from reason_lines(evening.outings)
    if not evening.outings:
        yield "Nobody is out."
    for words, near in (("Before", evening.before), ("Next", evening.after)):
        if near is not None:
            yield f"{words}:  dimpsy today {file} --date {near}"
