"""Explanations of a whole plan."""

from __future__ import annotations

from planner.domain.plan import Explanation, Plan, VisitKey
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.reasons import reasons_for
from planner.scheduling.explain.relaxing import relaxations_for

MOST_RELAXED = 40
"""Visits for which changes are looked for: more than a person reads, and the rest often fall with these."""


def explain(compiled: Compiled, plan: Plan) -> tuple[Explanation, ...]:
    """Return an explanation for every visit of a plan that is unfilled or has no reserve date; unfilled ones first.

    Changes are looked for with everything else as it stands, so a chain of changes may help where none is given.
    Visits that are fixed are left aside.
    """
    found = []
    for place, lack in enumerate(_lacks(compiled, plan)):
        changes = relaxations_for(lack) if place < MOST_RELAXED else ()
        found.append(Explanation(lack.key, reasons_for(lack), changes, lacks_reserve_only=lack.reserve_only))
    return tuple(found)


def _lacks(compiled: Compiled, plan: Plan) -> list[Lack]:
    stands, planned = compiled.arrays.fixed.by_key, plan.by_key
    keys = [
        VisitKey(route.code, number)
        for route in compiled.routes
        for number in range(1, len(compiled.arrays.protocol.visits) + 1)
    ]
    unfilled = [key for key in keys if key not in planned]
    unreserved = [key for key in keys if key in planned and key not in stands and planned[key].reserve is None]
    return [Lack.of(compiled.arrays, plan, key) for key in unfilled + unreserved]
