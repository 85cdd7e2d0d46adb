"""Repairing a plan: the least change of the routes round what broke, then other ways that differ in substance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.disruption import Disruption
from planner.domain.plan import Explanation, Plan, VisitKey
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.engine.decode import columns_of
from planner.scheduling.engine.search import Found, solve
from planner.scheduling.explain import explain
from planner.scheduling.problem import SeasonProblem
from planner.scheduling.repair import consequences
from planner.scheduling.repair.breakage import Breakage, breakage_of
from planner.scheduling.repair.ring import Ring, ring_of, ring_routes
from planner.scheduling.repair.staying import NOTHING, Barred, with_costs
from planner.scheduling.repair.unfolding import Judge, unfolded
from planner.scheduling.repair.way import WayOn
from planner.scheduling.result import Progress

MOST_WAYS = 3

RINGS = (6, 15, 30, 60)
"""Routes beside those that broke; the next is tried where the one before leaves a visit empty."""

ROUNDS = 150
"""Of the engine, for each way: the same answer on every machine."""

_LONG_STAGES = ("neighbourhood", "proof")

_CLOSE = 10.0
"""Minutes of driving: a plan this near to its bound is near enough."""


def repair(problem: SeasonProblem, plan: Plan, disruption: Disruption) -> list[WayOn]:
    """Return up to three ways on after something broke, least disturbance first.

    Everything else stays as it is, but for some routes whose people could help. Each way keeps every rule that the
    plan kept; the ways differ in date or people of what broke.

    Args:
        problem: the season with its light and drives.
        plan: the plan that stands.
        disruption: what broke.

    Returns:
        The ways. Where no way fills everything that broke there is one that fills most, and it says why no more.

    Raises:
        RuleError: the disruption names what the season does not have.
        ImpossibleError: nothing planned is touched by it, or what is touched is past or done.
    """
    return _Repair(problem, plan, breakage_of(problem, plan, disruption)).ways()


@dataclass(frozen=True, slots=True, eq=False)
class _Repair:
    """One repair under way."""

    problem: SeasonProblem
    plan: Plan
    breakage: Breakage

    def ways(self) -> list[WayOn]:
        """Return the ways, least disturbance first."""
        first, ring, judge = self._first()
        found = self._different([*self._alone(first), *([first] if first is not None else [])])
        if found and found[0].full:
            for barred in self._others(found):
                if len(found) >= MOST_WAYS:
                    break
                way = self._way(ring, judge, barred)
                if way is not None and way.full:
                    found[:] = self._different([*found, way])
        return sorted(found, key=lambda way: way.disturbance)

    def _alone(self, first: WayOn | None) -> Iterator[WayOn]:
        """Yield the way in which no other route changes, where that disturbs less than the first."""
        ring = ring_of(self.breakage, self.plan, ring_routes(self.breakage, self.plan, 0))
        way = self._way(ring, Judge.of(ring, self.breakage), NOTHING)
        if way is not None and way.full and (first is None or way.disturbance < first.disturbance):
            yield way

    def _different(self, ways: list[WayOn]) -> list[WayOn]:
        """Return the ways without those that come to the same as one before."""
        found: dict[tuple[object, ...], WayOn] = {}
        for way in ways:
            found.setdefault(self._substance(way), way)
        return list(found.values())

    def _first(self) -> tuple[WayOn | None, Ring, Judge]:
        """Return the way with the fewest visits lost, of the smallest ring, and that ring."""
        best: tuple[WayOn | None, Ring, Judge] | None = None
        before: list[str] = []
        for size in RINGS:
            codes = ring_routes(self.breakage, self.plan, size)
            if codes == before:
                break
            before = codes
            ring = ring_of(self.breakage, self.plan, codes)
            judge = Judge.of(ring, self.breakage)
            way = self._way(ring, judge, NOTHING)
            if best is None or _lost(way) < _lost(best[0]):
                best = way, ring, judge
            if way is not None and way.full:
                break
        assert best is not None, "there is a ring of every size"
        return best

    def _others(self, found: list[WayOn]) -> Iterator[Barred]:
        """Yield what other ways do without: the first way's dates, its leads, both, and then all that was found.

        Args:
            found: the ways so far; grows while this is asked.
        """
        dates, people = self._used(found[:1])
        if dates.dates:
            yield from (dates, people, dates | people)
        keys = sorted({key for key, _ in dates.dates})
        if len(keys) > 1:
            # All of them otherwise may be too much: one alone is another way too.
            yield Barred(frozenset(one for one in dates.dates if one[0] == keys[0]))
            yield Barred(people=frozenset(one for one in people.people if one[0] == keys[0]))
        if len(found) > 1:
            yield from self._used(found)

    def _used(self, ways: list[WayOn]) -> tuple[Barred, Barred]:
        """Return the dates that ways give what was lost, and the leads."""
        after = [way.plan.by_key[key] for way in ways for key in sorted(self.breakage.lost) if key in way.plan.by_key]
        return (
            Barred(dates=frozenset((visit.key, visit.date) for visit in after)),
            Barred(people=frozenset((visit.key, visit.lead) for visit in after)),
        )

    def _substance(self, way: WayOn) -> tuple[object, ...]:
        after = way.plan.by_key
        return tuple(
            (key, after[key].date, frozenset(after[key].people)) if key in after else (key,)
            for key in sorted(self.breakage.lost)
        )

    def _way(self, ring: Ring, judge: Judge, barred: Barred) -> WayOn | None:
        """Return the best way in a ring; None where the audit does not pass it."""
        compiled = with_costs(ring, self.breakage, barred)
        start = columns_of(compiled, ring.open_visits)
        found = solve(compiled.instance, _enough, _ignore, start=start)
        opened = unfolded(ring, self.breakage, judge, found.solution, barred)
        if not judge.allows(opened):
            return None
        return self._told(Plan((*ring.rest, *opened)), found)

    def _told(self, after: Plan, found: Found) -> WayOn:
        moves = consequences.moves_between(self.plan, after, self.breakage.keys)
        return WayOn(
            plan=after,
            moves=moves,
            broken=tuple(sorted(self.breakage.keys)),
            drive_change_minutes=consequences.drive_change(self.problem, moves),
            without_reserve=consequences.without_reserve(moves),
            tightest_gap=consequences.tightest_gap(self.problem.season.protocol, after, moves),
            filled_before=len(self.plan),
            filled_after=len(after),
            papers=consequences.papers_of(moves),
            value=found.value,
            bound=found.bound,
            unfilled=self._explained(after),
            note=self.breakage.note,
        )

    def _explained(self, after: Plan) -> tuple[Explanation, ...]:
        """Return why visits stay empty that were filled before, and what would help."""
        empty = {visit.key for visit in self.plan} - {visit.key for visit in after}
        if not empty:
            return ()
        routes = frozenset(key.route for key in empty)
        stands = Plan(tuple(v for v in after if v.key.route not in routes or v.fixed or self._past(v.key)))
        compiled = compile_season(self.breakage.problem, stands, routes)
        return tuple(item for item in explain(compiled, after) if item.key in empty)

    def _past(self, key: VisitKey) -> bool:
        today = self.problem.today
        return today is not None and self.plan.by_key[key].date < today


def _lost(way: WayOn | None) -> float:
    return float("inf") if way is None else way.filled_before - way.filled_after


def _enough(progress: Progress) -> bool:
    """Whether a plan is good enough: near its bound, or what is left to try takes long and rarely brings more."""
    close = (
        progress.objective is not None and progress.bound is not None and progress.objective - progress.bound < _CLOSE
    )
    return close or progress.stage in _LONG_STAGES or progress.rounds >= ROUNDS


def _ignore(_progress: Progress) -> None:
    """Listen to no event."""
