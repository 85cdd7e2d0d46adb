"""Drive minutes between random places on an extract: ours beside igraph's on a graph of allowed turns."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
import osmium

from planner.travel import RoadNetwork
from tests.unit.travel.edge_graph import Piece, TurnGraph, turn_graph

Floats: TypeAlias = npt.NDArray[np.float64]

_NODE_KINDS = ("no_left_turn", "no_right_turn", "no_straight_on", "no_u_turn", "only_straight_on")
_ON_ROAD_M = 0.2


@dataclass(frozen=True, slots=True)
class Parity:
    """Both sides' minutes between the same places, shape (places, places); inf: no way."""

    ours: Floats
    igraphs: Floats
    unrestricted: Floats
    """igraph's minutes if every turn were allowed: what the restrictions change."""
    bans: int
    """Turns that are forbidden."""
    oneway_pieces: int
    """Pieces of way that may be driven one way only."""

    @property
    def pairs(self) -> int:
        """Ordered pairs of different places."""
        return self.ours.size - len(self.ours)

    @property
    def worst_seconds(self) -> float:
        """The largest difference; inf where one side finds a way and the other none."""
        return float(_apart(self.ours, self.igraphs).max()) * 60.0

    @property
    def changed(self) -> int:
        """Pairs whose minutes the restrictions change."""
        return int((_apart(self.igraphs, self.unrestricted) > 1e-6).sum())


def _apart(a: Floats, b: Floats) -> Floats:
    both_closed = np.isinf(a) & np.isinf(b)
    return np.asarray(np.abs(np.where(both_closed, 0.0, a) - np.where(both_closed, 0.0, b)), dtype=np.float64)


def parity(path: Path, places: int, seed: int) -> Parity:
    """Return both sides' minutes between so many random places within pieces of road of the largest part."""
    network = RoadNetwork.read(path)
    graph = turn_graph(path, network)
    chosen = _chosen(graph, network, places, seed)
    here = [graph.place(piece, fraction) for piece, fraction in chosen]
    free = TurnGraph(graph.positions, graph.seconds, [], graph.turning)
    return Parity(
        ours=network.minutes(here, here),
        igraphs=graph.minutes(chosen),
        unrestricted=free.minutes(chosen),
        bans=len(graph.bans),
        oneway_pieces=sum(piece[::-1] not in graph.seconds for piece in graph.seconds),
    )


def _chosen(graph: TurnGraph, network: RoadNetwork, count: int, seed: int) -> list[tuple[Piece, float]]:
    dice, pieces = np.random.default_rng(seed), list(graph.seconds)
    places = [(pieces[number], float(dice.uniform(0.1, 0.9))) for number in dice.permutation(len(pieces))[: 4 * count]]
    snaps = network.snap([graph.place(*place) for place in places])
    # Motorways are not snapped to, and where roads lie upon each other another one may be found.
    good = [place for place, snap in zip(places, snaps, strict=True) if snap.on_main and snap.distance_m < _ON_ROAD_M]
    return good[:count]


def with_restrictions(source: Path, target: Path, count: int, seed: int) -> Path:
    """Write an extract anew with so many random turn restrictions more, a third of them over a way; return where."""
    ways = {
        entity.id: [node.ref for node in entity.nodes]
        for entity in osmium.FileProcessor(str(source), osmium.osm.WAY)
        if isinstance(entity, osmium.osm.Way) and "highway" in entity.tags
    }
    dice = np.random.default_rng(seed)
    with osmium.SimpleWriter(str(target), overwrite=True) as writer:
        for entity in osmium.FileProcessor(str(source)):
            writer.add(entity)
        for number, (kind, members) in enumerate(_random_restrictions(ways, count, dice), start=1):
            tags = {"type": "restriction", "restriction": kind}
            writer.add_relation(osmium.osm.mutable.Relation(id=10**10 + number, members=members, tags=tags))
    return target


def _random_restrictions(
    ways: dict[int, list[int]], count: int, dice: np.random.Generator
) -> list[tuple[str, list[tuple[str, int, str]]]]:
    ending: dict[int, list[int]] = {}
    for way, nodes in ways.items():
        for node in {nodes[0], nodes[-1]}:
            ending.setdefault(node, []).append(way)
    meeting = [node for node, there in ending.items() if len(there) > 1]
    made: list[tuple[str, list[tuple[str, int, str]]]] = []
    while len(made) < count:
        node = meeting[int(dice.integers(len(meeting)))]
        first, last = (int(way) for way in dice.choice(ending[node], 2, replace=False))
        other = ways[last][-1] if ways[last][0] == node else ways[last][0]
        beyond = [way for way in ending[other] if way not in (first, last)]
        if len(made) % 3 == 0 and beyond and other != node:
            members = [("w", first, "from"), ("w", last, "via"), ("w", int(dice.choice(beyond)), "to")]
            made.append(("no_left_turn", members))
        elif len(made) % 3:
            kind = str(dice.choice(_NODE_KINDS))
            made.append((kind, [("w", first, "from"), ("n", node, "via"), ("w", last, "to")]))
    return made
