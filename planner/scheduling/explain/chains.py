"""Chains: a change far off that mends a visit because the routes between change hands or dates, each verified.

They are looked for where no single change does with all else as it stands: first by planning the routes round it anew
as things are, then with one visit or one date more of one person.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from planner.domain.change import Change, ChangeKind
from planner.domain.plan import Plan, PlannedVisit, Relaxation, VisitKey
from planner.domain.window import PartOfDay
from planner.scheduling.engine.cases import STRICT, Ease
from planner.scheduling.engine.instance import Room
from planner.scheduling.explain.relaxing import AGAIN
from planner.scheduling.explain.ring import Ring, with_room
from planner.scheduling.explain.saying import cost_of_changes, said
from planner.scheduling.explain.words import listed

MOST_RINGS = 8
"""Rings planned anew for all visits of one season together: so long may looking take."""

_ONE_BY_ONE = 3
_MOVE = 0.5
"""What a visit that changes hands or dates counts, in evenings."""


@dataclass(slots=True)
class Effort:
    """How many rings may still be planned."""

    left: int = field(default=MOST_RINGS)

    def spend(self) -> bool:
        """Say whether one more may be planned, and count it."""
        self.left -= 1
        return self.left >= 0


def chains(ring: Ring, effort: Effort, *, proven: bool) -> tuple[Relaxation, ...]:
    """Return single changes that mend a visit if others move, the smallest first; without any change if that does."""
    # As many visits must be left among the people of the ring as go on the one in question.
    left = ring.visits_left - (0 if ring.lack.reserve_only else ring.lack.going)
    again = None if proven or left < 0 else _offer(ring, effort, STRICT, ring.room)
    if again is not None:
        return (again,)
    found = list(_more_visits(ring, effort)) if left >= -1 else []
    found += _more_dates(ring, effort) if left >= 0 else ()
    return tuple(sorted(found, key=lambda one: (one.cost, one.what))[:_ONE_BY_ONE])


def _offer(ring: Ring, effort: Effort, ease: Ease, room: Room) -> Relaxation | None:
    """Return what a ring planned anew asks for, if it mends the visit."""
    visits = ring.mended(ease, room) if effort.spend() else None
    if visits is None:
        return None
    changes = tuple(_asked(ring, visits))
    moves = _moves(ring, visits)
    return Relaxation(
        _words(ring, changes, moves, visits), cost_of_changes(changes) + _MOVE * len(moves), changes, visits, moves
    )


def _more_visits(ring: Ring, effort: Effort) -> Iterator[Relaxation]:
    """Yield who takes one visit more, if everybody who has none left taking one helps."""
    full = [v for v in sorted(_inside(ring)) if ring.lack.room.limit[v] <= 0]
    together = _offer(ring, effort, STRICT, with_room(ring.room, full)) if full else None
    if together is None:
        return
    asked = [ring.lack.arrays.number[change.volunteer] for change in together.changes]
    for v in asked[:_ONE_BY_ONE]:
        found = _offer(ring, effort, STRICT, with_room(ring.room, [v]))
        if found is not None and len(found.changes) == 1:
            yield found


def _more_dates(ring: Ring, effort: Effort) -> Iterator[Relaxation]:
    """Yield who gives one date more: people with visits left who cannot come to the route itself first."""
    near = ring.near_the_middle
    some = [v for v in sorted(_inside(ring)) if ring.lack.room.limit[v] > 0]
    for v in sorted(some, key=lambda one: (one in near, one))[:_ONE_BY_ONE]:
        every = _offer(ring, effort, Ease(any_day=frozenset({v})), ring.room)
        found = every if every is None or len(_given(every)) == 1 else _one_date(ring, effort, v, every)
        if found is not None and len(found.changes) == 1:
            yield found


def _one_date(ring: Ring, effort: Effort, volunteer: int, every: Relaxation) -> Relaxation | None:
    """Return what giving one of several dates comes to, the first that is enough."""
    arrays = ring.lack.arrays
    given = np.any([arrays.given[part] for part in PartOfDay], axis=0)[volunteer]
    for day in _given(every)[:_ONE_BY_ONE]:
        closed = ring.room.closed.copy()
        closed[volunteer] |= ~given
        closed[volunteer, arrays.problem.day_index(day)] = ring.room.closed[volunteer, arrays.problem.day_index(day)]
        found = _offer(ring, effort, Ease(any_day=frozenset({volunteer})), replace(ring.room, closed=closed))
        if found is not None:
            return found
    return None


def _given(offer: Relaxation) -> list[dt.date]:
    return sorted({day for change in offer.changes for day, _ in change.given})


def _inside(ring: Ring) -> set[int]:
    return {v for people in ring.near.values() for v in people}


def _asked(ring: Ring, visits: tuple[PlannedVisit, ...]) -> Iterator[Change]:
    """Yield what the people of visits have not offered."""
    arrays, changing = ring.lack.arrays, {visit.key.route for visit in visits}
    kept = [visit for visit in ring.inside if visit.key.route not in changing]
    whole = Plan((*visits, *kept))
    for code in sorted({code for visit in visits for code in visit.people}):
        person, mine = arrays.season.volunteer(code), whole.of_volunteer(code)
        given = sorted(
            {use for visit in mine for use in _uses(ring, visit, code) if use[1] not in person.parts_on(use[0])}
        )
        if given:
            yield Change(ChangeKind.GIVES, code, given=tuple(given))
        more = len(mine) - int(ring.room.limit[arrays.number[code]])
        if more > 0:
            yield Change(ChangeKind.VISITS, code, more)


def _uses(ring: Ring, visit: PlannedVisit, code: str) -> Iterator[tuple[dt.date, PartOfDay]]:
    """Yield the dates and parts of the day that a visit takes of one of its people."""
    protocol = ring.lack.arrays.protocol
    part = next(window.part for window in protocol.windows if window.name == visit.window)
    yield visit.date, part
    if visit.reserve is not None:
        yield visit.reserve, part
    if visit.setup is not None and protocol.setup is not None and visit.lead == code:
        yield visit.setup, protocol.setup.part


def _moves(ring: Ring, visits: tuple[PlannedVisit, ...]) -> tuple[VisitKey, ...]:
    before = ring.inside.by_key
    return tuple(v.key for v in visits if v.key.route != ring.lack.key.route and before.get(v.key) != v)


def _words(
    ring: Ring, changes: tuple[Change, ...], moves: tuple[VisitKey, ...], visits: tuple[PlannedVisit, ...]
) -> str:
    before, after = ring.inside.by_key, Plan(visits).by_key
    hands = [str(key) for key in moves if key not in before or before[key].people != after[key].people]
    dates = [str(key) for key in moves if str(key) not in hands]
    parts = [f"{listed(hands)} {'changes' if len(hands) == 1 else 'change'} hands"] if hands else []
    parts += [f"{listed(dates)} {'gets another date' if len(dates) == 1 else 'get other dates'}"] if dates else []
    if not changes:
        return f"Plan again: {listed(parts)}, and nobody is asked for more than they offered." if parts else AGAIN
    what = said(ring.lack, changes)
    return f"{what[:-1]}; then {listed(parts)}." if parts else what
