"""The streets of the towns and villages: lattices, closes, one-way pairs, a roundabout."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import pairwise

import networkx as nx
from island import XY, cosine, metres_between, towards
from roads import Country, Network, Road, Settlement, lay, road_of, spot_of

BLOCK_M = 165.0
CLOSE_M = (130.0, 240.0)
ROUNDABOUT_RADIUS_M = 22.0
STREET_TAGS = {"maxspeed": "20 mph"}
MAIN_STREET_TAGS = {"maxspeed": "30 mph"}


def build_streets(network: Network[int], country: Country) -> None:
    """Give each town its lattice of streets and each village its closes."""
    for number, settlement in enumerate(country.settlements):
        if settlement.columns:
            _build_town(network, number, settlement, country.seed)
        else:
            _build_village(network, number, settlement, country.seed)


def _build_town(network: Network[int], centre: int, town: Settlement, seed: str) -> None:
    """Put a lattice in the place of the town's one junction, and let the roads arrive at its rim."""
    arms = [(other, road_of(network, centre, other)) for other in network.neighbors(centre)]
    network.remove_node(centre)
    lattice = _lattice(network, town, seed)
    gates: dict[int, Road] = {}
    for other, road in arms:
        gate = _gate(network, town, lattice, spot_of(network, other), gates)
        gates[gate] = road
        lay(network, replace(road, start=gate, end=other))
    _main_streets(network, town, gates)
    _one_way_pair(network, lattice)
    if town.roundabout:
        _mark_roundabout(network, lattice, gates)


def _lattice(network: Network[int], town: Settlement, seed: str) -> dict[tuple[int, int], int]:
    shake = random.Random(f"{seed} streets of {town.name}")
    first = max(network) + 1
    cells = [(column, row) for row in range(town.rows) for column in range(town.columns)]
    lattice = {cell: first + number for number, cell in enumerate(cells)}
    turn = math.radians(town.turn_deg)
    for (column, row), junction in lattice.items():
        east = (column - (town.columns - 1) / 2) * BLOCK_M + shake.uniform(-22, 22)
        north = (row - (town.rows - 1) / 2) * BLOCK_M + shake.uniform(-22, 22)
        spot = (
            town.centre[0] + east * math.cos(turn) - north * math.sin(turn),
            town.centre[1] + east * math.sin(turn) + north * math.cos(turn),
        )
        network.add_node(junction, spot=spot)
    for (column, row), junction in lattice.items():
        for beside in ((column + 1, row), (column, row + 1)):
            if beside in lattice and not (beside[1] > row and (column * 3 + row) % 5 == 4):
                street = Road(junction, lattice[beside], "residential", settlement=town.name, tags=STREET_TAGS)
                lay(network, street)
    return lattice


def _gate(
    network: Network[int], town: Settlement, lattice: dict[tuple[int, int], int], to: XY, taken: dict[int, Road]
) -> int:
    """Return the free junction on the town's rim that lies most in the direction of ``to``."""
    rim = [
        junction
        for (column, row), junction in lattice.items()
        if (column in (0, town.columns - 1) or row in (0, town.rows - 1)) and junction not in taken
    ]
    direction = towards(town.centre, to)
    return max(rim, key=lambda junction: cosine(towards(town.centre, spot_of(network, junction)), direction))


def _main_streets(network: Network[int], town: Settlement, gates: dict[int, Road]) -> None:
    """Carry the main roads through the town between their gates."""
    for kind in ("secondary", "primary"):
        ends = [gate for gate, road in gates.items() if road.kind == kind]
        ends += [gate for gate, road in gates.items() if road.kind == "primary" and kind == "secondary"][:1]
        inside = network.subgraph([n for n in network if _in_town(network, n, town)])
        for a, b in pairwise(ends):
            for u, v in pairwise(nx.shortest_path(inside, a, b)):
                street = replace(road_of(network, u, v), kind=kind, tags=MAIN_STREET_TAGS)
                network.edges[u, v]["road"] = street


def _in_town(network: Network[int], junction: int, town: Settlement) -> bool:
    return any(road_of(network, junction, other).settlement == town.name for other in network.neighbors(junction))


def _one_way_pair(network: Network[int], lattice: dict[tuple[int, int], int]) -> None:
    """Make two neighbouring rows of residential streets one-way, against each other."""
    for row, eastward in ((0, True), (1, False)):
        for column in (1, 2):
            a, b = lattice[column, row], lattice[column + 1, row]
            if not network.has_edge(a, b) or road_of(network, a, b).kind != "residential":
                continue
            start, end = (a, b) if eastward else (b, a)
            lay(network, replace(road_of(network, a, b), start=start, end=end, oneway=True))


def _mark_roundabout(network: Network[int], lattice: dict[tuple[int, int], int], gates: dict[int, Road]) -> None:
    """Choose the busiest inner crossing that no one-way street touches."""
    fit = [
        junction
        for junction in lattice.values()
        if junction not in gates
        and not any(road_of(network, junction, other).oneway for other in network.neighbors(junction))
    ]

    def business(junction: int) -> tuple[int, int]:
        kinds = [road_of(network, junction, other).kind for other in network.neighbors(junction)]
        return len(kinds), kinds.count("primary")

    network.nodes[max(fit, key=business)]["roundabout"] = True


def open_roundabouts(network: Network[int]) -> None:
    """Put a one-way ring, clockwise as traffic keeps left, in the place of each marked crossing."""
    for centre in [junction for junction, data in network.nodes(data=True) if data.get("roundabout")]:
        middle = spot_of(network, centre)
        arms = [road_of(network, centre, other) for other in network.neighbors(centre)]
        network.remove_node(centre)
        ring: list[tuple[float, int]] = []
        for road in arms:
            outward = (
                road if road.start == centre else replace(road, start=road.end, end=road.start, line=road.line[::-1])
            )
            way = towards(middle, outward.line[1])
            rim = middle[0] + ROUNDABOUT_RADIUS_M * way[0], middle[1] + ROUNDABOUT_RADIUS_M * way[1]
            junction = max(network) + 1
            network.add_node(junction, spot=rim)
            lay(network, replace(outward, start=junction, line=(rim, *outward.line[1:])))
            ring.append((math.atan2(way[1], way[0]), junction))
        _close_ring(network, middle, sorted(ring, reverse=True), arms[0])


def _close_ring(network: Network[int], middle: XY, ring: list[tuple[float, int]], like: Road) -> None:
    kind = "primary" if like.kind == "primary" else "residential"
    for (angle, start), (following, end) in zip(ring, ring[1:] + ring[:1], strict=True):
        sweep = (angle - following) % (2 * math.pi)
        turns = [angle - sweep * share for share in (1 / 3, 2 / 3)]
        arc = [
            (middle[0] + ROUNDABOUT_RADIUS_M * math.cos(a), middle[1] + ROUNDABOUT_RADIUS_M * math.sin(a))
            for a in turns
        ]
        line = (spot_of(network, start), *arc, spot_of(network, end))
        tags = {"junction": "roundabout", "maxspeed": "20 mph"}
        lay(network, Road(start, end, kind, line, like.settlement, oneway=True, tags=tags))


def _build_village(network: Network[int], centre: int, village: Settlement, seed: str) -> None:
    """Add three closes in the widest gaps between the roads that meet in the village."""
    choose = random.Random(f"{seed} closes of {village.name}")
    middle = spot_of(network, centre)
    for _ in range(3):
        angles = sorted(
            math.atan2(way[1], way[0])
            for way in (towards(middle, spot_of(network, other)) for other in network.neighbors(centre))
        )
        gaps = [
            ((b - a) % (2 * math.pi) or 2 * math.pi, a) for a, b in zip(angles, angles[1:] + angles[:1], strict=True)
        ]
        gap, start = max(gaps)
        angle, length_m = start + gap / 2, choose.uniform(*CLOSE_M)
        end = max(network) + 1
        spot = middle[0] + length_m * math.cos(angle), middle[1] + length_m * math.sin(angle)
        network.add_node(end, spot=spot)
        lay(network, Road(centre, end, "residential", settlement=village.name, tags=STREET_TAGS))


def street_spots(network: Network[int], settlement: str, seed: str) -> list[XY]:
    """Return spots for houses beside a settlement's streets, 15 to 35 m from the kerb, in a shuffled order."""
    choose = random.Random(f"{seed} houses of {settlement}")
    spots = []
    for _, _, data in network.edges(data=True):
        road: Road = data["road"]
        if road.settlement != settlement or road.kind != "residential" or "junction" in road.tags:
            continue
        a, b = road.line[0], road.line[-1]
        if metres_between(a, b) < 60:
            continue
        along, (dx, dy) = choose.uniform(0.3, 0.9), towards(a, b)
        off_m = choose.uniform(15, 35) * choose.choice((-1, 1))
        spots.append((a[0] + along * (b[0] - a[0]) - off_m * dy, a[1] + along * (b[1] - a[1]) + off_m * dx))
    choose.shuffle(spots)
    return spots
