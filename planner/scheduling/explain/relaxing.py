"""The smallest changes that would mend a visit, each verified by planning its route anew with just that."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice

from planner.domain.plan import Relaxation
from planner.scheduling.engine.cases import STRICT, Ease
from planner.scheduling.engine.column import Column
from planner.scheduling.explain.asked import changes_of
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.easing import least_that
from planner.scheduling.explain.saying import cost_of_changes, said
from planner.scheduling.explain.words import counted, listed

MOST_EXTRA_DRIVE_MINUTES = 30
"""A longer detour beyond somebody's limit is not asked for."""

MOST_DAYS = 14
"""Dates, gaps and set-ups are not moved farther."""

MOST_OFFERED = 8
_OF_A_KIND = 3
_NEAREST = 40
"""People looked at one by one, nearest first."""

AGAIN = "Plan again: everybody and everything needed is free as things stand."

EaseOf = Callable[[frozenset[int]], Ease]


def single_changes(lack: Lack) -> tuple[Relaxation, ...]:
    """Return single changes that would mend what a visit lacks, the smallest first, somebody new last."""
    strict = lack.mended()
    if strict is not None:
        return (relaxation(lack, strict, STRICT),)
    found: list[Relaxation] = []
    for kind in _person_kinds(lack):
        found += sorted(kind, key=rank)[:_OF_A_KIND]
    found += (one for ease in least_rules(lack) if (one := single(lack, ease)) is not None)
    offered = sorted(found, key=rank)[: MOST_OFFERED - 1]
    new = single(lack, Ease(another_visit=frozenset({lack.newcomer})))
    return (*offered, *([new] if new is not None else []))


def rank(one: Relaxation) -> tuple[float, str]:
    """Order relaxations by how much they ask for."""
    return one.cost, one.what


def relaxation(lack: Lack, column: Column, ease: Ease) -> Relaxation:
    """Return what a plan of the route asks for as a relaxation."""
    changes = changes_of(lack, column, ease)
    what = said(lack, changes) if changes else AGAIN
    return Relaxation(what, cost_of_changes(changes), changes, lack.planned(column))


def single(lack: Lack, ease: Ease) -> Relaxation | None:
    """Return the relaxation that an easing comes to, if it mends the visit by one change."""
    column = lack.mended(ease)
    found = None if column is None else relaxation(lack, column, ease)
    return found if found is not None and len(found.changes) == 1 else None


# People, kind by kind.


def near(lack: Lack) -> list[int]:
    """Return who lives within their drive limit, nearest first."""
    drive = lack.arrays.drive(lack.route)
    within = [v for v, one in enumerate(lack.people) if drive[v] <= one.drive_limit_minutes]
    return sorted(within, key=lambda v: (float(drive[v]), v))


def beyond(lack: Lack) -> list[int]:
    """Return who lives beyond their drive limit by as much as may be asked for, those who least do first."""
    drive = lack.arrays.drive(lack.route)
    more = {v: float(drive[v]) - one.drive_limit_minutes for v, one in enumerate(lack.people)}
    return sorted((v for v, extra in more.items() if 0 < extra <= MOST_EXTRA_DRIVE_MINUTES), key=lambda v: (more[v], v))


def untrained(lack: Lack) -> list[int]:
    """Return who near lacks what a lead must have learnt."""
    asked = set(lack.arrays.protocol.people.lead_training)
    return [v for v in near(lack) if not asked <= lack.people[v].training]


def unequipped(lack: Lack) -> list[int]:
    """Return who near lacks what the route needs."""
    return [v for v in near(lack) if not lack.route.needs <= lack.people[v].abilities]


def _person_kinds(lack: Lack) -> Iterator[Iterator[Relaxation]]:
    people = near(lack)
    yield _leanest(lack, people, lambda some: Ease(any_day=some))
    yield _leanest(lack, people, lambda some: Ease(another_visit=some))
    yield _in_order(lack, beyond(lack), lambda some: Ease(drive=some))
    yield _leanest(lack, untrained(lack), lambda some: Ease(trained=some))
    yield _leanest(lack, unequipped(lack), lambda some: Ease(equipped=some))


def _leanest(lack: Lack, people: list[int], ease_of: EaseOf) -> Iterator[Relaxation]:
    """Yield what single people would have to do, as few as are offered; nobody if all of them together do not help."""
    left = list(people)
    number = {one.code: v for v, one in enumerate(lack.people)}
    for _ in range(_OF_A_KIND):
        ease = ease_of(frozenset(left))
        column = lack.mended(ease) if left else None
        if column is None:
            return
        found = relaxation(lack, column, ease)
        if len(found.changes) != 1:
            yield from islice(_in_order(lack, left, ease_of), _OF_A_KIND)
            return
        yield found
        left.remove(number[found.changes[0].volunteer])


def _in_order(lack: Lack, people: list[int], ease_of: EaseOf) -> Iterator[Relaxation]:
    """Yield what single people would have to do, in the order given; nobody if all of them together do not help."""
    if not people or lack.mended(ease_of(frozenset(people))) is None:
        return
    one_by_one = (single(lack, ease_of(frozenset({v}))) for v in people[:_NEAREST])
    yield from islice((one for one in one_by_one if one is not None), _OF_A_KIND)


# Rules.


def rules(lack: Lack) -> Iterator[tuple[Callable[[int], Ease], int]]:
    """Yield the rules of the route that may be eased, each as easing by an amount, with the most of it."""
    protocol = lack.arrays.protocol
    gaps = [lack.arrays.gap(number).least for number in range(2, len(protocol.visits) + 1)]
    yield lambda days: Ease(later_days=days), MOST_DAYS
    yield lambda days: Ease(earlier_days=days), MOST_DAYS
    if max(gaps, default=1) > 1:
        yield lambda days: Ease(gap_days=days), min(max(gaps) - 1, MOST_DAYS)
    if protocol.setup is not None and protocol.setup.required:
        yield lambda days: Ease(setup_days=days), MOST_DAYS
    if lack.arrays.season.people_for(lack.route) == 2:
        yield lambda _: Ease(one_person=True), 1
    if lack.route.lead:
        yield lambda _: Ease(any_lead=True), 1


def least_rules(lack: Lack) -> Iterator[Ease]:
    """Yield each rule that alone mends the visit, eased by the least that does."""
    for ease_of, most in rules(lack):
        least = least_mending(lack, ease_of, most)
        if least is not None:
            yield ease_of(least)


def least_mending(lack: Lack, ease_of: Callable[[int], Ease], most: int) -> int | None:
    """Return the least amount by which a rule must be eased to mend the visit; None if the most does not."""
    return least_that(lambda amount: lack.mended(ease_of(amount)) is not None, most)


def tried_words(lack: Lack) -> str:
    """Return what was tried in vain for a visit, in words."""
    if not (lack.arrays.lit(lack.route) & lack.arrays.to_come).any():
        return "No other date of the season would do either, whoever goes."
    if not lack.people:
        return "One more volunteer would not help either."
    drive = int(lack.arrays.season.volunteers[lack.newcomer].drive_limit_minutes)
    people = counted(len(near(lack)), "volunteer", "volunteers")
    more = [f"more dates and another visit of the {people} within the drive limit"]
    farther = len(beyond(lack))
    if farther:
        more.append(f"longer drives of {farther} more")
    more += [f"dates and gaps moved by up to {MOST_DAYS} days", f"somebody new within {drive} minutes of here"]
    return f"No single change helps, nor two together, all else as planned: {listed(more)} were tried."
