"""A road by its name: from a place on it, on along it as far as the name leads."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import numpy as np
import shapely
from shapely.ops import substring

from planner.domain.errors import ImpossibleError
from planner.domain.geo import Place, sphere_metres
from planner.travel import LatLon, Lines, NearLines, Plane, RoadNetwork
from planner.usecases.laying_out.request import AlongRoad
from planner.usecases.route_checks.facts import BoolArray, FloatArray

AT_ROAD_M = 500.0
"""A place farther than this from every road of a name is on none of them: our choice."""
_CLOSE_NAMES = 5


@dataclass(frozen=True, slots=True)
class _Onward:
    """A way on from the start: the rest of the road that one starts on, then from junction to junction."""

    metres: float
    first: tuple[LatLon, ...]
    """From the start to the first junction."""
    nodes: tuple[int, ...]
    """Junctions, the first one on; the last is where the way ends."""
    end: Place


def road_at(place: Place, network: RoadNetwork) -> str:
    """Return the name of the road with a name that is nearest to a place; empty where there is none near."""
    roads = network.roads
    named = np.array([bool(name) for name in roads.names], dtype=np.bool_)[roads.name_numbers]
    edge = _nearest_edge(place, network, named)
    return "" if edge is None else roads.names[int(roads.name_numbers[edge])]


def roads_named(name: str, network: RoadNetwork) -> tuple[tuple[Place, ...], ...]:
    """Return every piece of the road, or roads, of a name, from junction to junction: to look where it runs.

    Raises:
        ImpossibleError: there is no road of that name; it says which are like it.
    """
    pieces = (network.roads.geometry(edge) for edge in np.flatnonzero(_edges_named(name, network)).tolist())
    return tuple(
        tuple(Place(*corner) for corner in zip(latitudes.tolist(), longitudes.tolist(), strict=True))
        for latitudes, longitudes in pieces
    )


def line_along_road(along: AlongRoad, network: RoadNetwork) -> list[LatLon]:
    """Return the line from the start along the road: to its farthest end, or to that nearest to where it goes.

    One-way streets are followed as they may be driven.

    Raises:
        ImpossibleError: there is no road of that name, or none near the start.
    """
    named = _edges_named(along.name, network)
    edge = _start_edge(along, network, named)
    graph = _graph(network, named, edge)
    ways = [way for first in _first_pieces(along.start, network, edge) for way in _ways_on(network, graph, *first)]
    if not ways:
        raise ImpossibleError(f"Nothing may be driven from {along.start} along '{along.name}'.", "Start elsewhere.")
    if along.towards is None:
        chosen = max(ways, key=lambda way: way.metres)
    else:
        towards = along.towards
        chosen = min(ways, key=lambda way: (round(sphere_metres(way.end, towards)), way.metres))
    line = list(chosen.first)
    for here, there in pairwise(chosen.nodes):
        line += _geometry(network, graph.edges[here, there]["edge"], here)[1:]
    return line


def _edges_named(name: str, network: RoadNetwork) -> BoolArray:
    """Return for each edge whether the road has that name."""
    roads, wanted = network.roads, name.casefold().strip()
    mine = np.array([one.casefold().strip() == wanted for one in roads.names], dtype=np.bool_)
    if not wanted or not mine.any():
        close = difflib.get_close_matches(name, [one for one in roads.names if one], _CLOSE_NAMES, 0.5)
        todo = f"Did you mean {' or '.join(close)}?" if close else "Look at how the map spells it."
        raise ImpossibleError(f"No road of the map has the name '{name}'.", todo)
    return np.asarray(mine[roads.name_numbers], dtype=np.bool_)


def _start_edge(along: AlongRoad, network: RoadNetwork, named: BoolArray) -> int:
    edge = _nearest_edge(along.start, network, named)
    if edge is None:
        raise ImpossibleError(
            f"The road '{along.name}' does not run near {along.start}.",
            f"Choose a place within {AT_ROAD_M:g} m of it.",
        )
    return edge


def _nearest_edge(place: Place, network: RoadNetwork, which: BoolArray) -> int | None:
    """Return the nearest of those edges; None where none is within ``AT_ROAD_M``."""
    table = np.array([(place.latitude, place.longitude)])
    plane = Plane(table)
    at = plane.metres(table[:, 0], table[:, 1])
    near = NearLines(Lines.of_roads(network.roads), plane, table, AT_ROAD_M, which).nearest(*at)
    return int(near.lines[0]) if near.lines[0] >= 0 else None


def _graph(network: RoadNetwork, named: BoolArray, start: int) -> nx.DiGraph[int]:
    """Return the road's pieces as they may be driven, all but the one that is started on."""
    roads = network.roads
    graph: nx.DiGraph[int] = nx.DiGraph()
    for edge in np.flatnonzero(named).tolist():
        ends = int(roads.tails[edge]), int(roads.heads[edge])
        graph.add_nodes_from(ends)
        for (here, there), seconds in ((ends, roads.forward_seconds), (ends[::-1], roads.backward_seconds)):
            metres = float(roads.metres[edge])
            known = graph.get_edge_data(here, there, {"metres": np.inf})["metres"]
            if edge != start and np.isfinite(seconds[edge]) and metres < known:
                graph.add_edge(here, there, metres=metres, edge=edge)
    return graph


def _first_pieces(start: Place, network: RoadNetwork, edge: int) -> Iterator[tuple[tuple[LatLon, ...], int]]:
    """Yield the way from the start to the junction ahead and to that behind, where they may be driven."""
    roads = network.roads
    latitudes, longitudes = roads.geometry(edge)
    plane = Plane(np.column_stack([latitudes, longitudes]))
    line = shapely.LineString(np.column_stack(plane.metres(latitudes, longitudes)))
    (x,), (y,) = plane.metres(np.array([start.latitude]), np.array([start.longitude]))
    at = line.project(shapely.Point(x, y))
    if np.isfinite(roads.forward_seconds[edge]):
        yield _degrees(plane, substring(line, at, line.length)), int(roads.heads[edge])
    if np.isfinite(roads.backward_seconds[edge]):
        yield _degrees(plane, substring(line, at, 0.0)), int(roads.tails[edge])


def _degrees(plane: Plane, piece: shapely.LineString | shapely.Point) -> tuple[LatLon, ...]:
    corners: FloatArray = shapely.get_coordinates(piece)
    latitudes, longitudes = plane.degrees(corners[:, 0], corners[:, 1])
    return tuple(zip(latitudes.tolist(), longitudes.tolist(), strict=True))


def _ways_on(network: RoadNetwork, graph: nx.DiGraph[int], first: tuple[LatLon, ...], node: int) -> Iterator[_Onward]:
    """Yield the way to each junction that the road leads to."""
    roads = network.roads
    piece_m = sum(sphere_metres(Place(*here), Place(*there)) for here, there in pairwise(first))
    paths = nx.single_source_dijkstra_path(graph, node, weight="metres")
    for end, nodes in paths.items():
        metres = sum(float(graph.edges[pair]["metres"]) for pair in pairwise(nodes))
        place = Place(float(roads.node_latitudes[end]), float(roads.node_longitudes[end]))
        yield _Onward(piece_m + metres, first, tuple(nodes), place)


def _geometry(network: RoadNetwork, edge: int, here: int) -> list[LatLon]:
    """Return the corners of a road from one of its ends on."""
    latitudes, longitudes = network.roads.geometry(edge)
    corners: list[LatLon] = list(zip(latitudes.tolist(), longitudes.tolist(), strict=True))
    return corners if int(network.roads.tails[edge]) == here else corners[::-1]
