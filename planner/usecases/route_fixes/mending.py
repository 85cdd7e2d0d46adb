"""A route of a season file with everything that can be done about it, numbered; and doing one of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.errors import RuleError
from planner.domain.finding import Finding
from planner.store import SeasonFile
from planner.usecases.route_fixes.fixes import Fix, WeighedFix, apply_fix, weigh_fix
from planner.usecases.route_fixes.offers import fixes_for
from planner.usecases.route_fixes.orders import order_fixes
from planner.usecases.route_fixes.weighing import Surroundings, WeighedRoute, weigh
from planner.usecases.routes.editing import RouteChanged
from planner.usecases.season.opening import road_network


@dataclass(frozen=True, slots=True)
class Mendable:
    """A route, measured, and what can be done about it."""

    weighed: WeighedRoute
    offers: tuple[tuple[Finding | None, WeighedFix], ...]
    """Each with the finding that it ends; None: another order or numbering, which may be wanted anyhow."""


def mendable(file: SeasonFile, code: str, today: dt.date | None = None, *, offers: bool = True) -> Mendable:
    """Return a route with what can be done about each finding on it; the file is not changed.

    Args:
        file: the season file.
        code: the route.
        today: visits before it are past.
        offers: whether to look for what can be done, which takes a while.

    Raises:
        RuleError: there is no such route.
    """
    season = file.season()
    around = Surroundings(season, file.plan(), road_network(file.path, season.roads), today)
    weighed = weigh(around, season.route(code))
    if not offers:
        return Mendable(weighed, ())
    found: dict[Fix, tuple[Finding | None, WeighedFix]] = {}
    for finding in weighed.findings:
        for fix in fixes_for(around, weighed, finding):
            found.setdefault(fix.fix, (finding, fix))  # what ends several findings is offered once
    for order in order_fixes(weighed):
        found.setdefault(order, (None, weigh_fix(around, weighed, order)))
    return Mendable(weighed, tuple(found.values()))


def mend(file: SeasonFile, offered: Mendable, number: int) -> RouteChanged:
    """Do one of the things that are offered for a route, as one step.

    Raises:
        RuleError: nothing of that number is offered.
        ImpossibleError: the route has changed since.
    """
    if not 1 <= number <= len(offered.offers):
        raise RuleError(f"{len(offered.offers)} things are offered for this route, found number {number}")
    return apply_fix(file, offered.offers[number - 1][1].fix)
