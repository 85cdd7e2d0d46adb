"""For every date and volunteer: is there daylight enough to set a route up, alone or just before its counts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from planner.domain.counting import Direction
from planner.domain.route import Route
from planner.scheduling.outing.shortest import ShortestOrders
from planner.scheduling.problem import BoolArray, FloatArray, SeasonProblem

_EQUINOXES = (3, 21), (9, 22)
"""Month and day between which the north has its summer half-year."""

_AGES_S = 1e12
"""Unix seconds that bound nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class SetupDays:
    """Where the set-up of one route fits into daylight."""

    alone: BoolArray
    """On a day of its own, from home and back home between sunrise and sunset, shape (volunteers, days)."""
    before_counts: BoolArray
    """On the date of the survey, done before the window opens, shape (windows, volunteers, days)."""


def setup_days(problem: SeasonProblem, route: Route) -> SetupDays:
    """Return the days on which the set-up fits, by cautious drives on one of the shortest rounds.

    A round that begins or ends elsewhere may suit a home better by minutes, so a day refused by less than that
    might do. Where the sun neither rises nor sets, the summer half-year is all daylight and the winter none.
    """
    light, setup = problem.light[route.code], problem.season.protocol.setup
    people, days = len(problem.season.volunteers), len(problem.days)
    shape = len(light.windows), people, days
    if setup is None or not route.points:
        return SetupDays(np.zeros(shape[1:], dtype=np.bool_), np.zeros(shape, dtype=np.bool_))
    drives = problem.drives[route.code]
    legs = drives.legs.cautious
    orders = np.asarray(ShortestOrders(legs, Direction.ANY).whole, dtype=np.int64).reshape(-1, len(legs))
    rounds = legs[orders[:, :-1], orders[:, 1:]].sum(axis=1) + setup.minutes_per_point * len(legs)
    there = drives.out.cautious[:, orders[:, 0]] + rounds
    home = (there + drives.back.cautious[orders[:, -1]].T).min(axis=1, initial=np.inf) * 60.0
    onward = (there + legs[orders[:, -1]].max(axis=1)).min(axis=1, initial=np.inf) * 60.0
    rise, down = _daylight(problem, route)
    alone = rise[None, :] + home[:, None] <= down[None, :]
    opens = np.array([window.passes[0].open_utc.min(axis=1) for window in light.windows]).reshape(-1, 1, days)
    until = np.fmin(opens, down)
    return SetupDays(alone, rise + onward[None, :, None] <= until)


def _daylight(problem: SeasonProblem, route: Route) -> tuple[FloatArray, FloatArray]:
    """Return sunrise and sunset of every day, without bounds in a polar summer and never in a polar winter."""
    light = problem.light[route.code]
    rise, down = light.sunrise_utc.copy(), light.sunset_utc.copy()
    north = route.points[0].place.latitude > 0
    for d in np.flatnonzero(np.isnan(rise) | np.isnan(down)):
        day = problem.days.first + dt.timedelta(days=int(d))
        summer = _EQUINOXES[0] <= (day.month, day.day) <= _EQUINOXES[1]
        rise[d], down[d] = (-_AGES_S, _AGES_S) if north == summer else (_AGES_S, -_AGES_S)
    return rise, down
