"""Explanations of a whole plan."""

from __future__ import annotations

from planner.domain.change import ChangeKind
from planner.domain.plan import Explanation, Plan, Relaxation, VisitKey
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.newcomer import with_newcomer
from planner.scheduling.explain.reasons import reasons_for
from planner.scheduling.explain.relaxing import single_changes, tried_words
from planner.scheduling.explain.sets import sets_of_two

MOST_RELAXED = 60
"""Visits for which changes are looked for: more than a person reads, and the rest often fall with these."""


def explain(compiled: Compiled, plan: Plan) -> tuple[Explanation, ...]:
    """Return an explanation for every visit of a plan that is unfilled or has no reserve date; unfilled ones first.

    Visits that are fixed are left aside.
    """
    keys = _lacking(compiled, plan)
    arrays = with_newcomer(compiled.arrays) if keys else compiled.arrays
    found = []
    for place, key in enumerate(keys):
        lack = Lack.of(arrays, plan, key)
        changes = _changes(lack) if place < MOST_RELAXED else ()
        tried = tried_words(lack) if place < MOST_RELAXED and not changes else ""
        found.append(Explanation(key, reasons_for(lack), changes, lack.reserve_only, tried))
    return tuple(found)


def _changes(lack: Lack) -> tuple[Relaxation, ...]:
    """Return the smallest sets of changes: of one, else of two; somebody new stands behind those who are there."""
    if not (lack.arrays.lit(lack.route) & lack.arrays.to_come).any():
        return ()
    single = single_changes(lack)
    alone = [one for one in single if all(change.kind is not ChangeKind.NEWCOMER for change in one.changes)]
    return single if alone else (*sets_of_two(lack, newcomer=not single), *single)


def _lacking(compiled: Compiled, plan: Plan) -> list[VisitKey]:
    """Return the visits that are unfilled, then those that are planned anew and have no reserve date."""
    stands, planned = compiled.arrays.fixed.by_key, plan.by_key
    keys = [
        VisitKey(route.code, number)
        for route in compiled.routes
        for number in range(1, len(compiled.arrays.protocol.visits) + 1)
    ]
    unfilled = [key for key in keys if key not in planned]
    return unfilled + [key for key in keys if key in planned and key not in stands and planned[key].reserve is None]
