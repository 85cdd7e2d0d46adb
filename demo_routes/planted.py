"""The troubles planted on the heaths, and the tempting short-cuts: each made by one function."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import networkx as nx
from island import XY, metres_between, towards
from paths import CAUTION, SPEED_KMH, STOP_MINUTES, Candidate, Path, path_through, string_points
from roads import QUIET, Network, Road, road_of, spot_of
from routes import ROUTES_APART_M
from shapely import LineString, MultiLineString, Point, distance

LONG_WAY_M = (19_300.0, 20_700.0)
CLOSE_APART_M = 620.0
"""Two circles of 400 m overlap at this distance."""
OFF_ROAD_M = 300.0
SHORT_CUT_M = (700.0, 1900.0)
SHORT_CUT_CLEAR_M = 320.0


def too_long(network: Network[int], count: int, count_minutes: float, minutes: float) -> Candidate:
    """Lay a string of points so far apart, and so much of it on a track, that the counts take ``minutes``.

    The kinds of the roads along it are changed to come as near to the figure as they can.
    """
    best = min(
        (_track_share(network, way, minutes - count * count_minutes) for way in _long_ways(network)),
        key=lambda found: found[0],
    )
    _, way, track = best
    for a, b in pairwise(way):
        kind = "track" if (a, b) in track else "unclassified"
        tags = {"tracktype": "grade3"} if kind == "track" else {}
        network.edges[a, b]["road"] = replace(road_of(network, a, b), kind=kind, tags=tags)
    path = path_through(network, way)
    leg_m = (path.line.length - 120) / (count - 1)
    string = string_points(path, count, lambda _: (leg_m,), 60.0)
    if string is None:
        raise ValueError("the long route's points lie too near each other")
    return string


def _long_ways(network: Network[int]) -> Iterator[tuple[int, ...]]:
    """Yield shortest ways over quiet roads of the wanted length."""
    quiet: Network[int] = nx.Graph()
    for a, b in network.edges:
        road = road_of(network, a, b)
        if road.kind in QUIET and not road.settlement:
            quiet.add_edge(a, b, length_m=LineString(road.line).length)
    for start in sorted(quiet):
        ways = nx.single_source_dijkstra_path(quiet, start, cutoff=LONG_WAY_M[1], weight="length_m")
        for end, way in ways.items():
            length_m = nx.path_weight(quiet, way, "length_m")
            if end > start and length_m >= LONG_WAY_M[0]:
                yield tuple(way)


def _track_share(
    network: Network[int], way: Sequence[int], minutes: float
) -> tuple[float, Sequence[int], frozenset[tuple[int, int]]]:
    """Return how far the best run of track along the way misses the minutes, the way, and that run.

    Runs that are tracks already are preferred: changing a kilometre's kind costs a quarter of a minute.
    """
    steps = list(pairwise(way))
    km = [LineString(road_of(network, a, b).line).length / 1000 for a, b in steps]
    legs_minutes = STOP_MINUTES * 10
    slow, quick = ([60 * length / SPEED_KMH[kind] for length in km] for kind in ("track", "unclassified"))
    track = [road_of(network, a, b).kind == "track" for a, b in steps]
    to_track = [0.0 if already else length for already, length in zip(track, km, strict=True)]
    from_track = [length if already else 0.0 for already, length in zip(track, km, strict=True)]
    least, best = math.inf, frozenset[tuple[int, int]]()
    for first in range(len(steps)):
        for end in range(first + 2, len(steps) + 1):
            drive = sum(quick[:first] + slow[first:end] + quick[end:])
            changed_km = sum(from_track[:first] + to_track[first:end] + from_track[end:])
            miss = abs(legs_minutes + CAUTION * drive - minutes) + changed_km / 4
            if miss < least:
                least, best = miss, frozenset(steps[first:end])
    return least, way, best


def too_close(string: Candidate, at: int, others: Sequence[XY]) -> Candidate | None:
    """Move the points after number ``at`` so that the next lies 620 m from it and all other pairs keep clear."""
    stops = list(string.stops_m[:at])
    path = string.path
    near = min(
        (stops[-1] + length for length in range(560, 900, 2)),
        key=lambda stop: abs(metres_between(path.spot(stop), path.spot(stops[-1])) - CLOSE_APART_M),
    )
    stops.append(near)
    while len(stops) < len(string.stops_m):
        following = _next_clear(path, stops, others)
        if following is None:
            return None
        stops.append(following)
    moved = Candidate(path, tuple(stops))
    pairs_apart = [
        metres_between(a, b)
        for i, a in enumerate(moved.points)
        for j, b in enumerate(moved.points)
        if i < j and (i, j) != (at - 1, at)
    ]
    clear = all(metres_between(a, b) >= ROUTES_APART_M for a in moved.points for b in others)
    return moved if clear and min(pairs_apart) >= 822 else None


def _next_clear(path: Path, stops: Sequence[float], others: Sequence[XY]) -> float | None:
    spots = [path.spot(stop) for stop in stops]
    for length_m in range(900, 1131, 10):
        stop = stops[-1] + length_m
        spot = path.spot(stop)
        apart = all(metres_between(spot, old) >= 822 for old in spots)
        if apart and stop < path.line.length and all(metres_between(spot, o) >= ROUTES_APART_M for o in others):
            return stop
    return None


def off_road(network: Network[int], points: Sequence[XY], at: int, others: Sequence[XY]) -> tuple[XY, ...] | None:
    """Move point number ``at`` out onto the heath, 300 m from the nearest road."""
    roads = MultiLineString([LineString(road_of(network, a, b).line) for a, b in network.edges])
    spot = points[at - 1]
    rest = [*points[: at - 1], *points[at:]]
    for out_m in range(300, 345, 5):
        for turn_deg in range(0, 360, 3):
            angle = math.radians(turn_deg)
            moved = spot[0] + out_m * math.cos(angle), spot[1] + out_m * math.sin(angle)
            if (
                abs(distance(roads, Point(moved)) - OFF_ROAD_M) < 3
                and all(metres_between(moved, other) >= 822 for other in rest)
                and all(metres_between(moved, other) >= ROUTES_APART_M for other in others)
            ):
                return (*points[: at - 1], moved, *points[at:])
    return None


def behind_rough_tracks(network: Network[int], string: Candidate, others: Sequence[Candidate]) -> list[Road] | None:
    """Return the roads that lead up to a route's own, as rough tracks; None where one of them is needed otherwise."""
    own = set(string.path.junctions)
    needed = {frozenset(step) for other in others for step in pairwise(other.path.junctions)}
    rough = []
    for junction in string.path.junctions:
        for other in network.neighbors(junction):
            road = road_of(network, junction, other)
            if other in own:
                continue
            if road.kind not in QUIET or road.settlement or frozenset((junction, other)) in needed:
                return None
            rough.append(replace(road, kind="track", tags={"tracktype": "grade4"}))
    return rough


def short_cuts(network: Network[int], points: Sequence[XY], avoid: Mapping[int, XY]) -> Iterator[Road]:
    """Yield roads that are not there yet but would save the most driving, best first.

    They cross no road, keep clear of every survey point, and join country junctions of quiet roads.
    """
    lengths: Network[int] = nx.Graph()
    lines = []
    for a, b in network.edges:
        line = LineString(road_of(network, a, b).line)
        lines.append(line)
        lengths.add_edge(a, b, length_m=line.length)
    roads, stands = MultiLineString(lines), [Point(point) for point in points]
    found = []
    for a in sorted(avoid):
        ways = nx.single_source_dijkstra_path_length(lengths, a, cutoff=12_000, weight="length_m")
        for b in sorted(avoid):
            straight_m = metres_between(avoid[a], avoid[b])
            if b <= a or not SHORT_CUT_M[0] <= straight_m <= SHORT_CUT_M[1] or network.has_edge(a, b):
                continue
            line = LineString([avoid[a], avoid[b]])
            shrunk = LineString([line.interpolate(60), line.interpolate(line.length - 60)])
            if roads.distance(shrunk) > 15 and all(line.distance(s) > SHORT_CUT_CLEAR_M for s in stands):
                found.append((ways.get(b, 12_000.0) / straight_m, a, b))
    for _, a, b in sorted(found, reverse=True):
        yield Road(a, b, line=_gentle(avoid[a], avoid[b]))


def country_junctions(network: Network[int]) -> dict[int, XY]:
    """Return the junctions where only quiet country roads meet."""
    return {
        junction: spot_of(network, junction)
        for junction in network
        if all(
            road_of(network, junction, other).kind in QUIET and not road_of(network, junction, other).settlement
            for other in network.neighbors(junction)
        )
    }


def _gentle(a: XY, b: XY) -> tuple[XY, ...]:
    """Return a line with a slight double bend and a vertex exactly half-way."""
    dx, dy = towards(a, b)
    steps = 8
    inner = []
    for step in range(1, steps):
        t = step / steps
        aside = 12 * math.sin(2 * math.pi * t)
        inner.append((a[0] + t * (b[0] - a[0]) - aside * dy, a[1] + t * (b[1] - a[1]) + aside * dx))
    return (a, *inner, b)
