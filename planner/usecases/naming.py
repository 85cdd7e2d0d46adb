"""Who or what is meant by what somebody types: a volunteer by code or name, a visit by route and number."""

from __future__ import annotations

from planner.domain.errors import RuleError
from planner.domain.plan import VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer


def volunteer_called(season: Season, words: str) -> Volunteer:
    """Return the volunteer of that code, else of that name; capitals do not matter.

    Raises:
        RuleError: nobody is called so, or several are.
    """
    wanted = " ".join(words.split()).casefold()
    exact = [one for one in season.volunteers if one.code == words]
    by_code = exact or [one for one in season.volunteers if one.code.casefold() == wanted]
    found = by_code or [one for one in season.volunteers if " ".join(one.name.split()).casefold() == wanted]
    if not found:
        return season.volunteer(words)  # says which codes there are
    if len(found) > 1:
        codes = ", ".join(one.code for one in found)
        raise RuleError(f"several volunteers are called {words!r}: say which by code ({codes})")
    return found[0]


def route_called(season: Season, code: str) -> Route:
    """Return the route of that code; capitals do not matter, unless they alone tell two routes apart.

    Raises:
        RuleError: there is none.
    """
    return route_of_code(season, code) or season.route(code)


def route_of_code(season: Season, code: str) -> Route | None:
    """Return the route of that code, as :func:`route_called` finds it; None: there is none."""
    wanted = code.strip()
    exact = (one for one in season.routes if one.code == wanted)
    alike = (one for one in season.routes if one.code.casefold() == wanted.casefold())
    return next(exact, None) or next(alike, None)


def visit_called(season: Season, route: str, number: int) -> VisitKey:
    """Return a visit of the season; capitals in the route's code do not matter.

    Raises:
        RuleError: there is no such route, or its visits have other numbers.
    """
    called = route_called(season, route)
    season.protocol.visit(number)
    return VisitKey(called.code, number)
