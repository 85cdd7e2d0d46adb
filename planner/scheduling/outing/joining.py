"""The second's outing: the team's work as the lead does it, from and to the second's own home."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import dropwhile

from planner.domain.errors import ImpossibleError
from planner.domain.outing import Outing, Step, StepKind
from planner.scheduling.outing.request import OutingRequest


def join_team(team: Outing, ground: OutingRequest) -> Outing:
    """Return the outing of someone who joins a team: its steps and times, with drives from and to their own home.

    A set-up on the same date is the lead's alone: then the second joins for the counts.

    Args:
        team: the lead's outing.
        ground: the same route as the second's home lies to it.

    Raises:
        ImpossibleError: no road leads from the second's home to where the work begins, or back.
    """
    work = team.steps[1:-1]
    if team.of_kind(StepKind.SETUP):
        work = tuple(dropwhile(lambda step: step.kind is not StepKind.COUNT, work))
    steps = (_drive_out(ground, work[0]), *work, _drive_home(ground, work[-1]))
    overcast = join_team(team.overcast, ground) if team.overcast is not None else None
    return replace(team, steps=steps, overcast=overcast)


def _drive_out(ground: OutingRequest, begins: Step) -> Step:
    leg = ground.figure(None, _place(ground, begins))
    leaves = begins.start_utc - _time(ground, leg.cautious_minutes)
    return Step(StepKind.DRIVE, leaves, begins.start_utc, begins.point, leg=leg)


def _drive_home(ground: OutingRequest, ends: Step) -> Step:
    leg = ground.figure(_place(ground, ends), None)
    home = ends.end_utc + _time(ground, leg.cautious_minutes)
    return Step(StepKind.DRIVE, ends.end_utc, home, None, from_point=ends.point, leg=leg, pass_number=ends.pass_number)


def _place(ground: OutingRequest, step: Step) -> int:
    assert step.point is not None, "work is done at a point"
    return ground.numbers.index(step.point)


def _time(ground: OutingRequest, minutes: float) -> dt.timedelta:
    if minutes == float("inf"):
        raise ImpossibleError(
            f"no outing to route {ground.route} is possible for the second: no road leads to its points and back",
            "choose another second, or check where the home lies on the road map",
        )
    return dt.timedelta(minutes=minutes)
