"""Judge any plan, whoever made it: every rule derived again from the protocol, no code shared with the optimiser."""

from __future__ import annotations

from collections.abc import Iterator

from planner.domain.finding import Finding, Rule, worst_first
from planner.domain.plan import Plan
from planner.scheduling.audit.case import Case, open_case
from planner.scheduling.audit.coverage import unfilled, without_reserve
from planner.scheduling.audit.dates import date_findings, gap_findings
from planner.scheduling.audit.duty import days_twice, overloaded
from planner.scheduling.audit.people import people_findings
from planner.scheduling.audit.setup import setup_findings
from planner.scheduling.audit.windows import window_findings
from planner.scheduling.problem import SeasonProblem

__all__ = ["audit"]


def audit(problem: SeasonProblem, plan: Plan) -> list[Finding]:
    """Judge a plan against every rule of its season's protocol.

    Args:
        problem: the season, with its light windows and drive minutes.
        plan: any plan: the optimiser's, one dragged together on the board, or an imported one. It may name
            routes, visits, people and windows that the season does not have.

    Returns:
        Findings, worst first. One of severity ``BROKEN`` means that the plan may not be accepted; a visit that is
        unfilled (``TROUBLE``) or has no reserve date (``DOUBT``) breaks no rule. A finding on two visits is put to
        the one that can still be changed.
    """
    return list(worst_first(list(_all_findings(problem, plan))))


def _all_findings(problem: SeasonProblem, plan: Plan) -> Iterator[Finding]:
    cases: list[Case] = []
    for visit in plan:
        case, unknown = open_case(problem, visit)
        yield from unknown
        if case is not None:
            cases.append(case)
    for case in cases:
        yield from date_findings(case)
        if not case.route.points:
            what = f"Route {case.route.code} has no points, so nothing can be counted on it."
            yield case.finding(Rule.ROUTE_POINTS, what, "Import the route's points, or take the visit out of the plan.")
            continue
        yield from people_findings(case)
        yield from window_findings(case)
        yield from setup_findings(case)
    yield from gap_findings(cases)
    yield from days_twice(problem.season, plan)
    yield from overloaded(problem.season, plan)
    yield from unfilled(problem.season, plan)
    yield from without_reserve(cases)
