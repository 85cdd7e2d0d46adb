"""A fix says what it ends and what it brings."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.usecases.route_fixes import (
    Fix,
    FixKind,
    WeighedFix,
    weigh,
)
from tests.unit.usecases.checked_seasons import route
from tests.unit.usecases.test_route_fixes import planned_on_nothing


def test_that_a_fix_says_what_it_ends_and_what_it_brings() -> None:
    def finding(rule: Rule, point: int) -> Finding:
        return Finding(rule, Severity.TROUBLE, Subject("R1", point), "what", "todo")

    base = weigh(planned_on_nothing(route("R1")), route("R1"))
    before = replace(base, findings=(finding(Rule.ROUTE_CIRCLES, 2), finding(Rule.ROUTE_CIRCLES, 3)))
    after = replace(base, findings=(finding(Rule.ROUTE_CIRCLES, 2), finding(Rule.ROUTE_OFF_ROAD, 1)))
    weighed = WeighedFix(Fix(FixKind.DROP, base.route, base.route), before, after)
    assert weighed.gone == (finding(Rule.ROUTE_CIRCLES, 3),)
    assert weighed.come == (finding(Rule.ROUTE_OFF_ROAD, 1),)
    assert weighed.mends(finding(Rule.ROUTE_CIRCLES, 2))
    assert not weighed.mends(finding(Rule.ROUTE_SPACING, 2))
