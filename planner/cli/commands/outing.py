"""``dimpsy outing``: one outing minute by minute, as planned or tried otherwise."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterator, Sequence

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import clock, positive
from planner.cli.visit_arguments import add_visit_argument
from planner.cli.visit_lines import margin_words
from planner.domain.light import Span
from planner.domain.outing import Outing, Step, StepKind
from planner.printing.times import LocalClock, minute_after, minute_before, printed_count
from planner.scheduling import OutingRun
from planner.usecases.check_in import moment_of
from planner.usecases.naming import visit_called, volunteer_called
from planner.usecases.opening import open_season
from planner.usecases.outing_view import Occasion, OutingSight, WhatIf, sight_of, try_out

NAME = "outing"
HELP = "show one outing minute by minute, as planned, or as it goes if the team leaves or counts otherwise"
EPILOG = """  dimpsy outing FILE R04 1
  dimpsy outing FILE R04 1 --who V07 --on reserve       from another home; the reserve date, or the set-up day
  dimpsy outing FILE R04 1 --leave 20:40                it is late: what still fits?
  dimpsy outing FILE R04 1 --squeeze                    habitat between the counts in place of a round of its own

Nothing is kept. Exit status 1: points do not fit, or counts end too late."""

_ON = {"visit": Occasion.VISIT, "reserve": Occasion.RESERVE, "setup": Occasion.SETUP}

_OCCASIONS = {Occasion.VISIT: "", Occasion.RESERVE: "reserve date, ", Occasion.SETUP: "set-up day, "}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    add_visit_argument(parser)
    parser.add_argument("--who", metavar="WHO", default="", help="as this one of the team drives it; else the lead")
    parser.add_argument("--on", choices=list(_ON), default="visit", help="which of its dates (default %(default)s)")
    parser.add_argument("--leave", metavar="HH:MM", type=clock, help="they leave home then")
    parser.add_argument("--count-minutes", metavar="N", type=positive, help="so long at each point")
    parser.add_argument("--squeeze", action="store_true", help="habitat squeezed in between the counts")
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Show the steps and what they come to."""
    with open_season(arguments.file) as file:
        season = file.season()
        key = visit_called(season, arguments.route, arguments.visit)
        who = volunteer_called(season, arguments.who).code if arguments.who else ""
        sight = sight_of(file, key, _ON[arguments.on], who, today_of(arguments, season))
    leave = _departure(arguments.leave, sight)
    ran = try_out(sight, WhatIf(leave, arguments.count_minutes, arguments.squeeze))
    lines = [_head(sight), *_lines(ran, sight)]
    runs = [ran]
    if ran.overcast is not None:
        lines[1:1] = ["Clear sky:"]
        lines += ["Overcast sky:", *_lines(ran.overcast, sight)]
        runs.append(ran.overcast)
    late = any(one.late_counts or one.outing.missed for one in runs)
    data = {"outing": sight.dated, "person": sight.person, "runs": runs}
    return Report(data, tuple(lines), FINDINGS if late else DONE)


def _departure(given: dt.time | None, sight: OutingSight) -> dt.datetime | None:
    planned = sight.planned.outing.leave_home_utc
    return None if given is None else moment_of(given, planned, sight.season.tzinfo)


def _head(sight: OutingSight) -> str:
    dated, season = sight.dated, sight.season
    people = " and ".join(season.volunteer(code).name for code in dated.people)
    day = f"{dated.date:%a} {dated.date.day} {dated.date:%b %Y}"
    return f"{sight.route.title}, visit {dated.key.number}, {_OCCASIONS[dated.occasion]}{day}: {people}"


def _lines(ran: OutingRun, sight: OutingSight) -> Iterator[str]:
    outing, late = ran.outing, {step.point for step in ran.late_counts}
    local = LocalClock(sight.season.tzinfo, outing.date)
    spans = outing.window.passes if outing.window is not None else ()
    for number, step in enumerate(outing.steps):
        note = "  TOO LATE" if step.kind is StepKind.COUNT and step.point in late else ""
        leaves = "leave home, " if not number else ""
        begins = local.show(_begin(number, outing, spans, late))
        yield f"  {begins}  {leaves}{_step(step)}, {step.minutes:.0f} min{note}"
    yield f"  {local.show(minute_after(outing.due_home_utc))}  due back"
    if outing.window is not None and outing.margin_minutes is not None:
        yield f"  The last count: {margin_words(outing.margin_minutes)}."
    if outing.missed:
        yield f"  These points do not fit: {', '.join(map(str, outing.missed))}."
    if outing.squeeze is not None:
        yield (
            f"  Habitat between the counts would leave {outing.squeeze.minutes_left_per_point:.1f} min for it at each"
            " point."
        )


def _begin(number: int, outing: Outing, spans: Sequence[Span], late: set[int | None]) -> dt.datetime:
    """Return when a step begins as it is printed: rounded to the side that is safe for who follows it."""
    step = outing.steps[number]
    if step.kind is StepKind.COUNT and step.point not in late:
        return printed_count(step.start_utc, step.end_utc, spans[step.pass_number - 1])[0]
    follows_count = number > 0 and outing.steps[number - 1].kind is StepKind.COUNT
    return (minute_after if follows_count else minute_before)(step.start_utc)


def _step(step: Step) -> str:
    where = f"point {step.point}" if step.point is not None else "home"
    return f"drive to {where}" if step.kind is StepKind.DRIVE else f"{step.kind.value} {where}"
