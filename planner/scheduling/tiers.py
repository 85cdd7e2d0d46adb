"""What a plan reaches in each of the six aims, in order of importance."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from planner.domain.plan import Plan, PlannedVisit
from planner.scheduling.problem import SeasonProblem, drive_one_way_minutes
from planner.scheduling.result import Tier

NAMES = (
    "visits filled",
    "visits with a reserve date",
    "minutes of driving",
    "routes with one lead",
    "unevenness of load",
    "days after the first date",
)


def tiers_of(problem: SeasonProblem, plan: Plan, bounds: tuple[float | None, ...]) -> tuple[Tier, ...]:
    """Return the six aims of a plan.

    Args:
        problem: the season.
        plan: any plan of it.
        bounds: of the aims, in order; None where nothing is proven.
    """
    known = len(problem.season.protocol.visits)
    visits = [visit for visit in plan if visit.key.route in problem.drives and visit.key.number <= known]
    loads = Counter(code for visit in visits for code in visit.people)
    values = (
        float(len(visits)),
        float(sum(visit.reserve is not None for visit in visits)),
        sum(driving(problem, plan)),
        float(sum(_one_lead(problem, plan, route.code) for route in problem.season.routes)),
        float(sum(load**2 for load in loads.values())),
        float(sum(_late(problem, visit) for visit in visits)),
    )
    return tuple(Tier(*aim) for aim in zip(NAMES, values, bounds, strict=True))


def driving(problem: SeasonProblem, plan: Plan) -> Iterator[float]:
    """Yield the minutes out and back of each person of each visit, and of each set-up on a day of its own."""
    number = {volunteer.code: v for v, volunteer in enumerate(problem.season.volunteers)}
    for visit in plan:
        if visit.key.route not in problem.drives or not problem.season.route(visit.key.route).points:
            continue
        one_way = drive_one_way_minutes(problem.drives[visit.key.route])
        going = [*visit.people, *([visit.lead] if visit.setup not in (None, visit.date) else [])]
        minutes = (float(one_way[number[code]]) for code in going if code in number)
        yield from (2.0 * one for one in minutes if math.isfinite(one))


def _one_lead(problem: SeasonProblem, plan: Plan, route: str) -> bool:
    visits = plan.of_route(route)
    return len(visits) == len(problem.season.protocol.visits) and len({visit.lead for visit in visits}) == 1


def _late(problem: SeasonProblem, visit: PlannedVisit) -> int:
    dates = problem.season.visit_dates(problem.season.route(visit.key.route), visit.key.number)
    return max((visit.date - dates.first).days, 0) * len(visit.people)
