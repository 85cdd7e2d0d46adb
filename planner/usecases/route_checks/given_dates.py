"""Volunteers whose dates are of no use, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.route_checks.length import visit_days
from planner.usecases.wording import PART_WORDS, commonest, listed


@dataclass(frozen=True, slots=True)
class _UsefulDates:
    """The dates on which somebody could go out."""

    in_range: frozenset[dt.date]
    """Dates of any visit of any route."""
    lit: frozenset[tuple[dt.date, PartOfDay]]
    """Those of them that have a window on one of the routes, with the part of the day it lies in."""

    @classmethod
    def of(cls, season: Season, facts: Mapping[str, RouteFacts]) -> _UsefulDates:
        calendar, windows = list(season.dates), season.protocol.windows
        in_range: set[dt.date] = set()
        lit: set[tuple[dt.date, PartOfDay]] = set()
        for route in season.routes:
            days = {day for number in range(1, len(season.visits) + 1) for day in visit_days(season, route, number)}
            in_range |= {calendar[day] for day in days}
            there = ~np.isnan(facts[route.code].margin_minutes)
            lit |= {(calendar[day], windows[row].part) for row, day in np.argwhere(there) if day in days}
        return cls(frozenset(in_range), frozenset(lit))


def date_findings(season: Season, facts: Mapping[str, RouteFacts]) -> Iterator[Finding]:
    """Yield one finding for each volunteer, willing to go out, who has no usable date."""
    useful = _UsefulDates.of(season, facts)
    for volunteer in season.volunteers:
        trouble = _trouble(season, facts, useful, volunteer) if volunteer.visits_limit else None
        if trouble is not None:
            what, todo = trouble
            yield Finding(Rule.VOLUNTEER_NO_EVENING, Severity.TROUBLE, Subject(volunteer=volunteer.code), what, todo)


def _trouble(
    season: Season, facts: Mapping[str, RouteFacts], useful: _UsefulDates, volunteer: Volunteer
) -> tuple[str, str] | None:
    """Return why none of the volunteer's dates can be used, and what to ask for; None where one can."""
    code = volunteer.code
    given = {(day, part) for day in season.dates for part in volunteer.parts_on(day)}
    wanted = {window.part for window in season.protocol.windows}
    parts = listed(f"{PART_WORDS[part]}s" for part in sorted(wanted))
    ask = f"Ask {code} for {parts}"
    if not given:
        return f"{code} has given no date in the season ({season.dates}).", f"{ask}."
    proper = {(day, part) for day, part in given if part in wanted}
    if not proper:
        only = listed(sorted(f"{PART_WORDS[part]}s" for part in {part for _, part in given}))
        return f"{code} has given {only} only; the counts need {parts}.", f"{ask}."
    if not season.routes:
        return None
    inside = {(day, part) for day, part in proper if day in useful.in_range}
    if not inside:
        dates = f"{min(useful.in_range)} to {max(useful.in_range)}" if useful.in_range else "none at all"
        what = f"None of the {len(proper)} {parts} that {code} has given lies in the dates of a visit ({dates})."
        return what, f"{ask} in those dates."
    if inside & useful.lit or not useful.lit:
        return None
    why = commonest(_reasons(season, facts, inside), "the light rule is not met")
    return f"None of the {len(inside)} {parts} that {code} has given has a window: {why}.", f"{ask} on other dates."


def _reasons(season: Season, facts: Mapping[str, RouteFacts], given: set[tuple[dt.date, PartOfDay]]) -> Iterator[str]:
    """Yield why the given dates have no window, for each route."""
    for one in facts.values():
        for window, table in zip(season.protocol.windows, one.no_window, strict=True):
            yield from (table[day] for day, part in sorted(given) if part is window.part and day in table)
