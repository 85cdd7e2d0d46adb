"""The sentences and names of the Outing room."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from planner.desktop.outing.evening import Lane
from planner.domain.finding import Severity
from planner.domain.outing import Outing, Squeeze, Step, StepKind
from planner.domain.travel import ESTIMATED_WORDS, FigureSource
from planner.domain.window import Event
from planner.light import MoonState
from planner.printing.times import LocalClock, minute_after, minute_before, nearest_minute, printed_count
from planner.usecases.evening.outing_view import Occasion, OutingDate

MINUTE_S = 60.0


def tr(text: str) -> str:
    """Return a text of this room in the user's language."""
    return QCoreApplication.translate("outing", text)


def kind_words(kind: StepKind) -> str:
    """Return what is done in a step, in a word."""
    return {
        StepKind.DRIVE: tr("drive"),
        StepKind.SETUP: tr("set-up"),
        StepKind.HABITAT: tr("habitat"),
        StepKind.WAIT: tr("wait"),
        StepKind.COUNT: tr("count"),
    }[kind]


def severity_words(severity: Severity | None) -> str:
    """Return a severity in a word."""
    if severity is None:
        return tr("In order")
    return {
        Severity.BROKEN: tr("Broken"),
        Severity.TROUBLE: tr("Trouble"),
        Severity.DOUBT: tr("Doubt"),
        Severity.NOTE: tr("Note"),
    }[severity]


def event_words(event: Event) -> str:
    """Return an event of the sun's day by its name."""
    return {
        Event.SUNRISE: tr("sunrise"),
        Event.SUNSET: tr("sunset"),
        Event.CIVIL_DAWN: tr("civil dawn"),
        Event.CIVIL_DUSK: tr("civil dusk"),
        Event.NAUTICAL_DAWN: tr("nautical dawn"),
        Event.NAUTICAL_DUSK: tr("nautical dusk"),
        Event.ASTRONOMICAL_DAWN: tr("astronomical dawn"),
        Event.ASTRONOMICAL_DUSK: tr("astronomical dusk"),
    }[event]


def occasion_words(dated: OutingDate) -> str:
    """Return which outing it is: 'Visit 1', 'Set-up day', 'Visit 1, reserve date'."""
    if dated.occasion is Occasion.SETUP:
        return tr("Set-up day")
    visit = tr("Visit {number}").format(number=dated.key.number)
    return visit if dated.occasion is Occasion.VISIT else tr("{visit}, reserve date").format(visit=visit)


def team_words(names: Sequence[str]) -> str:
    """Return who goes: 'Ann Lee leads, with Bo Day', 'Ann Lee goes alone'."""
    if len(names) < 2:
        return tr("{lead} goes alone").format(lead="".join(names))
    return tr("{lead} leads, with {second}").format(lead=names[0], second=names[1])


def moon_words(opens: MoonState, closes: MoonState) -> str:
    """Return how the moon stands as the window opens and as it closes."""
    return tr("Moon {lit} % lit, {first}° as the window opens, {last}° as it closes").format(
        lit=round(opens.illuminated * 100), first=round(opens.altitude_deg), last=round(closes.altitude_deg)
    )


def minutes_words(minutes: int) -> str:
    """Return '1 minute' or '7 minutes'."""
    return tr("1 minute") if minutes == 1 else tr("{minutes} minutes").format(minutes=minutes)


def points_words(numbers: Sequence[int]) -> str:
    """Return 'point 9', or 'points 8, 9, 10'."""
    named = ", ".join(str(number) for number in sorted(numbers))
    return (tr("point {numbers}") if len(numbers) == 1 else tr("points {numbers}")).format(numbers=named)


def margin_figure(minutes: float) -> str:
    """Return the margin as a figure: whole minutes, never more than there are; below 0 with its sign."""
    whole = _whole(minutes)
    return tr("{minutes} min").format(minutes=whole if whole >= 0 else f"−{-whole}")


def spare_words(minutes: float) -> str:
    """Return the margin in few words: '7 min to spare', '3 min too late'."""
    whole = _whole(minutes)
    if whole == 0:
        return tr("under 1 min to spare")
    words = tr("{minutes} min to spare") if whole > 0 else tr("{minutes} min too late")
    return words.format(minutes=abs(whole))


def sentence(words: str) -> str:
    """Return words with their first letter large."""
    return words[:1].upper() + words[1:]


def margin_words(lane: Lane, clock: LocalClock) -> str:
    """Return what the margin means: '7 minutes to spare before the window closes at 22:41'."""
    margin, binding = lane.outing.margin_minutes, lane.binding
    if margin is None or binding is None:
        return ""
    closes = clock.show(minute_before(binding[1].close_utc))
    whole = _whole(margin)
    if whole >= 1:
        return tr("{minutes} to spare before the window closes at {time}").format(
            minutes=minutes_words(whole), time=closes
        )
    if whole == 0:
        return tr("less than a minute to spare before the window closes at {time}").format(time=closes)
    return tr("{minutes} too late for the closing at {time}").format(minutes=minutes_words(-whole), time=closes)


def home_words(outing: Outing, sunset_utc: dt.datetime | None, clock: LocalClock) -> str:
    """Return how a set-up day ends: how long before or after sunset everybody is home."""
    if sunset_utc is None:
        return tr("the sun does not set that day")
    time = clock.show(nearest_minute(sunset_utc))
    minutes = _whole((sunset_utc - outing.due_home_utc).total_seconds() / MINUTE_S)
    if minutes >= 1:
        return tr("home {minutes} before sunset at {time}").format(minutes=minutes_words(minutes), time=time)
    if minutes >= 0:
        return tr("home as the sun sets at {time}").format(time=time)
    return tr("home {minutes} after sunset at {time}").format(minutes=minutes_words(-minutes), time=time)


def leave_time(outing: Outing, clock: LocalClock) -> str:
    """Return when home is left, rounded so that nobody is late."""
    return str(clock.show(minute_before(outing.leave_home_utc)))


def due_time(outing: Outing, clock: LocalClock) -> str:
    """Return when the team is due back, rounded so that nobody is missed too soon."""
    return str(clock.show(minute_after(outing.due_home_utc)))


def step_times(lane: Lane, step: Step, clock: LocalClock) -> tuple[str, str]:
    """Return the start and end of a step on full minutes, counts and the way home as paper prints them."""
    if step.kind is StepKind.COUNT and lane.stands(step):
        begin, end = printed_count(step.start_utc, step.end_utc, lane.spans[step.pass_number - 1])
    else:
        begin = minute_after(step.start_utc) if lane.follows_count(step) else minute_before(step.start_utc)
        late_end = step.kind is StepKind.WAIT or (step.kind is StepKind.DRIVE and step.point is None)
        end = minute_after(step.end_utc) if late_end else minute_before(step.end_utc)
    return str(clock.show(begin)), str(clock.show(max(begin, end)))


def step_words(lane: Lane, step: Step) -> str:
    """Return what is done in a step, and where."""
    if step.kind is StepKind.DRIVE:
        return _drive_words(step)
    what = {
        StepKind.SETUP: tr("set-up at point {point}"),
        StepKind.HABITAT: tr("habitat at point {point}"),
        StepKind.WAIT: tr("wait at point {point}"),
        StepKind.COUNT: tr("count at point {point}") if lane.stands(step) else tr("count at point {point}, too late"),
    }[step.kind].format(point=step.point)
    if step.kind is StepKind.COUNT and len(lane.spans) > 1:
        return tr("{what}, run {number}").format(what=what, number=step.pass_number)
    return what


def _drive_words(step: Step) -> str:
    if step.from_point is None:
        words = tr("drive from home to point {point}").format(point=step.point)
    elif step.point is None:
        words = tr("drive home")
    else:
        words = tr("drive to point {point}").format(point=step.point)
    if step.leg is not None and step.leg.source is FigureSource.ESTIMATE:
        return tr("{drive}, estimated").format(drive=words)
    if step.leg is not None and step.leg.source is FigureSource.MEASURED:
        return tr("{drive}, as recorded drives of this route say").format(drive=words)
    return words


def estimate_words(lane: Lane) -> str:
    """Return how far the drives may be off where one of them is an estimate; empty where all follow roads."""
    legs = (step.leg for step in lane.outing.steps)
    return ESTIMATED_WORDS if any(leg is not None and leg.source is FigureSource.ESTIMATE for leg in legs) else ""


def squeeze_words(squeeze: Squeeze) -> str:
    """Return what habitat between the counts would come to."""
    left, lost = squeeze.minutes_left_per_point, squeeze.points_lost
    time = tr("Between the counts there is no time for habitat")
    if left > 0:
        time = tr("Between the counts there are {minutes} min for habitat at each point").format(minutes=f"{left:.1f}")
    if not lost:
        return tr("{time}; every count would still fit.").format(time=time)
    return tr("{time}; {points} would fall out.").format(time=time, points=points_words(lost))


def troubles(lane: Lane, planned: Lane) -> tuple[tuple[Severity, str], ...]:
    """Return what an outing breaks as it is tried, worst first; what the plan does anyhow is told in its findings."""
    run, found = lane.run, []
    if run.late_counts:
        points = points_words(tuple(dict.fromkeys(step.point for step in run.late_counts if step.point is not None)))
        found.append(
            (Severity.BROKEN, tr("The window has closed before the count ends at {points}.").format(points=points))
        )
    if run.late_start_minutes > 0:
        words = tr("Counting begins {minutes} after the moment at which it must begin exactly.")
        found.append((Severity.BROKEN, words.format(minutes=minutes_words(math.ceil(run.late_start_minutes)))))
    if run.dark_minutes > planned.run.dark_minutes:
        words = tr("{minutes} of habitat or set-up lie in the dark, before sunrise or after sunset.")
        found.append((Severity.TROUBLE, words.format(minutes=minutes_words(math.ceil(run.dark_minutes)))))
    lost = [number for number in lane.outing.missed if number not in {step.point for step in run.late_counts}]
    if lost:
        found.append((Severity.TROUBLE, tr("No count fits at {points}.").format(points=points_words(lost))))
    return tuple(found)


def summary(lane: Lane, clock: LocalClock) -> str:
    """Return the whole picture in a few sentences, for those who hear the screen."""
    outing = lane.outing
    parts = [
        tr("Leave home {time}.").format(time=leave_time(outing, clock)),
        tr("Due back {time}.").format(time=due_time(outing, clock)),
    ]
    if outing.margin_minutes is not None:
        parts.append(tr("Counted: {points}.").format(points=points_words(outing.order) if outing.order else tr("none")))
        parts.append(f"{sentence(margin_words(lane, clock))}.")
    if outing.missed:
        parts.append(tr("Not counted: {points}.").format(points=points_words(outing.missed)))
    return " ".join(parts)


def _whole(minutes: float) -> int:
    """Whole minutes that are surely there; beyond the limit, so many begun. A hundredth of a second is forgiven."""
    return math.floor(minutes + 1e-4)
