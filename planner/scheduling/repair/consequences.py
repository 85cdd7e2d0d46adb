"""What follows from a way on: who moves, driving, reserve dates, gaps, and whose papers are stale."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from planner.domain.plan import Plan, VisitKey
from planner.domain.protocol import Protocol
from planner.domain.window import Strength
from planner.scheduling.problem import SeasonProblem
from planner.scheduling.repair.way import Move, TightGap
from planner.scheduling.tiers import driving


def moves_between(before: Plan, after: Plan, broken: Iterable[VisitKey]) -> tuple[Move, ...]:
    """Return every visit that differs, those that broke first."""
    now, first = after.by_key, set(broken)
    found = [Move(visit.key, visit, now.get(visit.key)) for visit in before if now.get(visit.key) != visit]
    return tuple(sorted(found, key=lambda move: (move.key not in first, move.key)))


def drive_change(problem: SeasonProblem, moves: Iterable[Move]) -> float:
    """Return the minutes of driving that moves add, set-ups included."""
    moved = list(moves)
    before = Plan(tuple(move.before for move in moved))
    after = Plan(tuple(move.after for move in moved if move.after is not None))
    return sum(driving(problem, after)) - sum(driving(problem, before))


def without_reserve(moves: Iterable[Move]) -> tuple[VisitKey, ...]:
    """Return the changed visits that stand without a reserve date."""
    return tuple(move.key for move in moves if move.after is not None and move.after.reserve is None)


def papers_of(moves: Iterable[Move]) -> tuple[str, ...]:
    """Return who needs a fresh itinerary."""
    return tuple(sorted({code for move in moves for code in move.people}))


def tightest_gap(protocol: Protocol, after: Plan, moves: Iterable[Move]) -> TightGap | None:
    """Return the gap of the changed routes that has fewest days to spare."""
    gaps = [gap for route in sorted({move.key.route for move in moves}) for gap in _gaps(protocol, after, route)]
    return min(gaps, key=lambda gap: (gap.to_spare, gap.route, gap.earlier), default=None)


def _gaps(protocol: Protocol, plan: Plan, route: str) -> Iterator[TightGap]:
    for earlier, later in pairwise(plan.of_route(route)):
        numbers = earlier.key.number, later.key.number
        rules = [protocol.gap_before(number) for number in range(numbers[0] + 1, numbers[1] + 1)]
        least = sum(rule.least_days for rule in rules if rule.strength is Strength.REQUIRED)
        yield TightGap(route, *numbers, (later.date - (earlier.reserve or earlier.date)).days, least)
