"""What the plan saves on the road against a plan made by hand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace

from planner.domain.plan import Plan, PlannedVisit
from planner.domain.reports.driving_saved import Beside, DrivingSaved, RouteDriving
from planner.domain.route import Route
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.usecases.plan.risk import plan_risk
from planner.usecases.reports.by_hand import by_hand


def driving_saved(problem: SeasonProblem, plan: Plan) -> DrivingSaved:
    """Return the plan's driving beside that of a plan made by hand; see ``COMPARED_WORDS`` for what is compared.

    Whole seasons are compared, days that are past included, so that the figure does not shrink as a season goes on.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
    """
    season, hand = problem.season, by_hand(problem)
    codes = {route.code for route in season.routes}
    stands = Plan(tuple(one for one in plan if one.key.route in codes))
    whole = [0.0, 0.0]
    routes = []
    for route in season.routes:
        one_way = drive_one_way_minutes(problem.drives[route.code]).tolist()
        minutes = {one.code: 2.0 * there for one, there in zip(season.volunteers, one_way, strict=True)}
        driving = _route_driving(season, route, plan, hand, minutes)
        for at, made in enumerate((plan, hand)):
            whole[at] += sum(
                _known_minutes(one, season.people_for(route), minutes) for one in made.of_route(route.code)
            )
        if driving.visits:
            routes.append(driving)
    return DrivingSaved(
        routes=tuple(routes),
        visits=len(season.routes) * len(season.visits),
        beside=tuple(_beside(problem, stands, hand)),
        filled=(len(stands), len(hand)),
        whole_minutes=(whole[0], whole[1]),
    )


def _beside(problem: SeasonProblem, plan: Plan, hand: Plan) -> Iterator[Beside]:
    yield Beside("visits filled", len(plan), len(hand))
    yield Beside("visits with a reserve date", _reserved(plan), _reserved(hand))
    if len(problem.season.visits) > 1:
        yield Beside("routes with one lead for all visits", _one_lead(problem, plan), _one_lead(problem, hand))
    if problem.season.protocol.people.preferred > 1:
        yield Beside("visits with two people", _accompanied(plan), _accompanied(hand))
    yield Beside("most visits of one person", _most_visits(plan), _most_visits(hand), least_is_best=True)
    # Two plans are compared as they were made: nobody went out by the one by hand, so none of its dates is missed.
    whole = replace(problem, today=None)
    both = plan_risk(whole, plan), plan_risk(whole, hand)
    if both[0] is not None and both[1] is not None:
        yield Beside("visits expected, by the weather", both[0].risk.expected_visits, both[1].risk.expected_visits)


def _reserved(plan: Plan) -> int:
    return sum(visit.reserve is not None for visit in plan)


def _accompanied(plan: Plan) -> int:
    return sum(bool(visit.second) for visit in plan)


def _one_lead(problem: SeasonProblem, plan: Plan) -> int:
    visits = [plan.of_route(route.code) for route in problem.season.routes]
    whole = [some for some in visits if len(some) == len(problem.season.visits)]
    return sum(len({visit.lead for visit in some}) == 1 for some in whole)


def _most_visits(plan: Plan) -> int:
    return max(Counter(code for visit in plan for code in visit.people).values(), default=0)


def _route_driving(season: Season, route: Route, plan: Plan, hand: Plan, minutes: Mapping[str, float]) -> RouteDriving:
    # A second who is only preferred goes in the plan and not by hand: only those who must go are compared.
    must = season.people_for(route)
    planned = {one.key: _minutes(one, must, minutes) for one in plan.of_route(route.code)}
    by_pencil = {one.key: _minutes(one, must, minutes) for one in hand.of_route(route.code)}
    both = [key for key in planned if key in by_pencil and math.isfinite(planned[key])]
    return RouteDriving(
        route=route.code,
        visits=len(both),
        plan_minutes=sum(planned[key] for key in both),
        hand_minutes=sum(by_pencil[key] for key in both),
    )


def _minutes(visit: PlannedVisit, must: int, minutes: Mapping[str, float]) -> float:
    """Return the driving of a visit, and of its set-up where that is a day of its own; inf for somebody unknown."""
    going = [*visit.people[:must], *([visit.lead] if visit.setup not in (None, visit.date) else [])]
    return sum(minutes.get(code, math.inf) for code in going)


def _known_minutes(visit: PlannedVisit, must: int, minutes: Mapping[str, float]) -> float:
    """Return the driving of a visit, nothing of somebody who has left the season or whom no road leads there."""
    found = _minutes(visit, must, minutes)
    return found if math.isfinite(found) else 0.0
