"""The line that points are laid out along, step by step: where each step is, on which road, and how far off it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.domain.errors import ImpossibleError
from planner.travel import LatLon, Lines, NearLines, Plane, RoadNetwork
from planner.travel.geodesic import metres_between
from planner.usecases.route_checks.facts import FloatArray, IntArray

STEP_M = 1.0
"""Points are laid out at whole steps along the line."""
LONGEST_M = 300_000.0
"""Longer lines are refused: nobody drives such a route in an evening. Our choice."""
NEAR_ROAD_M = 30.0
"""A line farther than this from every road is not on one: a track of a receiver strays by less. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """Steps along a line; all arrays have one cell a step."""

    plane: Plane
    length_m: float
    along_m: FloatArray
    """Metres from the beginning of the line."""
    x_m: FloatArray
    """On the road where there is one, in the plane."""
    y_m: FloatArray
    edges: IntArray
    """Edge of the road network; -1 where the line is on no road."""
    off_m: FloatArray
    """From the line as it was given to that road; inf where there is none."""
    given_x_m: FloatArray
    """Of the line as it was given, in the plane."""
    given_y_m: FloatArray

    @property
    def steps(self) -> int:
        """How many there are."""
        return len(self.along_m)

    def spots(self, steps: Sequence[int]) -> tuple[FloatArray, FloatArray]:
        """Return where some steps are, in the plane."""
        picked = np.array(steps, dtype=np.int64)
        return self.x_m[picked], self.y_m[picked]

    def places(self) -> FloatArray:
        """Return all steps in degrees, shape (steps, 2)."""
        return np.column_stack(self.plane.degrees(self.x_m, self.y_m))

    def line(self, every_m: float = 20.0) -> tuple[tuple[LatLon, ...], tuple[float, ...]]:
        """Return the line, one corner in so many metres and the last: pairs of degrees, and their metres along it."""
        picked = np.unique([*range(0, self.steps, max(1, round(every_m / STEP_M))), self.steps - 1])
        latitudes, longitudes = self.plane.degrees(self.x_m[picked], self.y_m[picked])
        corners = tuple(zip(latitudes.tolist(), longitudes.tolist(), strict=True))
        return corners, tuple(self.along_m[picked].tolist())


def metres_of(corners: FloatArray) -> FloatArray:
    """Return the metres from the beginning of a line to each of its corners, shape (corners,).

    Args:
        corners: in degrees, shape (corners, 2).

    Raises:
        ImpossibleError: the line has no length, or is too long.
    """
    metres = np.concatenate([[0.0], np.cumsum(metres_between(corners[:-1], corners[1:]))])
    if not STEP_M <= metres[-1] <= LONGEST_M:
        found = "no length" if metres[-1] < STEP_M else f"{metres[-1] / 1000:,.0f} km"
        raise ImpossibleError(
            "No points can be laid out along this line.",
            f"It has {found}; it must be between a metre and {LONGEST_M / 1000:g} km long.",
        )
    return np.asarray(metres, dtype=np.float64)


def road_metres(ground: Ground, network: RoadNetwork, before: int, step: int) -> float:
    """Return the metres of the quickest way by road from one step to another; inf where there is none."""
    here, there = zip(*(axis.tolist() for axis in ground.plane.degrees(*ground.spots([before, step]))), strict=True)
    way = np.array(network.path(here, there), dtype=np.float64)
    return float(metres_between(way[:-1], way[1:]).sum()) if len(way) else float("inf")


def ground_of(corners: Sequence[LatLon], network: RoadNetwork | None, given: Sequence[LatLon] | None = None) -> Ground:
    """Return the steps along a line.

    Args:
        corners: of the line, on the roads where there are any.
        network: the roads; None: nothing is known of them.
        given: corners of the same line before it was put onto the roads, one for one; the line itself by default.

    Raises:
        ImpossibleError: the line has no length, or is too long.
    """
    table = np.array(corners, dtype=np.float64)
    metres = metres_of(table)
    length = float(metres[-1])
    plane = Plane(table)
    along = np.arange(0.0, length + 1e-9, STEP_M)
    raw = table if given is None else np.array(given, dtype=np.float64)
    (x, y), (raw_x, raw_y) = (
        [np.interp(along, metres, axis) for axis in plane.metres(one[:, 0], one[:, 1])] for one in (table, raw)
    )
    if network is None:
        return Ground(plane, length, along, x, y, np.full(len(along), -1), np.zeros(len(along)), raw_x, raw_y)
    near = NearLines(Lines.of_roads(network.roads), plane, table, NEAR_ROAD_M).nearest(x, y)
    off = np.where(near.lines >= 0, np.hypot(raw_x - near.x_m, raw_y - near.y_m), np.inf)
    return Ground(plane, length, along, near.x_m, near.y_m, near.lines, off, raw_x, raw_y)
