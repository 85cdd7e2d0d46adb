"""Points whose leaving out makes a route fit the light: which, and what margin that gives."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.route import Route
from planner.scheduling import DriveMinutes, PassLight, RouteDrives, SeasonProblem, fit_table
from planner.usecases.route_checks.facts import IntArray
from planner.usecases.route_checks.length import visit_days
from planner.usecases.route_fixes.fixes import Fix, FixKind
from planner.usecases.route_fixes.weighing import WeighedRoute

MOST_SETS = 150
"""Sets of points tried all; where there are more, points are left out one after the other."""
DAYS_TRIED = 3
"""Of each visit: those with the best margins of the whole route. Shorter routes are best on the same dates, give or
take a day, and every way that is offered is weighed on all dates."""


@dataclass(frozen=True, slots=True)
class Dropped:
    """Points left out, and the least margin of any visit on its best date."""

    places: tuple[int, ...]
    """By place in the route."""
    margin_minutes: float


def drop_fix(route: Route, numbers: Sequence[int]) -> Fix:
    """Return the route without those points; the others keep their numbers."""
    gone = {route.point(number).number for number in numbers}
    points = tuple(point for point in route.points if point.number not in gone)
    return Fix(FixKind.DROP, route, replace(route, points=points), tuple(sorted(gone)))


def drops_that_fit(weighed: WeighedRoute, most: int) -> tuple[Fix, ...]:
    """Return the ways to leave out as few points as it takes for every visit to fit its light, best margin first.

    Args:
        weighed: the route as it stands.
        most: so many ways at most.

    Returns:
        None of them where the protocol's fewest points do not fit either.
    """
    route, fewest = weighed.route, max(1, weighed.problem.season.protocol.points.fewest)
    for every in itertools.islice(_ways(weighed), max(0, len(route.points) - fewest)):
        ways = [way for way in every if way.margin_minutes >= 0]
        if ways:
            ways.sort(key=lambda way: -way.margin_minutes)
            return tuple(drop_fix(route, _numbers(route, way)) for way in ways[:most])
    return ()


def drops_to_count(weighed: WeighedRoute, count: int, most: int) -> tuple[Fix, ...]:
    """Return the ways to leave out so many points that leave most margin, best first."""
    if not 0 < count < len(weighed.route.points):
        return ()
    ways = sorted(next(_ways(weighed, count)), key=lambda way: -way.margin_minutes)
    return tuple(drop_fix(weighed.route, _numbers(weighed.route, way)) for way in ways[:most])


def _numbers(route: Route, way: Dropped) -> list[int]:
    return [route.points[place].number for place in way.places]


def _ways(weighed: WeighedRoute, fewest: int = 1) -> Iterator[list[Dropped]]:
    """Yield the ways to leave out so many points, then those to leave out one more, and so on."""
    points, problem = len(weighed.route.points), _on_best_days(weighed)
    gone: tuple[int, ...] = ()
    for count in range(fewest, points):
        ways: list[Dropped] = []
        if math.comb(points, count) <= MOST_SETS:
            ways = [_dropped(problem, places) for places in itertools.combinations(range(points), count)]
        else:
            while len(gone) < count:
                ways = _one_more(problem, points, gone)
                gone = max(ways, key=lambda way: way.margin_minutes).places
        yield ways


def _one_more(problem: SeasonProblem, points: int, gone: tuple[int, ...]) -> list[Dropped]:
    return [_dropped(problem, tuple(sorted((*gone, place)))) for place in _rest(points, gone)]


def _on_best_days(weighed: WeighedRoute) -> SeasonProblem:
    """Return the route's problem with light on the best dates of each visit only: the others need not be timed."""
    code, problem = weighed.route.code, weighed.problem
    assert weighed.facts is not None, "a route with points has been measured"
    best = np.fmax.reduce(weighed.facts.margin_minutes, axis=0)
    kept: set[int] = set()
    for number in range(1, len(problem.season.visits) + 1):
        days = [day for day in visit_days(problem.season, weighed.route, number) if not np.isnan(best[day])]
        kept.update(sorted(days, key=lambda day: -float(best[day]))[:DAYS_TRIED])
    dark = [day for day in range(len(best)) if day not in kept]
    light = problem.light[code]
    windows = tuple(replace(window, passes=_without(window.passes, dark)) for window in light.windows)
    return replace(problem, light={code: replace(light, windows=windows)})


def _without(passes: tuple[PassLight, ...], dark: list[int]) -> tuple[PassLight, ...]:
    """Return spans of light in which some dates have none."""
    opens, closes = [one.open_utc.copy() for one in passes], [one.close_utc.copy() for one in passes]
    for table in (*opens, *closes):
        table[dark] = np.nan
    return tuple(PassLight(*pair) for pair in zip(opens, closes, strict=True))


def _rest(points: int, gone: Sequence[int]) -> list[int]:
    return [place for place in range(points) if place not in gone]


def _dropped(problem: SeasonProblem, places: tuple[int, ...]) -> Dropped:
    (route,) = problem.season.routes
    kept = np.array(_rest(len(route.points), places), dtype=np.int64)
    return Dropped(places, _least_margin(_with_points(problem, route, kept)))


def _least_margin(problem: SeasonProblem) -> float:
    """Return the least margin of any visit on its best date; -inf where a visit has no window."""
    (route,) = problem.season.routes
    table = fit_table(problem, route).margin_minutes
    best = []
    for number in range(1, len(problem.season.visits) + 1):
        margins = table[:, visit_days(problem.season, route, number)]
        best.append(float(np.nanmax(margins)) if not np.isnan(margins).all() else -math.inf)
    return min(best)


def _with_points(problem: SeasonProblem, whole: Route, kept: IntArray) -> SeasonProblem:
    """Return the problem of a route with some of its points: nothing needs to be computed for that."""
    code = whole.code
    route = replace(whole, points=tuple(whole.points[place] for place in kept.tolist()))
    light, drives = problem.light[code], problem.drives[code]
    windows = tuple(
        replace(window, passes=_some(window.passes, kept), overcast=_some(window.overcast, kept))
        for window in light.windows
    )
    few = RouteDrives(
        legs=_table(drives.legs, kept, kept),
        out=_table(drives.out, np.arange(len(drives.out.expected)), kept),
        back=_table(drives.back, kept, np.arange(drives.back.expected.shape[1])),
    )
    season = replace(problem.season, routes=(route,))
    return SeasonProblem(season, {code: replace(light, windows=windows)}, {code: few}, problem.today)


def _some(passes: tuple[PassLight, ...], kept: IntArray) -> tuple[PassLight, ...]:
    return tuple(PassLight(one.open_utc[:, kept], one.close_utc[:, kept]) for one in passes)


def _table(minutes: DriveMinutes, rows: IntArray, columns: IntArray) -> DriveMinutes:
    cells = np.ix_(rows, columns)
    return DriveMinutes(
        minutes.optimistic[cells], minutes.expected[cells], minutes.cautious[cells], minutes.estimated[cells]
    )
