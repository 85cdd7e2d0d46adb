"""How roads bend between junctions, and which of them run on through one."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from island import XY, Island, cosine, metres_between, towards
from roads import Network, Road, lay, road_of, spot_of
from shapely import LineString, STRtree

STEP_M = 135.0
RUN_ON_COSINE = -0.6
"""Two roads run on into each other where they meet at more than about 127 degrees."""
MAIN_RUN_ON_COSINE = 0.3
"""A main road sweeps round a sharper corner, to about 73 degrees."""
WIGGLE = {"primary": 0.02, "secondary": 0.04, "unclassified": 0.06, "track": 0.075}
"""Sideways swing as a share of a road's length."""

Arm = tuple[int, int]
"""A junction and the neighbour at the other end of one of its roads."""


def partners(network: Network[int]) -> dict[Arm, int]:
    """Return, for each arm that runs on through its junction, the neighbour it runs on to."""
    found: dict[Arm, int] = {}
    for junction in network:
        here = spot_of(network, junction)
        ways = {other: towards(here, spot_of(network, other)) for other in network.neighbors(junction)}
        bends = sorted(
            (not _main(network, junction, a, b), cosine(ways[a], ways[b]), a, b) for a, b in combinations(ways, 2)
        )
        for by_lane, bend, a, b in bends:
            if (
                bend < (RUN_ON_COSINE if by_lane else MAIN_RUN_ON_COSINE)
                and (junction, a) not in found
                and (junction, b) not in found
            ):
                found[junction, a], found[junction, b] = b, a
    return found


def _main(network: Network[int], junction: int, a: int, b: int) -> bool:
    """Say whether one and the same main road leads from ``a`` through the junction to ``b``."""
    kinds = {road_of(network, junction, a).kind, road_of(network, junction, b).kind}
    return kinds in ({"primary"}, {"secondary"})


def bend_roads(network: Network[int], island: Island, seed: str) -> None:
    """Give every road its line; roads that would cross or touch each other are straightened."""
    run_on = partners(network)
    swing = random.Random(f"{seed} bends")
    for a, b in list(network.edges):
        road = road_of(network, a, b)
        lay(network, replace(road, line=_line(network, road, run_on, island, swing)))
    for _ in range(6):
        crossed = {road for pair in crossings(network) for road in pair}
        if not crossed:
            return
        for a, b in sorted(crossed):
            road = road_of(network, a, b)
            straight = (spot_of(network, road.start), spot_of(network, road.end))
            if road.line == straight and road.kind == "residential" and network.degree(road.end) == 1:
                network.remove_node(road.end)
            else:
                lay(network, replace(road, line=straight))
    raise ValueError(f"roads of {island.name} cross: {sorted(crossings(network))}")


def _line(
    network: Network[int], road: Road, run_on: dict[Arm, int], island: Island, swing: random.Random
) -> tuple[XY, ...]:
    """Return a Hermite curve that leaves both junctions along the road's run, with a swing downhill."""
    a, b = spot_of(network, road.start), spot_of(network, road.end)
    length_m = metres_between(a, b)
    sway = [swing.uniform(0.3, 1.0), swing.uniform(-0.6, 0.6)]
    if road.settlement or length_m < 2 * STEP_M:
        return a, b
    (dx, dy) = towards(a, b)
    middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    left = island.height_m((middle[0] - 300 * dy, middle[1] + 300 * dx))
    right = island.height_m((middle[0] + 300 * dy, middle[1] - 300 * dx))
    sway[0] *= 1 if left < right else -1
    wide_m = length_m * WIGGLE[road.kind]
    leave, arrive = _run(network, road.start, road.end, run_on), _run(network, road.end, road.start, run_on)
    steps = max(3, round(length_m / STEP_M))
    curve = [a]
    for step in range(1, steps):
        t = step / steps
        aside = (
            wide_m
            * math.sin(math.pi * t) ** 2
            * (sway[0] + sway[1] * 2 * math.sin(2 * math.pi * t) + 0.35 * math.sin(5 * math.pi * t))
        )
        x, y = (_hermite(a[i], b[i], length_m * leave[i], -length_m * arrive[i], t) for i in (0, 1))
        curve.append((x - aside * dy, y + aside * dx))
    return (*curve, b)


def _hermite(start: float, end: float, leave: float, arrive: float, t: float) -> float:
    return (
        (2 * t**3 - 3 * t**2 + 1) * start
        + (t**3 - 2 * t**2 + t) * leave
        + (3 * t**2 - 2 * t**3) * end
        + (t**3 - t**2) * arrive
    )


def _run(network: Network[int], junction: int, other: int, run_on: dict[Arm, int]) -> XY:
    """Return the direction in which the road to ``other`` leaves the junction."""
    beyond = run_on.get((junction, other))
    if beyond is None:
        return towards(spot_of(network, junction), spot_of(network, other))
    return towards(spot_of(network, beyond), spot_of(network, other))


def crossings(network: Network[int]) -> Iterator[tuple[Arm, Arm]]:
    """Yield pairs of roads that meet anywhere but at a junction they share."""
    ends = [(road_of(network, *edge).start, road_of(network, *edge).end) for edge in network.edges]
    lines = [LineString(road_of(network, *edge).line) for edge in ends]
    left, right = STRtree(lines).query(lines, predicate="intersects")
    for i, j in zip(left.tolist(), right.tolist(), strict=True):
        if i >= j:
            continue
        meeting = lines[i].intersection(lines[j])
        shared = set(ends[i]) & set(ends[j])
        if len(shared) == 1 and meeting.geom_type == "Point":
            spot = spot_of(network, shared.pop())
            if metres_between((meeting.x, meeting.y), spot) < 0.01:
                continue
        yield ends[i], ends[j]
