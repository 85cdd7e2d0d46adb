"""What each aim could reach at best, proven: one relaxation for each, the aims before it held at what they reach.

The first two are numbers of visits, so a bound that leaves less than one more visit proves the plan's own number.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from planner.scheduling.engine.column import Column, column_of
from planner.scheduling.engine.instance import Instance, Totals, reweighted
from planner.scheduling.engine.master import Master
from planner.scheduling.engine.relaxation import Ground, RelaxLimits, relax
from planner.scheduling.engine.remembering import RememberingPricer
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.weights import Weights

_ROUNDS = 80
_ROUGH_ROUNDS = 25
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

    def __init__(self, instance: Instance, columns: Iterable[Column], tick: Callable[[], None]) -> None:
        """Begin.

        Args:
            instance: the season.
            columns: worth beginning with; those of the best plan among them.
            tick: called after each round; raises to stop.
        """
        self._instance = instance
        self._columns = list(dict.fromkeys(columns))
        self._tick = tick

    def numbers(self, filled: int, reserved: int) -> TierBounds:
        """Return the bounds of the visits filled and reserved, given what a plan reaches."""
        most = self._most(Weights(filled=-1.0), Totals(), filled)
        return TierBounds(most, self._most(Weights(reserved=-1.0), Totals(filled_least=filled), reserved))

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
