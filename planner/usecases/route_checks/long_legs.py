"""A leg far longer than the others: a point that is missing, or one that is misplaced."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.usecases.route_checks.facts import FloatArray, RouteFacts
from planner.usecases.route_checks.numbering import missing_numbers
from planner.usecases.wording import metres_words, runs

MANY_TIMES = 3.0
"""So many times the median leg is far longer than the others: our choice."""
LEAST_SCORE = 3.5
"""Least modified z-score of an outlier; Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993); from memory."""
FEWEST_LEGS = 4
"""Below this a median says nothing."""

_NORMAL = 0.6745
"""Median absolute deviation of a normal distribution, as a share of its standard deviation; the same source."""


@dataclass(frozen=True, slots=True)
class LongLeg:
    """A leg that is far longer than the others, by the place in the route of the point where it begins."""

    place: int
    metres: float
    median_m: float


def long_legs(metres: FloatArray) -> list[LongLeg]:
    """Return the legs that are far longer than the others.

    Far longer is more than ``MANY_TIMES`` the median, and an outlier by the median absolute deviation, so that
    legs which are all of different lengths are none.

    Args:
        metres: of each leg, in order; those without a road are inf and left out.
    """
    known = metres[np.isfinite(metres)]
    if len(known) < FEWEST_LEGS:
        return []
    median = float(np.median(known))
    spread = float(np.median(np.abs(known - median)))
    return [
        LongLeg(place, float(leg), median)
        for place, leg in enumerate(metres.tolist())
        if np.isfinite(leg) and leg > MANY_TIMES * median and _NORMAL * (leg - median) > LEAST_SCORE * spread
    ]


def leg_metres(facts: RouteFacts) -> tuple[FloatArray, str]:
    """Return the metres from each point to the next, and how they were measured in words."""
    metres = facts.straight_m if facts.road_m is None else facts.road_m
    how = "as the crow flies" if facts.road_m is None else "along the road"
    steps = [min(metres[place, place + 1], metres[place + 1, place]) for place in range(len(metres) - 1)]
    return np.array(steps, dtype=np.float64), how


def leg_findings(route: Route, facts: RouteFacts) -> Iterator[tuple[Finding, frozenset[int]]]:
    """Yield a finding for each leg far longer than the others, and the missing numbers that it names.

    A point far from both its neighbours is one finding.
    """
    metres, how = leg_metres(facts)
    legs = {leg.place: leg for leg in long_legs(metres)}
    numbers = [point.number for point in route.points]
    missing = missing_numbers(numbers)
    for place in sorted(legs):
        if place not in legs:
            continue
        behind = legs.pop(place + 1, None)
        if behind is not None:
            yield _lonely(route, place + 1, legs[place], behind, how), frozenset()
            continue
        low, high = sorted((numbers[place], numbers[place + 1]))
        between = [number for number in missing if low < number < high]
        yield _long(route, legs[place], how, between), frozenset(between)


def _long(route: Route, leg: LongLeg, how: str, missing: list[int]) -> Finding:
    here, there = (point.number for point in route.points[leg.place : leg.place + 2])
    what = (
        f"From point {here} to point {there} it is {metres_words(leg.metres)} {how},"
        f" {leg.metres / leg.median_m:.0f} times as far as between most neighbours ({metres_words(leg.median_m)})."
    )
    if missing:
        lost = f"point{'s' if len(missing) > 1 else ''} {runs(missing)}"
        what += f" There {'are' if len(missing) > 1 else 'is'} no {lost} between them."
        todo = f"Look whether {lost} got lost, or one of the two is misplaced."
    else:
        todo = "Look whether one of the two is misplaced, or a point between them is missing."
    return Finding(Rule.ROUTE_LONG_LEG, Severity.DOUBT, _subject(route, leg.place), what, todo)


def _lonely(route: Route, place: int, before: LongLeg, behind: LongLeg, how: str) -> Finding:
    first, number, last = (point.number for point in route.points[place - 1 : place + 2])
    what = (
        f"Point {number} lies far from its neighbours: {metres_words(before.metres)} from point {first} and"
        f" {metres_words(behind.metres)} from point {last} {how};"
        f" most neighbours are {metres_words(before.median_m)} apart."
    )
    todo = "Look whether it is misplaced, or belongs to another route."
    subject = Subject(route=route.code, point=number)
    return Finding(Rule.ROUTE_LONG_LEG, Severity.DOUBT, subject, what, todo)


def _subject(route: Route, place: int) -> Subject:
    """Return the point that a long leg is said of: the later one; point 1 where it is the first leg."""
    first = place == 0 and len(route.points) > 2
    return Subject(route=route.code, point=route.points[place if first else place + 1].number)
