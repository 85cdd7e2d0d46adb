"""Where along a line no point may stand, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from planner.domain.counting import BusyRoadRule
from planner.travel import Lines, NearLines, RoadFlag, RoadNetwork, busy_edges
from planner.travel.road_arrays import RoadArrays
from planner.usecases.laying_out.ground import NEAR_ROAD_M, Ground
from planner.usecases.laying_out.request import LayoutRequest, Skipped, Why
from planner.usecases.route_checks.facts import BoolArray, IntArray

JUNCTION_M = 10.0
"""No stopping within so many metres of a junction; The Highway Code of Great Britain, rule 243; from memory. The law
of other countries differs, and comes first."""
PRIVATE_M = 25.0
"""A track this near to a closed road, and nearer to it than to any open one, runs on it: our choice."""
AGAIN_M = 5.0
"""Two steps of a line nearer than two or three times this are one stretch of road: our choice."""
AGAIN_AFTER_M = 60.0
"""Steps nearer along the line than this are not held against each other: a bend is no second time. Our choice."""
BUSY_GUARD_M = 2.0
"""Beside rounding to the metre, as every distance here."""

_ROW = 1 << 32
"""More squares than there are from south to north."""
_MOTORWAYS = ("motorway", "motorway_link")


@dataclass(frozen=True, slots=True, eq=False)
class Barred:
    """What bars each step of a line."""

    why: IntArray
    """Place of the reason in ``Why``; -1 where a point may stand."""
    roads: Mapping[int, str]
    """The busy road that is meant, by the edge that bars a step."""
    busy_edge: IntArray
    """Edge of the nearest busy road within reach of each step; -1 where there is none."""

    @property
    def allowed(self) -> BoolArray:
        """Whether a point may stand at each step."""
        return np.asarray(self.why < 0, dtype=np.bool_)

    def reason(self, step: int) -> Why:
        """Return why no point may stand at a step that is barred."""
        return tuple(Why)[int(self.why[step])]


def barred_steps(
    ground: Ground, network: RoadNetwork | None, request: LayoutRequest, rule: BusyRoadRule | None
) -> Barred:
    """Return what bars each step of a line, as far as the map tells it.

    Lay-bys, sight lines, verges and soft ground are not on a map: a person looks at every point in daylight.

    Args:
        ground: the line.
        network: the roads; None: only what the request avoids, and stretches gone twice, are known.
        request: what to avoid.
        rule: how far the protocol keeps points from busy roads.
    """
    busy, names = _busy(ground, network, rule)
    masks: dict[Why, Callable[[], BoolArray]] = {
        Why.AVOID: lambda: _avoided(ground, request),
        Why.PRIVATE: lambda: _private(ground, network),
        Why.OFF_ROAD: lambda: _off_road(ground, network),
        Why.MOTORWAY: lambda: _flagged(ground, network, RoadFlag.MOTORROAD) | _motorway(ground, network),
        Why.TUNNEL: lambda: _flagged(ground, network, RoadFlag.TUNNEL),
        Why.BRIDGE: lambda: _flagged(ground, network, RoadFlag.BRIDGE),
        Why.NO_STOPPING: lambda: _flagged(ground, network, RoadFlag.NO_STOPPING),
        Why.BUSY: lambda: busy >= 0,
        Why.AGAIN: lambda: _again(ground),
        Why.JUNCTION: lambda: _junctions(ground, network),
    }
    why = np.full(ground.steps, -1)
    for number, reason in reversed(list(enumerate(Why))):
        why[masks[reason]()] = number
    return Barred(why, names, busy)


def skipped_stretches(barred: Barred, ground: Ground, first: int, last: int) -> Iterator[Skipped]:
    """Yield the barred stretches between two steps; junctions are left out: every road has many."""
    why = np.where(barred.why == list(Why).index(Why.JUNCTION), -1, barred.why)[first : last + 1]
    for start, end, number in _spans(why):
        if number >= 0:
            reason = tuple(Why)[number]
            what = barred.roads.get(int(barred.busy_edge[first + start]), "") if reason is Why.BUSY else ""
            from_m, to_m = (float(ground.along_m[first + step]) for step in (start, end))
            yield Skipped(from_m, to_m, reason, what)


def stretches_at_times_shut(ground: Ground, network: RoadNetwork | None, last: int) -> list[tuple[float, float]]:
    """Return the stretches up to a step, as metres from and to, whose opening hangs on season, hour or snow."""
    flagged = _flagged(ground, network, RoadFlag.SEASONAL)[: last + 1]
    return [
        (float(ground.along_m[start]), float(ground.along_m[end]))
        for start, end, shut in _spans(flagged.astype(np.int64))
        if shut
    ]


def _spans(values: IntArray) -> Iterator[tuple[int, int, int]]:
    """Yield runs of one value: first place, last place, value."""
    edges = (np.flatnonzero(np.diff(values)) + 1).tolist()
    for start, end in zip([0, *edges], [*edges, len(values)], strict=True):
        if end > start:
            yield start, end - 1, int(values[start])


def _avoided(ground: Ground, request: LayoutRequest) -> BoolArray:
    barred = np.zeros(ground.steps, dtype=np.bool_)
    for first, last in request.avoid:
        barred |= (ground.along_m >= first) & (ground.along_m <= last)
    return barred


def _off_road(ground: Ground, network: RoadNetwork | None) -> BoolArray:
    if network is None:
        return np.zeros(ground.steps, dtype=np.bool_)
    return np.asarray((ground.edges < 0) | (ground.off_m > NEAR_ROAD_M), dtype=np.bool_)


def _private(ground: Ground, network: RoadNetwork | None) -> BoolArray:
    """Whether the line runs on a road that is closed to a volunteer's car: nearer to it than to an open one."""
    if network is None or len(network.roads.closed_starts) < 2:
        return np.zeros(ground.steps, dtype=np.bool_)
    closed = NearLines(Lines.of_closed_roads(network.roads), ground.plane, ground.places(), PRIVATE_M)
    metres = closed.nearest(ground.given_x_m, ground.given_y_m).metres
    return np.asarray(metres < np.minimum(ground.off_m, PRIVATE_M), dtype=np.bool_)


def _flagged(ground: Ground, network: RoadNetwork | None, flag: RoadFlag) -> BoolArray:
    return _of_edges(ground, network, lambda roads: (roads.flags & flag) != 0)


def _motorway(ground: Ground, network: RoadNetwork | None) -> BoolArray:
    def motorways(roads: RoadArrays) -> BoolArray:
        kinds = np.array([kind in _MOTORWAYS for kind in roads.kinds], dtype=np.bool_)
        return np.asarray(kinds[roads.kind_numbers], dtype=np.bool_)

    return _of_edges(ground, network, motorways)


def _of_edges(ground: Ground, network: RoadNetwork | None, which: Callable[[RoadArrays], BoolArray]) -> BoolArray:
    if network is None:
        return np.zeros(ground.steps, dtype=np.bool_)
    return np.asarray((ground.edges >= 0) & which(network.roads)[ground.edges], dtype=np.bool_)


def _busy(ground: Ground, network: RoadNetwork | None, rule: BusyRoadRule | None) -> tuple[IntArray, Mapping[int, str]]:
    """Return the edge of the busy road that each step is too near to, -1 where there is none, and their names."""
    if network is None or rule is None:
        return np.full(ground.steps, -1), {}
    roads = network.roads
    limit_kmh = None if rule.limit_at_least is None else rule.limit_at_least.base
    busy = busy_edges(roads, rule.kinds, limit_kmh)
    within = rule.least.metres + BUSY_GUARD_M
    near = NearLines(Lines.of_roads(roads), ground.plane, ground.places(), within, busy).nearest(ground.x_m, ground.y_m)
    names = {
        edge: roads.names[roads.name_numbers[edge]] or roads.kinds[roads.kind_numbers[edge]]
        for edge in np.unique(near.lines).tolist()
        if edge >= 0
    }
    return near.lines, names


def _again(ground: Ground) -> BoolArray:
    """Whether the line was here before: in the same square of ``AGAIN_M`` or one beside it."""
    columns, rows = (np.floor(axis / AGAIN_M).astype(np.int64) for axis in (ground.x_m, ground.y_m))
    squares, own = np.unique(columns * _ROW + rows, return_inverse=True)
    first_m = np.full(len(squares), np.inf)
    np.minimum.at(first_m, own, ground.along_m)
    earliest_m = np.full(ground.steps, np.inf)
    for east in (-1, 0, 1):
        for north in (-1, 0, 1):
            wanted = (columns + east) * _ROW + rows + north
            at = np.minimum(np.searchsorted(squares, wanted), len(squares) - 1)
            earliest_m = np.minimum(earliest_m, np.where(squares[at] == wanted, first_m[at], np.inf))
    return np.asarray(ground.along_m - earliest_m > AGAIN_AFTER_M, dtype=np.bool_)


def _junctions(ground: Ground, network: RoadNetwork | None) -> BoolArray:
    barred = np.zeros(ground.steps, dtype=np.bool_)
    if network is None:
        return barred
    roads = network.roads
    edges = np.unique(ground.edges[ground.edges >= 0])
    nodes = np.unique(np.concatenate([roads.tails[edges], roads.heads[edges]]))
    meeting = np.bincount(np.concatenate([roads.tails, roads.heads]), minlength=roads.node_count)
    nodes = nodes[meeting[nodes] > 2]
    if not len(nodes):
        return barred
    x, y = ground.plane.metres(roads.node_latitudes[nodes], roads.node_longitudes[nodes])
    near = cKDTree(np.column_stack([x, y])).query(np.column_stack([ground.x_m, ground.y_m]))[0]
    return np.asarray(near < JUNCTION_M, dtype=np.bool_)
