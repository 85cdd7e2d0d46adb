"""What a plan leaves open: visits that nobody makes, and visits without a reserve date."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season
from planner.scheduling.audit.case import Case


def unfilled(season: Season, plan: Plan) -> Iterator[Finding]:
    """Yield a finding for each visit of the season that the plan does not fill."""
    filled = {visit.key for visit in plan}
    for route in season.routes:
        for number in range(1, len(season.protocol.visits) + 1):
            if VisitKey(route.code, number) not in filled:
                yield Finding(
                    Rule.VISIT_UNFILLED,
                    Severity.TROUBLE,
                    Subject(route=route.code, visit=number),
                    f"Visit {number} has no date and no lead; it may lie in {season.visit_dates(route, number)}.",
                    "Plan the season: it fills it, or says why not and what would help.",
                )


def without_reserve(cases: Iterable[Case]) -> Iterator[Finding]:
    """Yield a finding for each visit still to be made that holds no reserve date."""
    for case in cases:
        if case.visit.reserve is None and not case.done:
            yield case.finding(
                Rule.VISIT_NO_RESERVE,
                f"{case.name} has no reserve date: weather on the evening would leave it unfilled.",
                f"Ask its people for one more date up to {case.dates.last}.",
                severity=Severity.DOUBT,
            )
