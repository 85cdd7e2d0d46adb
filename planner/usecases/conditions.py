"""Write down what is seen or forecast of an evening, and hold it against the protocol's weather limits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.domain.conditions import Condition, Conditions, with_conditions
from planner.domain.errors import RuleError
from planner.domain.season import Season
from planner.domain.verdict import Call, LimitCall, Verdict, quantities_asked, verdict
from planner.store import Changed, SeasonFile
from planner.usecases.planning import listed_codes

__all__ = ["Call", "LimitCall", "Verdict", "forget_conditions", "keep_conditions", "quantities_asked", "verdict"]


def keep_conditions(file: SeasonFile, date: dt.date, known: Sequence[Condition], routes: Sequence[str] = ()) -> Changed:
    """Write down conditions of a date, as one step; quantities that are not named stay as they are.

    Args:
        file: the season file.
        date: of the evening.
        known: what is known.
        routes: codes of the routes that they are for; none: every route that has nothing of its own.

    Raises:
        RuleError: nothing is given, the date lies outside the season, or a route is not in it.
    """
    season = file.season()
    _refuse_strange(season, date, routes)
    if not known:
        raise RuleError("there is nothing to write down: give at least one condition")
    given = [Conditions(date, route, tuple(known)) for route in (routes or [""])]
    said = ", ".join(f"{one.quantity.value.replace('_', ' ')} {one.said}" for one in known)
    with file.step(f"Conditions of {_day(date)}{_where(routes)}: {said}") as step:
        file.save_conditions(with_conditions(file.conditions(), given))
    return step.changed


def forget_conditions(file: SeasonFile, date: dt.date, routes: Sequence[str] = ()) -> Changed:
    """Take conditions of a date away, as one step: those of some routes, or all of that date.

    Raises:
        RuleError: the date lies outside the season, or a route is not in it.
    """
    _refuse_strange(file.season(), date, routes)
    kept = [one for one in file.conditions() if one.date != date or (bool(routes) and one.route not in routes)]
    with file.step(f"Take away the conditions of {_day(date)}{_where(routes)}") as step:
        file.save_conditions(kept)
    return step.changed


def _refuse_strange(season: Season, date: dt.date, routes: Sequence[str]) -> None:
    if date not in season.dates:
        raise RuleError(f"{date} lies outside the season ({season.dates})")
    for code in routes:
        season.route(code)


def _where(routes: Sequence[str]) -> str:
    return f" at {listed_codes(list(routes))}" if routes else ""


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
