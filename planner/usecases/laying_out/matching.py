"""A track put onto the roads: the likeliest spot on a road for each step of it, by a hidden Markov model.

After Newson and Krumm, Hidden Markov Map Matching Through Noise and Sparseness (ACM GIS 2009), with the step along
the roads taken as the crow flies: steps are short here. A spot costs by its distance from the track, a move from spot
to spot by how much longer or shorter it is than the track's own; the cheapest chain is found by dynamic programming.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.travel import LatLon, Lines, NearLines, Plane, RoadNetwork
from planner.travel.near_lines import NearSpots
from planner.usecases.laying_out.ground import NEAR_ROAD_M, metres_of
from planner.usecases.route_checks.facts import FloatArray, IntArray

SAMPLE_M = 10.0
"""A track is looked at every so many metres."""
STRAY_M = 10.0
"""How far a receiver or a hand strays from the road, as a standard deviation: our choice; the paper has 4 m."""
DETOUR_M = 3.0
"""Metres by which a move differs from the track's own, as a mean: our choice."""
MOST_SAMPLES = 60_000
_MOST_SPOTS = 6
"""Spots looked at for each sample, the nearest ones."""


def put_on_roads(places: Sequence[LatLon], network: RoadNetwork) -> tuple[list[LatLon], RoadNetwork, list[LatLon]]:
    """Return a track on the roads, the roads, and the track itself with as many corners.

    Where no road is within ``NEAR_ROAD_M`` the track stays as it is.

    Raises:
        ImpossibleError: the track has no length, or is too long.
    """
    samples = _sampled(np.array(places, dtype=np.float64))
    plane = Plane(samples)
    x, y = plane.metres(samples[:, 0], samples[:, 1])
    near = NearLines(Lines.of_roads(network.roads), plane, samples, NEAR_ROAD_M).all_near(x, y, NEAR_ROAD_M)
    spot_x, spot_y = x.copy(), y.copy()
    for rows in _runs(np.unique(near.rows)):
        chosen = _cheapest(near, rows, x, y)
        spot_x[rows], spot_y[rows] = near.x_m[chosen], near.y_m[chosen]
    latitudes, longitudes = plane.degrees(spot_x, spot_y)
    on_roads = list(zip(latitudes.tolist(), longitudes.tolist(), strict=True))
    return on_roads, network, [(float(a), float(b)) for a, b in samples]


def _sampled(corners: FloatArray) -> FloatArray:
    """Return the track in even steps, shape (samples, 2); longer tracks than can be looked at in longer ones."""
    metres = metres_of(corners)
    count = int(min(MOST_SAMPLES, max(2, np.ceil(metres[-1] / SAMPLE_M) + 1)))
    at = np.linspace(0.0, metres[-1], count)
    east = np.unwrap(corners[:, 1], period=360.0)
    longitudes = (np.interp(at, metres, east) + 180.0) % 360.0 - 180.0
    return np.column_stack([np.interp(at, metres, corners[:, 0]), longitudes])


def _runs(rows: IntArray) -> list[IntArray]:
    """Return rising numbers in runs without a hole."""
    return [run for run in np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1) if len(run)]


def _cheapest(near: NearSpots, rows: IntArray, x: FloatArray, y: FloatArray) -> IntArray:
    """Return for each sample of a run the pair of the cheapest chain of spots."""
    pairs = [_nearest_pairs(near, int(row)) for row in rows]
    costs = 0.5 * (near.metres[pairs[0]] / STRAY_M) ** 2
    came_from: list[IntArray] = []
    for number in range(1, len(rows)):
        before, here = pairs[number - 1], pairs[number]
        own = np.hypot(*(axis[rows[number]] - axis[rows[number - 1]] for axis in (x, y)))
        moves = np.hypot(
            near.x_m[here][None, :] - near.x_m[before][:, None], near.y_m[here][None, :] - near.y_m[before][:, None]
        )
        through = costs[:, None] + np.abs(moves - own) / DETOUR_M
        came_from.append(np.argmin(through, axis=0))
        costs = through.min(axis=0) + 0.5 * (near.metres[here] / STRAY_M) ** 2
    picks = [int(np.argmin(costs))]
    for before_row in reversed(came_from):
        picks.append(int(before_row[picks[-1]]))
    return np.array([pairs[number][pick] for number, pick in enumerate(reversed(picks))], dtype=np.int64)


def _nearest_pairs(near: NearSpots, row: int) -> IntArray:
    first, last = np.searchsorted(near.rows, [row, row + 1])
    mine = np.arange(first, last)
    return mine[np.argsort(near.metres[mine], kind="stable")[:_MOST_SPOTS]]
