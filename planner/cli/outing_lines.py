"""One outing minute by minute, in lines for a person."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from planner.cli.visit_lines import margin_words
from planner.domain.light import Span
from planner.domain.outing import Outing, Step, StepKind
from planner.printing.times import LocalClock, minute_after, minute_before, printed_count
from planner.scheduling import OutingRun
from planner.usecases.evening.outing_view import Occasion, OutingSight

_OCCASIONS = {Occasion.VISIT: "", Occasion.RESERVE: "reserve date, ", Occasion.SETUP: "set-up day, "}


def outing_lines(sight: OutingSight, ran: OutingRun) -> Iterator[str]:
    """Yield what an outing is, then each of its steps; under both skies where the sky decides on the window.

    Args:
        sight: the outing as it is planned.
        ran: as it goes.
    """
    yield _head(sight)
    if ran.overcast is not None:
        yield "Clear sky:"
    yield from _lines(ran, sight)
    if ran.overcast is not None:
        yield "Overcast sky:"
        yield from _lines(ran.overcast, sight)
    squeeze = sight.plan.squeeze
    if squeeze is not None:
        left = f"{squeeze.minutes_left_per_point:.1f} minutes for it at each point"
        yield f"  Habitat between the counts, in place of a round of its own, would leave {left}."


def _head(sight: OutingSight) -> str:
    dated, season = sight.dated, sight.season
    people = " and ".join(season.volunteer(code).name for code in dated.people)
    day = f"{dated.date:%a} {dated.date.day} {dated.date:%b %Y}"
    return f"{sight.route.title}, visit {dated.key.number}, {_OCCASIONS[dated.occasion]}{day}: {people}"


def _lines(ran: OutingRun, sight: OutingSight) -> Iterator[str]:
    outing, late = ran.outing, ran.late_counts
    local = LocalClock(sight.season.tzinfo, outing.date)
    spans = outing.window.passes if outing.window is not None else ()
    for number, step in enumerate(outing.steps):
        note = "  TOO LATE" if step in late else ""
        leaves = "leave home, " if not number else ""
        begins = local.show(_begin(number, outing, spans, late))
        yield f"  {begins}  {leaves}{_step(step)}, {step.minutes:.0f} min{note}"
    yield f"  {local.show(minute_after(outing.due_home_utc))}  due back"
    if outing.window is not None and outing.margin_minutes is not None:
        yield f"  The last count: {margin_words(outing.margin_minutes)}."
    if outing.missed:
        yield f"  These points do not fit: {', '.join(map(str, outing.missed))}."


def _begin(number: int, outing: Outing, spans: Sequence[Span], late: Sequence[Step]) -> dt.datetime:
    """Return when a step begins as it is printed: rounded to the side that is safe for who follows it."""
    step = outing.steps[number]
    if step.kind is StepKind.COUNT and step not in late:
        return printed_count(step.start_utc, step.end_utc, spans[step.pass_number - 1])[0]
    follows_count = number > 0 and outing.steps[number - 1].kind is StepKind.COUNT
    return (minute_after if follows_count else minute_before)(step.start_utc)


def _step(step: Step) -> str:
    where = f"point {step.point}" if step.point is not None else "home"
    return f"drive to {where}" if step.kind is StepKind.DRIVE else f"{step.kind.value} {where}"
