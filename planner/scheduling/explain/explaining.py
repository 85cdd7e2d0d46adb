"""Explanations of a whole plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.domain.change import ChangeKind
from planner.domain.plan import Explanation, Plan, Relaxation, VisitKey
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.chains import Effort, chains
from planner.scheduling.explain.newcomer import with_newcomer
from planner.scheduling.explain.reasons import reasons_for
from planner.scheduling.explain.relaxing import single_changes, tried_words
from planner.scheduling.explain.ring import Ring, near_to
from planner.scheduling.explain.sets import sets_of_two

MOST_RELAXED = 60
"""Visits for which changes are looked for: more than a person reads, and the rest often fall with these."""


def explain(compiled: Compiled, plan: Plan, *, proven: bool = False) -> tuple[Explanation, ...]:
    """Return an explanation for every visit of a plan that is unfilled or has no reserve date; unfilled ones first.

    Visits that are fixed are left aside.

    Args:
        compiled: the season.
        plan: its plan.
        proven: whether no plan of the season as it is can be better: planning again is then not tried.
    """
    keys = _lacking(compiled, plan)
    if not keys:
        return ()
    looking = _Looking(
        with_newcomer(compiled.arrays), plan, near_to(compiled.arrays, compiled.routes), Effort(), proven
    )
    found = []
    for place, key in enumerate(keys):
        lack = Lack.of(looking.arrays, plan, key)
        changes = looking.changes(lack) if place < MOST_RELAXED else ()
        tried = tried_words(lack) if place < MOST_RELAXED and not changes else ""
        found.append(Explanation(key, reasons_for(lack), changes, lack.reserve_only, tried))
    return tuple(found)


@dataclass(frozen=True, slots=True, eq=False)
class _Looking:
    """Looking for changes, visit by visit."""

    arrays: SeasonArrays
    plan: Plan
    near: Mapping[str, frozenset[int]]
    effort: Effort
    proven: bool

    def changes(self, lack: Lack) -> tuple[Relaxation, ...]:
        """Return the smallest sets of changes: of one, if need be with others moving, else of two.

        Somebody new, whom the coordinator must find first, stands behind those who are there.
        """
        if not (lack.arrays.lit(lack.route) & lack.arrays.to_come).any():
            return ()
        single = single_changes(lack)
        if any(all(change.kind is not ChangeKind.NEWCOMER for change in one.changes) for one in single):
            return single
        moving = chains(Ring.round(lack, self.plan, self.near), self.effort, proven=self.proven)
        if any(not one.changes for one in moving):
            return (*moving, *single)
        return (*moving, *(() if moving else sets_of_two(lack, newcomer=not single)), *single)


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
