"""A second person where the protocol prefers two and one would do: added to a plan that is otherwise done."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.plan import Plan, PlannedVisit
from planner.domain.route import Route
from planner.domain.window import PartOfDay
from planner.scheduling.engine.arrays import SeasonArrays, person_days


def with_preferred_seconds(arrays: SeasonArrays, plan: Plan) -> Plan:
    """Return the plan with a second person on every open visit that can have one, visits in order of their dates.

    Only where the protocol prefers two people and the route asks for one. The second is near enough, has given
    date and reserve date, is doing nothing else on them and keeps their limit; of several the one with fewest
    visits, then the shortest drive. Nobody's dates change for it, and it is not proven to serve the most visits.
    """
    if arrays.protocol.people.preferred < 2:
        return plan
    for visit in sorted(plan, key=lambda one: (one.date, one.key)):
        fixed = visit.key in arrays.fixed.by_key
        if not fixed and not visit.second:
            code = _second_for(arrays, plan, visit)
            plan = plan.with_visit(replace(visit, second=code)) if code else plan
    return plan


def _second_for(arrays: SeasonArrays, plan: Plan, visit: PlannedVisit) -> str:
    route = arrays.season.route(visit.key.route)
    part = next(window.part for window in arrays.protocol.windows if window.name == visit.window)
    busy = {(code, day) for other in plan for code, day in person_days(other)}
    free = [
        (len(plan.of_volunteer(one.code)), float(arrays.drive(route)[v]), one.code)
        for v, one in enumerate(arrays.season.volunteers)
        if one.code != visit.lead and _can_join(arrays, route, v, visit, part)
        if len(plan.of_volunteer(one.code)) < one.visits_limit
        if not any((one.code, day) in busy for day in (visit.date, visit.reserve))
    ]
    return min(free)[2] if free else ""


def _can_join(arrays: SeasonArrays, route: Route, volunteer: int, visit: PlannedVisit, part: PartOfDay) -> bool:
    person, days = arrays.season.volunteers[volunteer], arrays.problem.days
    near = arrays.drive(route)[volunteer] <= person.drive_limit_minutes
    dates = [day for day in (visit.date, visit.reserve) if day is not None and day in days]
    return bool(near) and all(part in person.parts_on(day) for day in dates)
