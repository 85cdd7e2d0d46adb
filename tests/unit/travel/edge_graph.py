"""Drives on an OpenStreetMap extract by igraph: one node for each directed piece of way, one arc for each allowed turn.

Read from the ways, nodes and restriction relations by its own, simpler reading of their tags: nothing is joined to
longer roads, and no junction is copied for a forbidden turn. Only the seconds that a piece takes come from the network
under test, for both sides must weigh alike.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import TypeAlias

import igraph
import numpy as np
import numpy.typing as npt
import osmium
from pyproj import Geod

from planner.travel import LatLon, RoadNetwork, shipped_speeds

Floats: TypeAlias = npt.NDArray[np.float64]
Piece: TypeAlias = tuple[int, int]
"""Two neighbouring nodes of a way, in the direction of driving."""
_Matched: TypeAlias = frozenset[tuple[int, int]]
"""Bans that the last pieces driven have begun: (number of the ban, pieces of it driven)."""
_State: TypeAlias = tuple[Piece, _Matched]

_ACCESS = ("motorcar", "motor_vehicle", "vehicle", "access")
_CLOSED = {"no", "private", "permit", "customers", "delivery", "agricultural", "forestry", "psv", "bus", "taxi"}
_CLOSED |= {"military", "residents", "emergency"}
_IMPASSABLE = {
    "block",
    "bollard",
    "chain",
    "log",
    "planter",
    "jersey_barrier",
    "stile",
    "kissing_gate",
    "cycle_barrier",
}
_EXEMPT = {"motorcar", "motor_vehicle", "vehicle"}
_BY_HOUR = {"day_on", "day_off", "hour_on", "hour_off"}
"""A restriction with one of these holds at some hours only: neither side looks at it."""


@dataclass(slots=True)
class TurnGraph:
    """What may be driven, piece by piece, and after what."""

    positions: dict[int, LatLon] = field(default_factory=dict)
    seconds: dict[Piece, float] = field(default_factory=dict)
    bans: list[tuple[Piece, ...]] = field(default_factory=list)
    """Pieces that may not be driven one after the other."""
    turning: set[int] = field(default_factory=set)
    """Nodes at which one may turn round: where roads meet or end."""

    def place(self, piece: Piece, fraction: float) -> LatLon:
        """Return a place on a piece; pieces are short, so degrees grow evenly along them."""
        (a, b), (c, d) = (self.positions[node] for node in piece)
        return a + (c - a) * fraction, b + (d - b) * fraction

    def minutes(self, places: Sequence[tuple[Piece, float]]) -> Floats:
        """Return the least minutes between all places, each a piece and a fraction of it; inf: no way."""
        states = _States(self)
        sources, targets = [], []
        for piece, fraction in places:
            sources.append(states.source(piece, fraction))
            targets.append(states.target())
        states.grow()
        for (piece, fraction), target in zip(places, targets, strict=True):
            states.enter(piece, fraction, target)
        for i, start in enumerate(places):
            for j, end in enumerate(places):
                states.straight(start, end, (sources[i], targets[j]))
        graph = igraph.Graph(n=states.count, edges=states.arcs, directed=True)
        found = np.array(graph.distances(sources, targets, weights=states.costs, mode="out"), dtype=np.float64) / 60.0
        np.fill_diagonal(found, 0.0)
        return found


class _States:
    """The nodes and arcs of the graph as they are found; node = a piece driven to its end, with the bans it began."""

    def __init__(self, roads: TurnGraph) -> None:
        self._roads = roads
        self._leaving: dict[int, list[Piece]] = defaultdict(list)
        for piece in roads.seconds:
            self._leaving[piece[0]].append(piece)
        self._begun: dict[Piece, list[int]] = defaultdict(list)
        for number, ban in enumerate(roads.bans):
            self._begun[ban[0]].append(number)
        self._numbers: dict[_State, int] = {}
        self._open: list[_State] = []
        self._ending_at: dict[int, list[_State]] = defaultdict(list)
        self.arcs: list[tuple[int, int]] = []
        self.costs: list[float] = []
        self.count = 0

    def source(self, piece: Piece, fraction: float) -> int:
        """Add a node that leaves from within a piece, either way, and return its number."""
        number = self.target()
        for way, share in ((piece, 1.0 - fraction), (piece[::-1], fraction)):
            if way in self._roads.seconds:
                self._arc(number, self._number((way, self._after(way, frozenset()) or frozenset())), way, share)
        return number

    def target(self) -> int:
        """Add a node without arcs and return its number."""
        self.count += 1
        return self.count - 1

    def grow(self) -> None:
        """Follow every allowed turn from what was reached."""
        while self._open:
            state = self._open.pop()
            for piece, matched in self._turns(state):
                self._arc(self._numbers[state], self._number((piece, matched)), piece, 1.0)

    def enter(self, piece: Piece, fraction: float, target: int) -> None:
        """Add the arcs that lead to a place within a piece, from every state that may turn onto it."""
        for way, share in ((piece, fraction), (piece[::-1], 1.0 - fraction)):
            if way in self._roads.seconds:
                for state in self._ending_at[way[0]]:
                    if any(turned == way for turned, _ in self._turns(state)):
                        self._arc(self._numbers[state], target, way, share)

    def straight(self, start: tuple[Piece, float], end: tuple[Piece, float], ends: tuple[int, int]) -> None:
        """Add the arc between two places on one piece."""
        if start[0] == end[0]:
            way, share = (start[0], end[1] - start[1]) if end[1] > start[1] else (start[0][::-1], start[1] - end[1])
            if way in self._roads.seconds:
                self._arc(*ends, way, share)

    def _turns(self, state: _State) -> Iterator[_State]:
        (start, node), matched = state
        for piece in self._leaving[node]:
            if piece[1] == start and node not in self._roads.turning:
                continue
            after = self._after(piece, matched)
            if after is not None:
                yield piece, after

    def _after(self, piece: Piece, matched: _Matched) -> _Matched | None:
        """Return the bans that are begun after one more piece; None where it completes one."""
        bans = self._roads.bans
        going_on = {(number, done + 1) for number, done in matched if bans[number][done] == piece}
        if any(done == len(bans[number]) for number, done in going_on):
            return None
        return frozenset(going_on | {(number, 1) for number in self._begun.get(piece, ())})

    def _number(self, state: _State) -> int:
        if state not in self._numbers:
            self._numbers[state] = self.target()
            self._open.append(state)
            self._ending_at[state[0][1]].append(state)
        return self._numbers[state]

    def _arc(self, start: int, end: int, piece: Piece, share: float) -> None:
        self.arcs.append((start, end))
        self.costs.append(self._roads.seconds[piece] * share)


def turn_graph(path: Path, network: RoadNetwork) -> TurnGraph:
    """Return the pieces and turns of an extract, weighed as the network weighs them.

    Raises:
        KeyError: a piece that may be driven by the tags is closed in the network.
    """
    graph = TurnGraph()
    weights, ways, closed = _weights(network), {}, set()
    used: Counter[int] = Counter()
    for entity in osmium.FileProcessor(str(path)).with_locations():
        tags = {tag.k: tag.v for tag in entity.tags}
        if isinstance(entity, osmium.osm.Node):
            if _cuts(tags):
                closed.add(entity.id)
        elif isinstance(entity, osmium.osm.Way):
            ways[entity.id] = _add_way(graph, weights, entity, tags, closed)
            used.update(ways[entity.id])
            graph.turning.update(ways[entity.id][:1], ways[entity.id][-1:])
        elif isinstance(entity, osmium.osm.Relation) and tags.get("type") == "restriction":
            graph.bans += _bans(graph, entity, tags, ways)
    graph.turning.update(node for node, times in used.items() if times > 1)
    return graph


def _weights(network: RoadNetwork) -> dict[tuple[LatLon, LatLon], float]:
    """Return the seconds of each directed piece of the network by the positions of its ends; the quicker of two."""
    roads, geod = network.roads, Geod(ellps="WGS84")
    latitudes, longitudes = roads.geometry_latitudes, roads.geometry_longitudes
    metres = geod.inv(longitudes[:-1], latitudes[:-1], longitudes[1:], latitudes[1:])[2]
    corners = list(zip(latitudes.tolist(), longitudes.tolist(), strict=True))
    weights: dict[tuple[LatLon, LatLon], float] = {}
    for edge in range(roads.edge_count):
        span = range(int(roads.geometry_starts[edge]), int(roads.geometry_starts[edge + 1]) - 1)
        whole = sum(float(metres[corner]) for corner in span) or 1.0
        for corner in span:
            here, there = corners[corner], corners[corner + 1]
            for key, seconds in (((here, there), roads.forward_seconds), ((there, here), roads.backward_seconds)):
                share = float(seconds[edge]) * float(metres[corner]) / whole
                if np.isfinite(share):
                    weights[key] = min(share, weights.get(key, np.inf))
    return weights


def _add_way(
    graph: TurnGraph,
    weights: Mapping[tuple[LatLon, LatLon], float],
    way: osmium.osm.Way,
    tags: Mapping[str, str],
    closed: set[int],
) -> list[int]:
    """Add the pieces of a way that a car may drive, and return its nodes; none of a way that is no road for cars."""
    forward, backward = _open_ways(tags)
    if not (forward or backward):
        return []
    nodes = [(node.ref, (node.location.lat, node.location.lon)) for node in way.nodes if node.location.valid()]
    graph.positions.update(nodes)
    for ends in pairwise(nodes):
        (here, a), (there, b) = (_cut(graph, node, place) if node in closed else (node, place) for node, place in ends)
        for is_open, piece, line in ((forward, (here, there), (a, b)), (backward, (there, here), (b, a))):
            if is_open and here != there:
                graph.seconds[piece] = weights[line]
    return [node for node, _ in nodes]


def _cut(graph: TurnGraph, node: int, place: LatLon) -> tuple[int, LatLon]:
    """Return a node of its own in place of one where the road is closed: a dead end, at which one turns round."""
    number = -len(graph.positions) - abs(node)
    graph.positions[number] = place
    graph.turning.add(number)
    return number, place


def _open_ways(tags: Mapping[str, str]) -> tuple[bool, bool]:
    kind = tags.get("highway", "")
    if kind not in shipped_speeds().classes or tags.get("area") == "yes":
        return False, False
    usual = "yes" if tags.get("junction") in {"roundabout", "circular"} or kind == "motorway" else "no"
    keys = ("oneway:motorcar", "oneway:motor_vehicle", "oneway")
    oneway = next((tags[key] for key in keys if key in tags), usual)
    may_pass = [_first(tags, f":{way}") not in _CLOSED for way in ("forward", "backward")]
    return may_pass[0] and oneway != "-1", may_pass[1] and oneway not in {"yes", "1", "true"}


def _first(tags: Mapping[str, str], ending: str = "") -> str:
    """Return what the most exact access tag says, in one direction where that is said; empty where none does."""
    return next((tags[name] for key in _ACCESS for name in (key + ending, key) if name in tags), "")


def _cuts(tags: Mapping[str, str]) -> bool:
    access = _first(tags)
    shut = access in _CLOSED if access else tags["barrier"] in _IMPASSABLE if "barrier" in tags else False
    return "barrier" in tags and (shut or tags.get("locked") == "yes")


def _bans(
    graph: TurnGraph, relation: osmium.osm.Relation, tags: Mapping[str, str], ways: Mapping[int, list[int]]
) -> Iterator[tuple[Piece, ...]]:
    """Yield the turns that a restriction forbids to cars.

    None where a member is not in the extract, or where the one turn that is allowed leads against a one-way road.
    """
    rule = next((tags[key] for key in ("restriction:motorcar", "restriction") if key in tags), "")
    starts, ends = ([ways.get(m.ref, []) for m in relation.members if m.role == role] for role in ("from", "to"))
    vias = [member for member in relation.members if member.role == "via"]
    if _EXEMPT & set(tags.get("except", "").split(";")) or _BY_HOUR & set(tags) or len(vias) != 1:
        return
    between = [[vias[0].ref]] if vias[0].type == "n" else _both_ways(ways.get(vias[0].ref, []))
    for nodes in between:
        first, last = nodes[0], nodes[-1]
        arriving = [(near, first) for way in starts for near in _neighbours(way, first)]
        leaving = [(last, near) for way in ends for near in _neighbours(way, last) if (last, near) in graph.seconds]
        if rule.startswith("only_") and arriving and leaving:
            leaving = [piece for piece in graph.seconds if piece[0] == last and piece not in leaving]
        elif not rule.startswith("no_"):
            return
        yield from ((piece, *pairwise(nodes), turned) for piece in arriving for turned in leaving)


def _both_ways(nodes: list[int]) -> list[list[int]]:
    return [nodes, nodes[::-1]] if nodes else []


def _neighbours(way: Sequence[int], node: int) -> list[int]:
    """Return the nodes of a way beside one at its end; none where it is not at the end."""
    beside = [way[1]] if len(way) > 1 and way[0] == node else []
    return beside + ([way[-2]] if len(way) > 1 and way[-1] == node else [])
