"""What it costs to change a visit, put into the arrays of a ring so that the engine plans with it.

The engine knows costs of a date in a window, so each of the protocol's windows is offered three times over: to the
visit just as it stands, to its own people on any date, and to anybody. The first costs nothing, the others what a
change of that kind is worth; the engine takes the least. Windows of the n-th kind begin at n times the protocol's.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.plan import PlannedVisit, VisitKey
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.instance import IntArray, Room, RouteCase, SetupCase, VisitCase
from planner.scheduling.problem import BoolArray, FloatArray
from planner.scheduling.repair.breakage import Breakage
from planner.scheduling.repair.ring import Ring, extra_seconds

MOVED = 300.0
"""For a visit that gets another date or other people, and need not: in minutes of driving."""

OWN_PEOPLE = 100.0
"""For a visit that has to move, where its own people take it on another date than its reserve date."""

KEPT_OTHERWISE = 30.0
"""For a visit that stands and gets another reserve date."""

NEAREST = 8
"""People looked at for a visit that did not break, beside those who go."""

_KINDS = 3


@dataclass(frozen=True, slots=True)
class Barred:
    """What a way on must do without, so that it is another than the ways found before."""

    dates: frozenset[tuple[VisitKey, dt.date]] = frozenset()
    people: frozenset[tuple[VisitKey, str]] = frozenset()

    def __or__(self, other: Barred) -> Barred:
        """Return what either bars."""
        return Barred(self.dates | other.dates, self.people | other.people)


NOTHING = Barred()


def with_costs(ring: Ring, breakage: Breakage, barred: Barred = NOTHING) -> Compiled:
    """Return the arrays of a ring in which changes cost what they are worth.

    Args:
        ring: the small season.
        breakage: what broke.
        barred: dates and people that broken visits must do without.
    """
    compiled = ring.compiled
    cases = tuple(_route(ring, breakage, barred, place, case) for place, case in enumerate(compiled.instance.routes))
    return replace(compiled, instance=replace(compiled.instance, routes=cases, room=_room(ring, breakage)))


def plain(column: Column, windows: int) -> Column:
    """Return a column with the protocol's own windows; its cost is left as it is.

    Args:
        column: of the arrays with costs.
        windows: how many the protocol has.
    """
    choices = (choice and choice._replace(window=choice.window % windows) for choice in column.choices)
    return replace(column, choices=tuple(choices))


def _route(ring: Ring, breakage: Breakage, barred: Barred, place: int, case: RouteCase) -> RouteCase:
    route = ring.compiled.routes[place]
    planned = ring.open_visits.by_key
    if not any(key.route == route.code for key in breakage.keys):
        case = _with_few(ring, route.code, case)
    visits = []
    for k, visit in enumerate(case.visits):
        key = VisitKey(route.code, k + 1)
        stands = planned.get(key)
        if visit.fixed is not None:
            visits.append(_tiled(visit))
        elif stands is None:
            # It was unfilled and is none of this matter.
            visits.append(replace(_tiled(visit), dates=np.zeros_like(visit.dates)))
        else:
            visits.append(_Standing(ring, case, visit, stands).case(breakage, barred))
    return replace(case, visits=tuple(visits), setup=_setup(ring, breakage, case, planned.get(VisitKey(route.code, 1))))


def _with_few(ring: Ring, route: str, case: RouteCase) -> RouteCase:
    """Return a route that did not break with the nearest of those who could do it, and those whom the plan names."""
    number = ring.compiled.arrays.number
    named = {number[c] for v in ring.open_visits.of_route(route) for c in v.people if c in number}
    rows, columns = (
        np.flatnonzero(np.isin(who, list(named)) | (np.argsort(np.argsort(drive, kind="stable")) < NEAREST))
        for who, drive in ((case.leads, case.lead_drive), (case.seconds, case.second_drive))
    )
    setup = case.setup
    return replace(
        case,
        leads=case.leads[rows],
        lead_drive=case.lead_drive[rows],
        seconds=case.seconds[columns],
        second_drive=case.second_drive[columns],
        pairs=case.pairs[np.ix_(rows, columns)],
        visits=tuple(
            replace(one, lead_days=one.lead_days[:, rows], second_days=one.second_days[:, columns])
            for one in case.visits
        ),
        setup=setup and replace(setup, lead_days=setup.lead_days[rows], same_day=setup.same_day[:, rows]),
    )


def _tiled(visit: VisitCase) -> VisitCase:
    return replace(
        visit,
        lead_days=np.tile(visit.lead_days, (_KINDS, 1, 1)),
        second_days=np.tile(visit.second_days, (_KINDS, 1, 1)),
        day_cost=np.tile(_wishes(visit), (_KINDS, 1)),
    )


def _wishes(visit: VisitCase) -> FloatArray:
    windows, _, days = visit.lead_days.shape
    return np.zeros((windows, days)) if visit.day_cost is None else visit.day_cost


@dataclass(frozen=True, slots=True, eq=False)
class _Standing:
    """One visit that is in the plan."""

    ring: Ring
    route: RouteCase
    visit: VisitCase
    stands: PlannedVisit

    def case(self, breakage: Breakage, barred: Barred) -> VisitCase:
        """Return the visit in arrays, three kinds of windows over."""
        key, visit = self.stands.key, self.visit
        dates, lasts = visit.dates.copy(), visit.lasts.copy()
        for other, date in barred.dates:
            if other == key:
                dates[self._day(date)] = False
        moves = key in breakage.lost
        home = self.stands.reserve if moves else self.stands.date
        same, anybody = (OWN_PEOPLE if moves else MOVED), MOVED
        shape = visit.lead_days.shape[0], visit.lead_days.shape[2]
        costs = [np.full(shape, cost) for cost in (anybody, same, anybody)]
        lead_days = [visit.lead_days * self._own(self.route.leads, self.stands.lead)[None, :, None]] * 2
        second_days = [visit.second_days * self._own(self.route.seconds, self.stands.second)[None, :, None]] * 2
        stay = np.zeros(shape, dtype=np.bool_)
        if home is not None and self._inside(home):
            window, day = self._window(), self._day(home)
            costs[0][window, day] = 0.0
            kept_free = moves or key in breakage.shaken
            costs[1][window, day] = 0.0 if kept_free else KEPT_OTHERWISE
            stay[window, day] = True
            if not moves and self.stands.reserve is not None and self._inside(self.stands.reserve):
                stay[window, self._day(self.stands.reserve)] = True
            if not moves and not kept_free and self.stands.reserve is None:
                # It does without a reserve date as before: nobody's day is taken for what did not break.
                lead_days[1] = self._without(lead_days[1], window, day)
        if not moves and self.stands.fixed:
            dates &= self._only(self.stands.date)
        closed = self._barred(barred, self.route.leads), self._barred(barred, self.route.seconds)
        return replace(
            visit,
            lead_days=np.concatenate([lead_days[0] & stay[:, None], lead_days[1], visit.lead_days]) & ~closed[0],
            second_days=np.concatenate([second_days[0] & stay[:, None], second_days[1], visit.second_days])
            & ~closed[1],
            dates=dates,
            lasts=lasts,
            day_cost=np.concatenate(costs) + np.tile(_wishes(visit), (_KINDS, 1)),
        )

    def _own(self, people: IntArray, code: str) -> BoolArray:
        return np.asarray(people == self.ring.compiled.arrays.number.get(code, -1), dtype=np.bool_)

    def _barred(self, barred: Barred, people: IntArray) -> BoolArray:
        number = self.ring.compiled.arrays.number
        shut = [number[code] for key, code in barred.people if key == self.stands.key and code in number]
        return np.isin(people, shut)[None, :, None]

    def _without(self, days: BoolArray, window: int, day: int) -> BoolArray:
        found = days.copy()
        found[window, :, day] = False
        return found

    def _only(self, date: dt.date) -> BoolArray:
        found = np.zeros(self.visit.dates.shape, dtype=np.bool_)
        if self._inside(date):
            found[self._day(date)] = True
        return found

    def _window(self) -> int:
        names = [window.name for window in self.ring.problem.season.protocol.windows]
        return names.index(self.stands.window) if self.stands.window in names else 0

    def _inside(self, date: dt.date) -> bool:
        return date in self.ring.problem.days

    def _day(self, date: dt.date) -> int:
        return (date - self.ring.problem.days.first).days


def _setup(ring: Ring, breakage: Breakage, case: RouteCase, first: PlannedVisit | None) -> SetupCase | None:
    """Return the set-up in arrays; one that has been done already serves its lead still."""
    setup = case.setup
    if setup is None:
        return None
    lead_days = setup.lead_days.copy()
    if first is not None and first.setup is not None and _is_done(ring, breakage, first, first.setup):
        row = case.leads == ring.compiled.arrays.number.get(first.lead, -1)
        lead_days[row, ring.problem.day_index(first.setup)] = True
    return replace(setup, lead_days=lead_days, same_day=np.tile(setup.same_day, (_KINDS, 1, 1)))


def _is_done(ring: Ring, breakage: Breakage, first: PlannedVisit, setup: dt.date) -> bool:
    today = ring.problem.today
    past = today is not None and setup < today
    return setup in ring.problem.days and (past or (breakage.begun and first.key in breakage.lost))


def _room(ring: Ring, breakage: Breakage) -> Room:
    """Return the room with the days of seconds whom the engine does not know of: they stay where they are."""
    arrays, room = ring.compiled.arrays, ring.compiled.instance.room
    slots: list[tuple[int, int]] = []
    loads: list[tuple[int, int]] = []
    for key, visit in extra_seconds(ring):
        if key in breakage.lost or visit.second not in arrays.number:
            continue
        second = arrays.number[visit.second]
        days = (day for day in (visit.date, visit.reserve) if day is not None and day in ring.problem.days)
        slots += [(second, ring.problem.day_index(day)) for day in days]
        loads.append((second, 1))
    return room.taking(tuple(slots), tuple(loads))
