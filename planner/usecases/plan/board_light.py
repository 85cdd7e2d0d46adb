"""What sun and moon say about the dates of a board: dates without a window, and how far the moon is lit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from planner.domain.season import Season
from planner.domain.window import Strength
from planner.light import moon_at
from planner.scheduling import RouteLight, SeasonProblem
from planner.usecases.routes.areas import middle_of


@dataclass(frozen=True, slots=True)
class MoonNight:
    """The moon in one night."""

    illuminated: float
    """Lit fraction of the disc, 0 to 1, at local midnight at the end of the date."""
    waxing: bool
    """Whether more of it is lit on the next date."""


@dataclass(frozen=True, slots=True)
class DatesWithout:
    """The dates of a season on which a route cannot be counted, whoever goes."""

    by_route: Mapping[str, frozenset[dt.date]]
    nowhere: frozenset[dt.date]
    """On which no route can be counted."""
    why: Mapping[dt.date, str]
    """A reason for each date that some route lacks, in words: that of the first such route."""


def dates_without(problem: SeasonProblem) -> DatesWithout:
    """Return the dates without a light window, or without the moon that the protocol asks for."""
    days = list(problem.days)
    barred = {code: _barred(problem, light) for code, light in problem.light.items()}
    why: dict[dt.date, str] = {}
    for code in reversed(list(barred)):
        why |= {days[int(day)]: _reason(problem.light[code], days[int(day)]) for day in np.flatnonzero(barred[code])}
    everywhere = np.all(list(barred.values()), axis=0) if barred else np.zeros(len(days), dtype=np.bool_)
    return DatesWithout(
        by_route={code: frozenset(days[int(day)] for day in np.flatnonzero(bars)) for code, bars in barred.items()},
        nowhere=frozenset(days[int(day)] for day in np.flatnonzero(everywhere)),
        why=why,
    )


def moon_nights(season: Season) -> Mapping[dt.date, MoonNight]:
    """Return the moon of each night; empty where the protocol asks nothing of it, or no route has points."""
    middles = [middle_of(route) for route in season.routes if route.points]
    if season.protocol.moon is None or not middles:
        return {}
    place = middles[0]
    days = [*season.dates, season.dates.last + dt.timedelta(days=1)]
    ends = [dt.datetime.combine(day + dt.timedelta(days=1), dt.time(), season.tzinfo) for day in days]
    lit = [moon_at(place.latitude, place.longitude, end).illuminated for end in ends]
    return {day: MoonNight(lit[n], lit[n + 1] > lit[n]) for n, day in enumerate(season.dates)}


def _barred(problem: SeasonProblem, light: RouteLight) -> np.ndarray:
    """Return the days on which none of a route's windows can be used, shape (days,)."""
    rule = problem.season.protocol.moon
    required = rule is not None and rule.strength is Strength.REQUIRED
    barred = np.ones(len(problem.days), dtype=np.bool_)
    for window in light.windows:
        lit = np.ones(len(problem.days), dtype=np.bool_)
        for span in (*window.passes, *window.overcast):
            lit &= np.isfinite(span.open_utc).all(axis=1) & np.isfinite(span.close_utc).all(axis=1)
        if required:
            lit &= window.moon_meets
        barred &= ~lit
    return barred


def _reason(light: RouteLight, day: dt.date) -> str:
    reasons = (window.reasons.get(day, "") for window in light.windows)
    return next((reason for reason in reasons if reason), "the moon is not lit far enough")
