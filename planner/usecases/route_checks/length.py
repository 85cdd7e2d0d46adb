"""A route against the light: whether any date of a visit has a window, and one long enough for its counts."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.window import PartOfDay
from planner.usecases.route_checks.facts import FloatArray, RouteFacts
from planner.usecases.wording import commonest, day_words, visits_words

_FIT_MINUTES = -0.5 / 60
"""Half a second late is in time: no almanac and no watch is better."""


@dataclass(frozen=True, slots=True)
class VisitLight:
    """What the light comes to on the dates of one visit of one route."""

    route: str
    number: int
    best_minutes: float | None
    """Margin on the best date; below 0: too long by so much; None: no date has a window."""
    best_day: dt.date | None
    points_lost: int
    """Points that do not fit on the best date; 0 where that is not known."""
    why_none: str
    """Why the dates have no window: the commonest reason."""
    fitting: frozenset[tuple[dt.date, PartOfDay]]
    """Dates with a window long enough, and the part of the day that it lies in."""

    @property
    def fits(self) -> bool:
        """Whether there is a date with a window long enough."""
        return bool(self.fitting)


def visit_days(season: Season, route: Route, number: int) -> list[int]:
    """Return the dates that a visit may have, by place in the season."""
    dates, whole = season.visit_dates(route, number), season.dates
    before, beyond = (dates.first - whole.first).days, (dates.last - whole.first).days + 1
    return list(range(max(before, 0), min(beyond, len(whole))))


def lights_of(season: Season, facts: Mapping[str, RouteFacts]) -> dict[tuple[str, int], VisitLight]:
    """Return the light of every visit, by route code and number."""
    return {
        (route.code, number): _light(season, route, facts[route.code], number)
        for route in season.routes
        for number in range(1, len(season.visits) + 1)
    }


def _light(season: Season, route: Route, facts: RouteFacts, number: int) -> VisitLight:
    days, calendar = visit_days(season, route, number), list(season.dates)
    margins: FloatArray = facts.margin_minutes[:, days]
    parts = [window.part for window in season.protocol.windows]
    fitting = frozenset((calendar[days[column]], parts[row]) for row, column in np.argwhere(margins >= _FIT_MINUTES))
    reasons = [table[calendar[day]] for table in facts.no_window for day in days if calendar[day] in table]
    why = commonest(reasons, "the light rule is met on none of them")
    if np.isnan(margins).all():
        return VisitLight(route.code, number, None, None, 0, why, fitting)
    row, column = np.unravel_index(int(np.nanargmax(margins)), margins.shape)
    lost = 0 if facts.points_lost is None else int(facts.points_lost[row, days[column]])
    return VisitLight(route.code, number, float(margins[row, column]), calendar[days[column]], lost, why, fitting)


def light_findings(
    season: Season,
    routes: Sequence[Route],
    lights: Mapping[tuple[str, int], VisitLight],
) -> Iterator[Finding]:
    """Judge the light of the given routes."""
    numbers = range(1, len(season.visits) + 1)
    dark_for_all = {
        number
        for number in numbers
        if len(routes) > 1 and all(lights[route.code, number].best_minutes is None for route in routes)
    }
    for number in sorted(dark_for_all):
        light = lights[routes[0].code, number]
        what = f"No route has a window on any date of visit {number} ({season.visits[number - 1]}): {light.why_none}."
        yield Finding(Rule.VISIT_NO_LIGHT, Severity.TROUBLE, Subject(visit=number), what, "Choose other dates.")
    for route in routes:
        of_route = [lights[route.code, number] for number in numbers if number not in dark_for_all]
        for light in of_route:
            if light.best_minutes is None:
                yield _dark(season, route, light)
        yield from _too_long(route, of_route)


def _dark(season: Season, route: Route, light: VisitLight) -> Finding:
    dates = season.visit_dates(route, light.number)
    what = f"No date of visit {light.number} ({dates}) has a window on route {route.code}: {light.why_none}."
    subject = Subject(route=route.code, visit=light.number)
    return Finding(Rule.VISIT_NO_LIGHT, Severity.TROUBLE, subject, what, "Choose other dates for it.")


def _too_long(route: Route, lights: Sequence[VisitLight]) -> Iterator[Finding]:
    """Yield one finding for the route: the visits that its counts are too long for, and by how much at best."""
    long = [light for light in lights if light.best_minutes is not None and not light.fits]
    if not long:
        return
    by_excess: dict[str, list[VisitLight]] = defaultdict(list)
    for light in long:
        by_excess[_excess(light)].append(light)
    said = [f"by {excess} for {visits_words([one.number for one in ones])}" for excess, ones in by_excess.items()]
    what = f"Route {route.code} is too long for its light window even in the best case: {'; '.join(said)}."
    lost = max(light.points_lost for light in long)
    drop = f"Drop {lost} point{'s' if lost > 1 else ''}" if lost else "Drop points"
    subject = Subject(route=route.code, visit=long[0].number if len(long) == 1 else None)
    todo = f"{drop}, split the route, or choose dates with a longer window."
    yield Finding(Rule.ROUTE_TOO_LONG, Severity.TROUBLE, subject, what, todo)


def _excess(light: VisitLight) -> str:
    assert light.best_minutes is not None, "a visit without any window is not too long"
    assert light.best_day is not None, "the best margin has its date"
    minutes = int(np.ceil(round(-light.best_minutes, 6)))
    return f"{minutes} min on {day_words(light.best_day)}"
