"""The walk along a line that sets points down: each at the earliest place that is far enough and allowed.

With distances along a line, that gives the most points that fit behind the first. With distances as the crow flies a
line that bends back could hold more; the earliest place is taken there too, and every distance is kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from planner.travel import RoadNetwork
from planner.usecases.laying_out.ground import STEP_M, Ground, road_metres
from planner.usecases.laying_out.rule import ApartRule
from planner.usecases.route_checks.facts import BoolArray, FloatArray

_LEAST_SKIP_M = 10.0
"""A place that is too near by road is passed over by so much at least: each look asks for a way."""


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """A walk along the line that sets a point down wherever it may."""

    ground: Ground
    rule: ApartRule
    allowed: BoolArray
    """Whether a point may stand at each step."""
    network: RoadNetwork | None
    """The roads: a line that goes round about may have a shorter way between two of its points."""

    def steps(self, start_after_m: float, wanted: int) -> list[int]:
        """Return the steps at which points stand, rising.

        Args:
            start_after_m: metres along the line before the first.
            wanted: so many at most.
        """
        clear = self.allowed & (self.ground.along_m >= start_after_m - 1e-9)
        chosen: list[int] = []
        while len(chosen) < wanted:
            step = self._next(clear, chosen[-1]) if chosen else _first(clear)
            if step is None:
                break
            chosen.append(step)
            clear &= self._straight(step) >= self.rule.straight_m
            clear[: step + 1] = False
        return chosen

    def _next(self, clear: BoolArray, before: int) -> int | None:
        """Return the next step for a point that is far enough from the one before, also by road."""
        left = clear
        while (step := self._far_enough(left, before)) is not None:
            lacking_m = self.rule.shortest_m - self._by_road(before, step)
            if lacking_m <= 0:
                return step
            left = left.copy()
            left[: step + math.ceil(max(lacking_m, _LEAST_SKIP_M) / STEP_M)] = False
        return None

    def _far_enough(self, clear: BoolArray, before: int) -> int | None:
        """Return the next step at the rule's figure or beyond along the line; within its tolerance where need be."""
        apart = self.ground.along_m - self.ground.along_m[before] if self.rule.by_road else self._straight(before)
        far_enough = _first(clear & (apart >= self.rule.least_m))
        if far_enough is not None and apart[far_enough] <= self.rule.most_m:
            return far_enough
        # Beyond what the protocol allows: rather a little nearer than its figure than too far.
        nearer = clear & (apart >= self.rule.shortest_m) & (apart < self.rule.least_m)
        if far_enough is not None:
            nearer[far_enough:] = False
        within = np.flatnonzero(nearer)
        return int(within[-1]) if len(within) else far_enough

    def _by_road(self, before: int, step: int) -> float:
        """Return the metres of the way from one step to another; inf where that is not what is measured."""
        if self.network is None or not self.rule.by_road:
            return math.inf
        return road_metres(self.ground, self.network, before, step)

    def _straight(self, step: int) -> FloatArray:
        """Return the metres from a step to all others as the crow flies."""
        ground = self.ground
        return np.asarray(np.hypot(ground.x_m - ground.x_m[step], ground.y_m - ground.y_m[step]), dtype=np.float64)


def _first(where: BoolArray) -> int | None:
    step = int(np.argmax(where))
    return step if where[step] else None
