"""Two changes that together would mend a visit which no single one does, each set verified by planning its route anew.

No set holds a smaller one: they are looked for only where no single change helps. Somebody new is such a change too,
but one whom the coordinator must first find, so sets of those who are there are looked for beside them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from planner.domain.change import Change, ChangeKind
from planner.domain.plan import Relaxation
from planner.scheduling.engine.cases import Ease
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.easing import both, without
from planner.scheduling.explain.relaxing import (
    beyond,
    least_mending,
    near,
    rank,
    relaxation,
    rules,
    unequipped,
    untrained,
)

_PEOPLE = 30
"""People asked together, nearest first."""

_OF_A_KIND = 3
_MOST_OFFERED = 6

_PERSONAL = {
    ChangeKind.GIVES: "any_day",
    ChangeKind.VISITS: "another_visit",
    ChangeKind.DRIVES: "drive",
    ChangeKind.LEARNS: "trained",
    ChangeKind.BRINGS: "equipped",
}


def sets_of_two(lack: Lack, *, newcomer: bool = True) -> tuple[Relaxation, ...]:
    """Return sets of two changes that mend what a visit lacks and no single change does, the smallest first.

    Args:
        lack: the visit.
        newcomer: whether somebody new may be one of the two: not where they alone would do.
    """
    found = [*_of_people(lack, everybody(lack)), *_person_and_rule(lack), *_two_rules(lack)]
    if newcomer and not found:
        new = Ease(another_visit=frozenset({lack.newcomer}))
        found += _of_people(lack, both(everybody(lack), new), fixed=lack.newcomer)
    best = {frozenset(one.changes): one for one in sorted(found, key=rank, reverse=True)}
    return tuple(sorted(best.values(), key=rank)[:_MOST_OFFERED])


def everybody(lack: Lack) -> Ease:
    """Return the easing of all that the people nearest to a route could be asked for."""
    close, farther = near(lack)[:_PEOPLE], beyond(lack)[: _PEOPLE // 3]
    some = frozenset(close) | frozenset(farther)
    return Ease(
        drive=frozenset(farther),
        another_visit=some,
        any_day=some,
        trained=some & frozenset(untrained(lack)),
        equipped=some & frozenset(unequipped(lack)),
    )


def _of_people(lack: Lack, ease: Ease, fixed: int = -1) -> Iterator[Relaxation]:
    """Yield sets of two changes of people, each time without the first person of those before."""
    for _ in range(_OF_A_KIND):
        column = lack.mended(ease)
        if column is None:
            return
        found = relaxation(lack, column, ease)
        if len(found.changes) == 2:
            yield found
        asked = [v for v in _askers(lack, found.changes) if v != fixed]
        if not asked:
            return
        ease = without(ease, asked[0])


def _askers(lack: Lack, changes: tuple[Change, ...]) -> list[int]:
    return [lack.arrays.number[change.volunteer] for change in changes if change.volunteer]


def _person_and_rule(lack: Lack) -> Iterator[Relaxation]:
    """Yield sets of a change of one person and a rule eased by the least that then does."""
    people = everybody(lack)
    for ease_of, most in rules(lack):
        widest = both(people, ease_of(most))
        column = lack.mended(widest)
        if column is None:
            continue
        changes = relaxation(lack, column, widest).changes
        personal = [change for change in changes if change.volunteer]
        if len(changes) == 2 and len(personal) == 1:
            yield from _eased_least(lack, _ease_of(lack, personal[0]), ease_of, most)


def _ease_of(lack: Lack, change: Change) -> Ease:
    return Ease(**{_PERSONAL[change.kind]: frozenset({lack.arrays.number[change.volunteer]})})  # type: ignore[arg-type]


def _two_rules(lack: Lack) -> Iterator[Relaxation]:
    """Yield sets of two rules, each eased by the least that then does."""
    for (one, most), (other, most_other) in combinations(list(rules(lack)), 2):
        least = least_mending(lack, _beside(other(most_other), one), most)
        if least is not None:
            yield from _eased_least(lack, one(least), other, most_other)


def _eased_least(lack: Lack, first: Ease, ease_of: Callable[[int], Ease], most: int) -> Iterator[Relaxation]:
    least = least_mending(lack, _beside(first, ease_of), most)
    if least is None:
        return
    ease = both(first, ease_of(least))
    column = lack.mended(ease)
    found = None if column is None else relaxation(lack, column, ease)
    if found is not None and len(found.changes) == 2:
        yield found


def _beside(first: Ease, ease_of: Callable[[int], Ease]) -> Callable[[int], Ease]:
    return lambda amount: both(first, ease_of(amount))
