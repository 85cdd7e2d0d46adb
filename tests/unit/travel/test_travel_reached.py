"""The roads within a time are those that networkx reaches within it, each to the metre where the time ends."""

import math
import tempfile
from itertools import pairwise
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.travel import RoadNetwork, geodesic_metres
from tests.unit.travel.planar_maps import PlanarMap, planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm

maps = st.builds(
    planar_map, st.integers(0, 10**6), junctions=st.integers(4, 25), oneway_share=st.sampled_from([0.0, 0.3, 1.0])
)

two_way_maps = st.builds(planar_map, st.integers(0, 10**6), junctions=st.integers(4, 25), oneway_share=st.just(0.0))


def _metres(lines: tuple[tuple[tuple[float, float], ...], ...]) -> float:
    return sum(geodesic_metres(a, b) for line in lines for a, b in pairwise(line))


def _oracle_metres(planar: PlanarMap, start: tuple[int, float], limit_s: float) -> float:
    """Add up what networkx reaches of every road, from both its ends and from the start on its own road."""
    graph = planar.oracle([start])
    at = nx.single_source_dijkstra_path_length(graph, "p0", weight="seconds")
    total = 0.0
    for number, (tail, head, _, oneway) in enumerate(planar.roads):
        whole_s = planar.seconds(number)
        ahead = max(limit_s - at.get(f"j{tail}", math.inf), 0.0) / whole_s
        back = 0.0 if oneway else max(limit_s - at.get(f"j{head}", math.inf), 0.0) / whole_s
        spans = [(0.0, min(ahead, 1.0)), (1.0 - min(back, 1.0), 1.0)]
        if number == start[0]:
            there = start[1]
            spans.append(
                (max(there - (0.0 if oneway else limit_s / whole_s), 0.0), min(there + limit_s / whole_s, 1.0))
            )
        # Counted on a thousand cells of the road: not the way the program joins spans.
        cells = [(cell + 0.5) / 1000 for cell in range(1000)]
        share = sum(any(low <= cell <= high for low, high in spans) for cell in cells) / 1000
        metres = geodesic_metres(planar.junctions[tail], planar.junctions[head])
        total += share * metres
    return total


@settings(max_examples=30, deadline=None)
@given(maps, st.data())
def test_that_as_many_metres_are_reached_as_networkx_reaches(planar: PlanarMap, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(planar.roads) - 1)), data.draw(st.integers(1, 19)) / 20
    limit_minutes = data.draw(st.floats(0.05, 1.5))
    with tempfile.TemporaryDirectory() as folder:
        network = planar.network(Path(folder))
    home = planar.place(*start)
    (snap,) = network.snap([home])
    if snap.used == snap:
        found = _metres(network.reached(home, limit_minutes))
        expected = _oracle_metres(planar, start, limit_minutes * 60)
        longest = max(geodesic_metres(planar.junctions[a], planar.junctions[b]) for a, b, _, _ in planar.roads)
        # Each span end may be half a cell off: three spans a road at most.
        assert found == pytest.approx(expected, abs=len(planar.roads) * 3 * longest / 2000 + 0.1)


@settings(max_examples=20, deadline=None)
@given(two_way_maps, st.data())
def test_that_every_line_ends_within_the_time(planar: PlanarMap, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(planar.roads) - 1)), 0.5
    limit_minutes = data.draw(st.floats(0.05, 1.0))
    with tempfile.TemporaryDirectory() as folder:
        network = planar.network(Path(folder))
    home = planar.place(*start)
    (snap,) = network.snap([home])
    ends = [end for line in network.reached(home, limit_minutes) for end in (line[0], line[-1])]
    if snap.used == snap:
        assert network.minutes([home], ends).max() <= limit_minutes + 0.001


@pytest.fixture
def straight(tmp_path: Path) -> RoadNetwork:
    """Three roads in a row, 25 km/h: about 1.7 minutes each."""
    nodes: dict[int, Node] = dict(row(4).items())
    ways = [([1, 2], RESIDENTIAL), ([2, 3], RESIDENTIAL), ([3, 4], RESIDENTIAL)]
    return RoadNetwork.read(write_osm(tmp_path / "straight.osm", nodes, ways))


def test_that_a_short_time_stays_on_the_road_one_starts_on(straight: RoadNetwork) -> None:
    (line,) = straight.reached((50.0, 10.005), 0.1)
    assert _metres((line,)) == pytest.approx(2 * 0.1 * 25_000 / 60, rel=1e-3)


def test_that_a_long_time_reaches_everything_whole(straight: RoadNetwork) -> None:
    assert sorted(straight.reached((50.0, 10.005), 100)) == [
        ((50.0, 10.0), (50.0, 10.01)),
        ((50.0, 10.01), (50.0, 10.02)),
        ((50.0, 10.02), (50.0, 10.03)),
    ]


def test_that_nothing_is_reached_from_far_off_the_roads(straight: RoadNetwork) -> None:
    assert straight.reached((51.0, 10.0), 100) == ()
