"""What each aim could reach at best, proven: one relaxation for each, the aims before it held at what they reach.

The first two are numbers of visits, so a bound that leaves less than one more visit proves the plan's own number.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from planner.scheduling.engine.column import column_of
from planner.scheduling.engine.instance import Instance, Totals, reweighted
from planner.scheduling.engine.master import Master
from planner.scheduling.engine.relaxation import Ground, RelaxLimits, relax
from planner.scheduling.engine.remembering import RememberingPricer
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.weights import Weights

_ROUNDS = 80
_ROUNDS_AT_ONCE = 4
_ROUGH_ROUNDS = 12
"""For the aims that are sums: a valid bound, if not the best."""

_ROUGH_SHARE = 0.01
_TRACE = 1e-6


@dataclass(frozen=True, slots=True)
class TierBounds:
    """The best any plan could reach with its open visits; None where nothing is proven.

    Those of the sums hold for plans that fill and reserve as many visits as the one they are held against.
    """

    filled: int | None = None
    reserved: int | None = None
    drive_minutes: float | None = None
    one_lead: int | None = None
    load: float | None = None
    """What the squares of the loads rise by."""
    late_days: float | None = None


NOTHING_PROVEN = TierBounds()
"""Before any bound is known."""


class Bounding:
    """Bounds of the aims of one season."""

    def __init__(self, instance: Instance, master: Master, ground: Ground, tick: Callable[[], None]) -> None:
        """Begin.

        Args:
            instance: the season.
            master: with columns worth beginning with, those of the best plan among them; its totals are changed.
            ground: all routes.
            tick: called after each round; raises to stop.
        """
        self._instance = instance
        self._master = master
        self._ground = ground
        self._columns = list(master.columns)
        self._tick = tick

    def numbers(self, filled: int, reserved: int, *, thorough: bool) -> TierBounds:
        """Return the bounds of the visits filled and reserved, given what a plan reaches.

        Args:
            filled: visits of the plan.
            reserved: those with a reserve date.
            thorough: whether a number that is not proven at once gets a relaxation of its own.
        """
        most_filled: int | None = filled
        if self._possible(Totals(filled_least=filled + 1), filled + 1, 0):
            most_filled = self._most(Weights(filled=-1.0), Totals(), filled) if thorough else None
        most_reserved: int | None = reserved
        if self._possible(Totals(filled_least=filled, reserved_least=reserved + 1), filled, reserved + 1):
            weights, kept = Weights(reserved=-1.0), Totals(filled_least=filled)
            most_reserved = self._most(weights, kept, reserved) if thorough else None
        return TierBounds(most_filled, most_reserved)

    def _possible(self, totals: Totals, filled: int, reserved: int) -> bool:
        """Say whether there may be a plan with at least so many visits filled and reserved.

        Its value would be at most what the numbers count for, and all that the rest could ever cost. A bound above
        that says there is none.
        """
        weights = self._instance.weights
        most = weights.filled * filled + weights.reserved * reserved + self._dearest()
        self._master.restrict(totals, {})
        limits = RelaxLimits(_ROUNDS_AT_ONCE, cutoff=most, smoothed=False)
        return relax(self._master, self._ground, lambda *_: self._tick(), limits).bound <= most

    def _dearest(self) -> float:
        """Return what a plan could cost at most, its visits filled and reserved left out."""
        weights, costs = self._instance.weights, 0.0
        for route in self._instance.routes:
            drive = float(route.lead_drive.max(initial=0.0)) * 2 + float(route.second_drive.max(initial=0.0))
            for visit in route.visits:
                late = weights.late_day * visit.people * self._instance.days
                wish = 0.0 if visit.day_cost is None else weights.wishes * float(visit.day_cost.max(initial=0.0))
                costs += weights.drive * drive + late + wish + weights.missed_gap
                costs += weights.moved + weights.kept_otherwise
        room = self._instance.room
        return costs + weights.load * float(((room.load + np.maximum(room.limit, 0)) ** 2 - room.load**2).sum())

    def sums(self, numbers: TierBounds, filled: int, reserved: int) -> TierBounds:
        """Return the bounds of all aims, those of the numbers being known."""
        kept = Totals(filled_least=filled, reserved_least=reserved)

        def least(weights: Weights) -> float:
            limits = RelaxLimits(_ROUGH_ROUNDS, smoothed=False, close=_ROUGH_SHARE * filled)
            return max(self._least(weights, kept, limits), 0.0)

        one_lead = self._least(Weights(same_lead=-1.0), kept, RelaxLimits(_ROUGH_ROUNDS, smoothed=False))
        return replace(
            numbers,
            drive_minutes=least(Weights(drive=2.0)),
            one_lead=math.floor(_TRACE - one_lead),
            load=least(Weights(load=1.0)),
            late_days=least(Weights(late_day=1.0)),
        )

    def _most(self, weights: Weights, totals: Totals, reached: int) -> int:
        limits = RelaxLimits(_ROUNDS, cutoff=_TRACE - reached - 1, smoothed=False)
        return math.floor(_TRACE - self._least(weights, totals, limits))

    def _least(self, weights: Weights, totals: Totals, limits: RelaxLimits) -> float:
        own = reweighted(self._instance, weights)
        master = Master(own, own.room, totals)
        master.add(column_of(one.route, own.routes[one.route], one.choices, one.setup) for one in self._columns)
        ground = Ground(RememberingPricer(SeasonPricer(own)), range(len(own.routes)), own.room, weights.load)
        return relax(master, ground, lambda *_: self._tick(), limits).bound
