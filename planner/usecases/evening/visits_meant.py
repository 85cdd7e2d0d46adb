"""Which visits of one evening are meant: those of some routes, of an area, or those that stand against the weather."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection

from planner.domain.disruption import Disruption, VisitCancelled, VisitsCancelled
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.season import Season
from planner.usecases.naming import route_called


def routes_of_area(season: Season, area: str) -> tuple[str, ...]:
    """Return the codes of the routes of an area; capitals do not matter.

    Raises:
        RuleError: no route says that it lies there.
    """
    wanted = area.strip().casefold()
    found = tuple(route.code for route in season.routes if wanted and route.area.casefold() == wanted)
    if not found:
        known = ", ".join(sorted({route.area for route in season.routes if route.area}))
        raise RuleError(f"no route lies in area {area!r}; the routes' areas are {known or 'not written down'}")
    return found


def weather_cancels(season: Season, plan: Plan, date: dt.date, routes: Collection[str]) -> Disruption:
    """Return what it is that weather takes the visits of some routes on one date.

    What is done there is not meant: no weather takes it any more. Where all is done, it is named all the same, and the
    repair says why nothing can be cancelled.

    Raises:
        RuleError: the season has no such route.
        ImpossibleError: none of them goes out on that date.
    """
    codes = {route_called(season, code).code for code in routes}
    visits = [visit for visit in plan if visit.date == date and visit.key.route in codes]
    keys = tuple(visit.key for visit in visits if visit.status is not Status.DONE) or tuple(one.key for one in visits)
    if not keys:
        out = sorted(visit.key for visit in plan if visit.date == date)
        raise ImpossibleError(
            f"None of these routes has a visit on {date:%a} {date.day} {date:%b}.",
            f"On that date: {', '.join(map(str, out)) or 'nobody goes out to count'}.",
        )
    return cancelled(keys)


def cancelled(keys: tuple[VisitKey, ...]) -> Disruption:
    """Return what it is that weather takes these visits, one or several.

    Raises:
        RuleError: none is named, or one is named twice.
    """
    return VisitCancelled(keys[0]) if len(keys) == 1 else VisitsCancelled(keys)
