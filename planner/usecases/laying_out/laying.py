"""Points laid out along a line: each as soon as the rule and the road allow.

Along a line, with distances along it, taking the earliest place that is far enough and allowed gives the most points
that fit behind the first. With distances as the crow flies a line that bends back could hold more; the earliest place
is taken there too, and what is proposed keeps every distance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.domain.errors import ImpossibleError
from planner.domain.protocol import Protocol
from planner.travel import RoadNetwork
from planner.usecases.laying_out.ground import STEP_M, Ground
from planner.usecases.laying_out.request import Laid, LayoutRequest
from planner.usecases.laying_out.rule import ApartRule
from planner.usecases.laying_out.saying import laid_points, notes_on, why_fewer
from planner.usecases.laying_out.stretches import barred_steps, skipped_stretches, stretches_at_times_shut
from planner.usecases.laying_out.ways import ground_along
from planner.usecases.route_checks.facts import BoolArray, FloatArray


def lay_out(protocol: Protocol, network: RoadNetwork | None, request: LayoutRequest) -> Laid:
    """Return a proposal of points along a line; changes nothing, and computes for a tenth of a second.

    Points stand as far apart as the protocol wants, measured as it measures, and never so near that habitat circles
    overlap where they must not; bridges, tunnels, motorways, roads where stopping is forbidden, junctions, private
    roads, roads too near to busy ones and what the request avoids are left out, as far as the map tells.

    Args:
        protocol: its spacing, habitat circle, number of points and rule on busy roads.
        network: the roads; without them only a line that is given can be followed, and nothing is known of it.
        request: along what, how many, from where, and what to avoid.

    Raises:
        ImpossibleError: the protocol has no points, there is no such way or road, or the line is too long.
    """
    wanted = request.points or protocol.points.most
    if protocol.points.most == 0:
        raise ImpossibleError(f"'{protocol.name}' is a driven line without points.", "There is nothing to lay out.")
    ground = ground_along(request.along, network)
    rule = ApartRule.by(protocol)
    barred = barred_steps(ground, network, request, protocol.points.busy_road)
    steps = _Walk(ground, rule, barred.allowed).steps(request.start_after_m, wanted)
    first = min(round(request.start_after_m / STEP_M), ground.steps - 1)
    last = steps[-1] if len(steps) == wanted else ground.steps - 1
    skipped = tuple(skipped_stretches(barred, ground, first, last))
    points = laid_points(ground, rule, barred, steps, first)
    line, line_m = ground.line()
    return Laid(
        points=points,
        line=line,
        line_m=line_m,
        length_m=ground.length_m,
        skipped=skipped,
        wanted=wanted,
        rule=rule.words,
        why_fewer="" if len(points) == wanted else why_fewer(ground, rule, (len(points), wanted), request, skipped),
        notes=tuple(notes_on(protocol, network, len(points), stretches_at_times_shut(ground, network, last))),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Walk:
    """A walk along the line that sets a point down wherever it may."""

    ground: Ground
    rule: ApartRule
    allowed: BoolArray

    def steps(self, start_after_m: float, wanted: int) -> list[int]:
        """Return the steps at which points stand, rising."""
        clear = self.allowed & (self.ground.along_m >= start_after_m - 1e-9)
        chosen: list[int] = []
        while len(chosen) < wanted:
            step = self._next(clear, chosen[-1] if chosen else None)
            if step is None:
                break
            chosen.append(step)
            clear &= self._straight(step) >= self.rule.straight_m
            clear[: step + 1] = False
        return chosen

    def _next(self, clear: BoolArray, before: int | None) -> int | None:
        """Return the next step for a point: at the rule's figure or beyond; within its tolerance where need be."""
        if before is None:
            return _first(clear)
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

    def _straight(self, step: int) -> FloatArray:
        """Return the metres from a step to all others as the crow flies."""
        ground = self.ground
        return np.asarray(np.hypot(ground.x_m - ground.x_m[step], ground.y_m - ground.y_m[step]), dtype=np.float64)


def _first(where: BoolArray) -> int | None:
    step = int(np.argmax(where))
    return step if where[step] else None
