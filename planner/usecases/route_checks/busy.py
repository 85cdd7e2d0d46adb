"""Points nearer to a busy road than the protocol allows, where the map tells."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet

from planner.domain.counting import BusyRoadRule
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.wording import metres_words, runs


def busy_findings(
    rule: BusyRoadRule | None, route: Route, facts: RouteFacts, astray: AbstractSet[int]
) -> Iterator[Finding]:
    """Yield one finding for the points of a route that stand too near to a busy road; ``astray`` ones are left out."""
    near = [
        (road.metres, place, road)
        for place, road in enumerate(facts.busy_roads)
        if road is not None and place not in astray
    ]
    if rule is None or not near:
        return
    metres, nearest, road = min(near, key=lambda one: one[:2])
    numbers = [route.points[place].number for _, place, _ in near]
    number = route.points[nearest].number
    beside = f"on {road.title}" if metres < ON_ROAD_M else f"{metres_words(metres)} from {road.title}"
    wanted = f"the protocol wants {rule.least} or more from busy roads"
    if len(numbers) == 1:
        what = f"Point {number} stands {beside}; {wanted}."
    else:
        what = f"Points {runs(numbers)} stand near busy roads, point {number} nearest, {beside}; {wanted}."
    todo = (
        "Move them to a quieter road, or drop them." if len(numbers) > 1 else "Move it to a quieter road, or drop it."
    )
    subject = Subject(route=route.code, point=number)
    yield Finding(Rule.ROUTE_BUSY_ROAD, Severity.TROUBLE, subject, what, todo)


ON_ROAD_M = 10.0
"""Nearer than this a point stands on the road itself: no receiver tells the verge from the lane. Our choice."""
