"""Areas that no volunteer can reach: neighbouring routes that are too far for everybody, said together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import sphere_metres
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.wording import listed

NEIGHBOURS_M = 15_000.0
"""Routes of which two points lie nearer than this to each other belong to one area: our choice."""


def areas_out_of_reach(season: Season, routes: Sequence[Route], facts: Mapping[str, RouteFacts]) -> Iterator[Finding]:
    """Yield a finding for each area of two or more routes that lie beyond what every volunteer offers to drive.

    A single route that nobody reaches is said with its visits: see ``lead_findings``.
    """
    far = [route for route in routes if _nobody_reaches(season, facts[route.code])]
    for area in _areas(far):
        if len(area) > 1:
            yield _finding(season, area, facts)


def _nobody_reaches(season: Season, facts: RouteFacts) -> bool:
    """Whether there are people who would go out, a road leads there from one of them, and it is too far for all."""
    willing, limits = _offers(season)
    minutes = facts.one_way_minutes[willing]
    return bool(np.isfinite(minutes).any()) and not bool((minutes <= limits[willing]).any())


def _offers(season: Season) -> tuple[np.ndarray, np.ndarray]:
    """Return who would go out at all, and how many minutes each offers to drive, in the season's order."""
    willing = np.array([volunteer.visits_limit > 0 for volunteer in season.volunteers], dtype=bool)
    limits = np.array([volunteer.drive_limit_minutes for volunteer in season.volunteers], dtype=np.float64)
    return willing, limits


def _areas(routes: Sequence[Route]) -> list[list[Route]]:
    """Return routes by area: each is the neighbour of another one of its area."""
    areas: list[list[Route]] = []
    for route in routes:
        near = [area for area in areas if any(_neighbours(route, other) for other in area)]
        joined = [*(other for area in near for other in area), route]
        areas = [*(area for area in areas if area not in near), joined]
    order = {route.code: place for place, route in enumerate(routes)}
    return sorted(
        (sorted(area, key=lambda route: order[route.code]) for area in areas), key=lambda area: order[area[0].code]
    )


def _neighbours(one: Route, other: Route) -> bool:
    return any(sphere_metres(a.place, b.place) < NEIGHBOURS_M for a in one.points for b in other.points)


def _finding(season: Season, area: Sequence[Route], facts: Mapping[str, RouteFacts]) -> Finding:
    willing, limits = _offers(season)
    excess = np.array([facts[route.code].one_way_minutes - limits for route in area])
    excess[:, ~willing] = np.inf
    row, column = np.unravel_index(int(np.argmin(excess)), excess.shape)
    nearest, route = season.volunteers[int(column)], area[int(row)]
    minutes = math.ceil(float(facts[route.code].one_way_minutes[column]))
    more = math.ceil(float(excess[row, column]) - _ROUNDING)
    # The one who could serve the whole area with the least more.
    to_all = excess.max(axis=0)
    whole = season.volunteers[int(np.argmin(to_all))]
    codes = listed(one.code for one in area)
    what = (
        f"No volunteer can reach routes {codes}: all lie farther than anybody offers to drive. Nearest is"
        f" {nearest.code}, {minutes} min one way from route {route.code}, {more} min more than offered."
    )
    todo = "Find somebody who lives nearer, or ask "
    if np.isfinite(to_all.min()):
        todo += (
            f"{whole.code} to drive {math.ceil(float(to_all.min()) - _ROUNDING)} min farther: that reaches all of them."
        )
    else:
        todo += f"{nearest.code} to drive farther."
    subject = Subject(route=area[0].code, more_routes=tuple(one.code for one in area[1:]))
    return Finding(Rule.AREA_NOBODY, Severity.TROUBLE, subject, what, todo)


_ROUNDING = 1e-9
