"""Whether a place was put onto the road that is meant: the other carriageway, and roads far apart by car."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.road_arrays import RoadArrays
from planner.travel.snapping import Snapper, SnapTable

OTHER_SIDE_M = 60.0
"""Another one-way road so near, that leads the other way, is the other carriageway. Assumption, no published source."""
_OPPOSITE = np.cos(np.radians(135.0))
"""Directions whose cosine is less lead opposite ways."""

OFF_ROAD_DOUBT_M = 20.0
"""A place nearer to its road than this leaves no doubt which one is meant: what a position is worth."""
RIVAL_M = 50.0
"""Roads up to so much farther off than the nearest may be meant as well: in 5 of 100 places 20 to 200 m off the road
such roads were more than ``RIVAL_MINUTES`` apart by car, measured on the roads of an alpine country."""
RIVAL_MINUTES = 5.0

Minutes = Callable[[Floats, Floats, float], Floats]
"""Drive minutes from places to places within a limit, as ``RoadNetwork.minutes`` gives them."""


@dataclass(frozen=True, slots=True)
class Side:
    """What there is to doubt of the road that one place was put onto."""

    road: str
    """Name of the road, else its class."""
    oneway: bool = False
    """Whether it can be driven one way only, so that the place is come to from one side."""
    other_side_m: float | None = None
    """Metres from the place to the other carriageway; None where there is none near."""
    rival: str = ""
    """Another road about as near, more than ``RIVAL_MINUTES`` away by car; empty where there is none."""
    rival_m: float | None = None
    """Metres from the place to it."""


def sides(roads: RoadArrays, snapper: Snapper, places: Floats, minutes: Minutes) -> tuple[Side | None, ...]:
    """Return what there is to doubt of the road that each place is put onto; None for a place near no road.

    Args:
        roads: the network.
        snapper: what puts places onto it.
        places: an (n, 2) array of degrees.
        minutes: drive minutes between places.
    """
    table = snapper.chosen(places)
    there = np.flatnonzero(table.edges >= 0)
    if not len(there):
        return (None,) * len(places)
    oneway = _oneway(roads)
    others = _other_sides(snapper, places, table, roads)
    rivals = _rivals(snapper, places, table, minutes)
    found: list[Side | None] = [None] * len(places)
    for row in there.tolist():
        edge = int(table.edges[row])
        side = Side(road_name(roads, edge), bool(oneway[edge]), others.get(row))
        if row in rivals:
            rival_edge, rival_m = rivals[row]
            side = replace(side, rival=road_name(roads, rival_edge), rival_m=rival_m)
        found[row] = side
    return tuple(found)


def road_name(roads: RoadArrays, edge: int) -> str:
    """Return the name of a road or its number, else its class with an article."""
    name = roads.names[roads.name_numbers[edge]]
    kind = roads.kinds[roads.kind_numbers[edge]].replace("_", " ")
    return name or f"{'an' if kind[0] in 'aeiou' else 'a'} {kind} road without a name"


def _oneway(roads: RoadArrays) -> Flags:
    return np.asarray(np.isfinite(roads.forward_seconds) != np.isfinite(roads.backward_seconds), dtype=np.bool_)


def _other_sides(snapper: Snapper, places: Floats, table: SnapTable, roads: RoadArrays) -> Mapping[int, float]:
    """Return the metres to the other carriageway, by row, of the places that are on one of two."""
    oneway, ahead = _oneway(roads), np.where(np.isfinite(roads.forward_seconds), 1.0, -1.0)
    on_oneway = np.flatnonzero((table.edges >= 0) & oneway[table.edges])
    rows, edges = _near(snapper, places, on_oneway, np.full(len(on_oneway), OTHER_SIDE_M))
    kept = oneway[edges] & (edges != table.edges[rows])
    rows, edges = rows[kept], edges[kept]
    beside = snapper.onto(edges, places[rows])
    own = snapper.headings(_rows_of(table, rows)) * ahead[table.edges[rows], None]
    theirs = snapper.headings(beside) * ahead[edges, None]
    opposite = (own * theirs).sum(axis=1) < _OPPOSITE
    nearest: dict[int, float] = {}
    for row, metres in zip(rows[opposite].tolist(), beside.distances_m[opposite].tolist(), strict=True):
        nearest[row] = min(metres, nearest.get(row, np.inf))
    return nearest


def _rivals(snapper: Snapper, places: Floats, table: SnapTable, minutes: Minutes) -> Mapping[int, tuple[int, float]]:
    """Return edge and metres of the nearest road that is far by car from the one that was chosen, by row."""
    off = np.flatnonzero((table.edges >= 0) & (table.distances_m >= OFF_ROAD_DOUBT_M))
    rows, edges = _near(snapper, places, off, table.distances_m[off] + RIVAL_M)
    kept = (edges != table.edges[rows]) & snapper.main_edges[edges] & snapper.main_edges[table.edges[rows]]
    rows, edges = rows[kept], edges[kept]
    if not len(rows):
        return {}
    beside = snapper.onto(edges, places[rows])
    chosen, column = np.unique(rows, return_inverse=True)
    there = minutes(table.places[chosen], beside.places, RIVAL_MINUTES)[column, np.arange(len(rows))]
    back = minutes(beside.places, table.places[chosen], RIVAL_MINUTES)[np.arange(len(rows)), column]
    far: dict[int, tuple[int, float]] = {}
    for at in np.flatnonzero(np.minimum(there, back) > RIVAL_MINUTES).tolist():
        row, metres = int(rows[at]), float(beside.distances_m[at])
        if row not in far or metres < far[row][1]:
            far[row] = int(edges[at]), metres
    return far


def _near(snapper: Snapper, places: Floats, chosen: Ints, metres: Floats) -> tuple[Ints, Ints]:
    """Return rows of the places and edges so near to them, of some of the places."""
    rows, edges = snapper.within(places[chosen], metres)
    return chosen[rows], edges


def _rows_of(table: SnapTable, rows: Ints) -> SnapTable:
    return SnapTable(table.edges[rows], table.fractions[rows], table.places[rows], table.distances_m[rows])
