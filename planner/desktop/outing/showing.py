"""From what the use cases return to what the picture shows."""

from __future__ import annotations

from planner.desktop.outing.evening import Evening, Lane
from planner.desktop.outing.trial import Trial
from planner.desktop.outing.words import tr
from planner.printing.times import LocalClock
from planner.scheduling import OutingRun
from planner.usecases.evening.outing_view import OutingSight


def lanes_of(sight: OutingSight, run: OutingRun) -> tuple[Lane, ...]:
    """Return the lanes of a run: one, or one for each sky where the sky decides."""
    if run.overcast is None or sight.window is None:
        return (Lane("", run),)
    overcast = tr("overcast sky, over {percent} % cloud").format(percent=f"{sight.window.overcast_above_percent:g}")
    return Lane(tr("clear sky"), run, tr("clear")), Lane(overcast, run.overcast, tr("overcast"))


def evening_of(sight: OutingSight, run: OutingRun, trial: Trial) -> Evening:
    """Return what the picture shows of a run of an outing."""
    return Evening(
        sun=sight.sun,
        clock=clock_of(sight),
        lanes=lanes_of(sight, run),
        latest_utc=sight.planned.outing.leave_home_utc,
        count_minutes=trial.count_minutes or sight.count_minutes,
        tried=not trial.nothing,
    )


def clock_of(sight: OutingSight) -> LocalClock:
    """Return the clock that an outing's times are read from."""
    return LocalClock(sight.season.tzinfo, sight.dated.date)
