"""From a season to an instance: every route with something to plan, the fixed visits taken off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.domain.plan import Plan
from planner.domain.route import Route
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.cases import route_case
from planner.scheduling.engine.instance import Instance, Standing
from planner.scheduling.engine.weights import SEASON
from planner.scheduling.problem import SeasonProblem


@dataclass(frozen=True, slots=True, eq=False)
class Compiled:
    """An instance with the way back to its season."""

    instance: Instance
    routes: tuple[Route, ...]
    """Of the instance's routes, in order."""
    arrays: SeasonArrays


def fixed_part(problem: SeasonProblem, plan: Plan | None) -> Plan:
    """Return the visits of a plan that must stay as they are: pinned, confirmed, done or past."""
    today = problem.today
    visits = plan or Plan()
    return Plan(tuple(v for v in visits if v.fixed or (today is not None and v.date < today)))


def compile_season(problem: SeasonProblem, fixed: Plan, only: frozenset[str] | None = None) -> Compiled:
    """Return the arrays of a season.

    Args:
        problem: the season.
        fixed: the visits that must stay as they are; their people, days and loads are taken off.
        only: codes of the routes whose open visits are planned; None: of all.
    """
    arrays = SeasonArrays(problem, fixed)
    cases, routes = [], []
    for route in problem.season.routes:
        if only is not None and route.code not in only:
            continue
        case = route_case(arrays, route, arrays.room)
        if case.open_visits:
            cases.append(case)
            routes.append(route)
    standing, constant = _standing(arrays)
    instance = Instance(len(problem.days), tuple(cases), arrays.room, constant, standing)
    return Compiled(instance, tuple(routes), arrays)


def _standing(arrays: SeasonArrays) -> tuple[Standing, float]:
    """Return what the fixed visits come to, and what they add to the objective."""
    season, driven, late = arrays.season, 0.0, 0
    routes = {route.code: route for route in season.routes}
    known = len(arrays.protocol.visits)
    visits = [visit for visit in arrays.fixed if visit.key.route in routes and visit.key.number <= known]
    for visit in visits:
        route = routes[visit.key.route]
        one_way = [arrays.drive(route)[arrays.number[code]] for code in visit.people if code in arrays.number]
        if visit.setup not in (None, visit.date):
            one_way += one_way[:1]
        # Where no road leads there is no telling; the audit says so.
        driven += SEASON.drive * float(sum(minutes for minutes in one_way if np.isfinite(minutes)))
        first = season.visit_dates(route, visit.key.number).first
        late += max((visit.date - first).days, 0) * len(visit.people)
    reserved = sum(visit.reserve is not None for visit in visits)
    one_lead = sum(_all_fixed_by_one(arrays, route) for route in season.routes)
    value = SEASON.filled * len(visits) + SEASON.reserved * reserved + driven + SEASON.late_day * late
    value += SEASON.load * float((arrays.room.load**2).sum()) + SEASON.same_lead * one_lead
    return Standing(len(visits), reserved, driven, one_lead, late), value


def _all_fixed_by_one(arrays: SeasonArrays, route: Route) -> bool:
    visits, count = arrays.fixed.of_route(route.code), len(arrays.protocol.visits)
    if count < 2 or not arrays.protocol.people.same_lead:
        return False
    return len(visits) == count and len({visit.lead for visit in visits}) == 1
