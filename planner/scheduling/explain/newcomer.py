"""Somebody new: a person with every date and all training, the usual drive away from wherever they are wanted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from planner.domain.calendar import DateRange
from planner.domain.geo import Place
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.problem import DriveMinutes, FloatArray, RouteDrives, SeasonProblem

_USUAL_MINUTES = 40
_STEP_MINUTES = 5


def usual_drive(season: Season) -> int:
    """Return the minutes one way that volunteers usually offer: the middle limit, in steps of five."""
    limits = [one.drive_limit_minutes for one in season.volunteers if np.isfinite(one.drive_limit_minutes)]
    if not limits:
        return _USUAL_MINUTES
    return max(_STEP_MINUTES * int(np.median(limits) // _STEP_MINUTES), _STEP_MINUTES)


def with_newcomer(arrays: SeasonArrays) -> SeasonArrays:
    """Return the season with somebody new behind its volunteers, who as yet offers no visit."""
    problem, season = arrays.problem, arrays.season
    minutes = usual_drive(season)
    person = Volunteer(
        code=_free_code({one.code for one in season.volunteers}),
        name="Somebody new",
        home=Place(0.0, 0.0),
        drive_limit_minutes=float(minutes),
        visits_limit=0,
        training=frozenset(season.protocol.people.lead_training).union(*(route.needs for route in season.routes)),
        availability=(Availability(DateRange(season.dates.first, season.dates.last), frozenset(PartOfDay)),),
    )
    wider = SeasonProblem(
        season=replace(season, volunteers=(*season.volunteers, person)),
        light=problem.light,
        drives={code: _joined(drives, float(minutes)) for code, drives in problem.drives.items()},
        today=problem.today,
    )
    return SeasonArrays(wider, arrays.fixed)


def _free_code(taken: set[str]) -> str:
    code = "new"
    while code in taken:
        code += "+"
    return code


def _joined(drives: RouteDrives, minutes: float) -> RouteDrives:
    """Return the drives of a route with a home behind the others that is so many minutes from every point."""
    points = drives.out.expected.shape[1]
    out = _behind(drives.out, np.full((1, points), minutes), axis=0)
    return RouteDrives(drives.legs, out, _behind(drives.back, np.full((points, 1), minutes), axis=1))


def _behind(table: DriveMinutes, more: FloatArray, *, axis: int) -> DriveMinutes:
    return DriveMinutes(
        optimistic=np.concatenate([table.optimistic, more], axis=axis),
        expected=np.concatenate([table.expected, more], axis=axis),
        cautious=np.concatenate([table.cautious, more], axis=axis),
        estimated=np.concatenate([table.estimated, np.zeros(more.shape, dtype=np.bool_)], axis=axis),
    )
