"""Places go to the part of the road map that most homes can drive to and come back from."""

from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString

from planner.travel import LatLon, RoadNetwork
from planner.travel.snapping import MAIN_PART_DETOUR_M
from tests.unit.travel.road_maps import RESIDENTIAL, Node, Way, write_osm

NORTH, SOUTH = 50.02, 50.0


@pytest.fixture(scope="module")
def islands(tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    """A long road in the south and a shorter one 2.2 km north of it, joined by nothing."""
    nodes: dict[int, Node] = {
        **{number: (SOUTH, 10.0 + 0.01 * number) for number in range(1, 7)},
        **{number: (NORTH, 10.0 + 0.01 * number) for number in range(11, 15)},
    }
    ways: list[Way] = [([a, b], RESIDENTIAL) for line in (range(1, 7), range(11, 15)) for a, b in pairwise(line)]
    return RoadNetwork.read(write_osm(tmp_path_factory.mktemp("islands") / "a.osm", nodes, ways))


def test_that_the_largest_part_is_the_main_one_unless_the_homes_lie_elsewhere(islands: RoadNetwork) -> None:
    assert islands.seen_from([]) is islands
    assert islands.seen_from([(SOUTH, 10.02)]) is islands
    north = islands.seen_from([(NORTH, 10.12)])
    between = [(50.011, 10.12)]
    assert [snap.on_main for snap in islands.snap(between)] == [False]
    assert [snap.on_main for snap in north.snap(between)] == [True]


def test_that_the_part_most_homes_lie_in_wins_and_of_two_the_larger(islands: RoadNetwork) -> None:
    south, north = (SOUTH, 10.02), (NORTH, 10.12)
    assert islands.seen_from([south, north]) is islands
    two_north = islands.seen_from([south, north, (NORTH, 10.13)])
    assert two_north is not islands
    # The same part is the same network, whoever asks, and the whole is found again.
    assert two_north.seen_from([north]) is islands.seen_from([north])
    assert two_north.seen_from([south]) is islands
    assert two_north.seen_from([]) is islands


def test_that_a_home_beside_a_scrap_of_road_is_served_by_the_main_roads_near_it(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {number: (SOUTH, 10.0 + 0.01 * number) for number in range(1, 7)}
    nodes |= {11: (50.001, 10.02), 12: (50.001, 10.021)}
    ways: list[Way] = [([1, 2, 3, 4, 5, 6], RESIDENTIAL), ([11, 12], RESIDENTIAL)]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    assert network.seen_from([(50.001, 10.0205)]) is network


def test_that_a_one_way_into_a_part_joins_it_to_nothing(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {number: (SOUTH, 10.0 + 0.01 * number) for number in range(1, 9)}
    oneway = {**RESIDENTIAL, "oneway": "yes"}
    ways: list[Way] = [([1, 2, 3, 4, 5], RESIDENTIAL), ([5, 6], oneway), ([6, 7, 8], RESIDENTIAL)]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    beyond = network.seen_from([(SOUTH, 10.075)])
    at_home, across = beyond.snap([(SOUTH, 10.07), (SOUTH, 10.02)])
    assert at_home.on_main
    assert not across.on_main


@st.composite
def _parts(draw: st.DrawFn) -> tuple[list[tuple[int, int, bool]], list[tuple[int, float]]]:
    """Roads (from, to, one-way) among ten junctions, and homes (road, share of it)."""
    ends = st.tuples(st.integers(0, 9), st.integers(0, 9), st.booleans()).filter(lambda road: road[0] != road[1])
    roads = draw(st.lists(ends, min_size=3, max_size=10, unique_by=lambda road: frozenset(road[:2])))
    homes = st.tuples(st.integers(0, len(roads) - 1), st.floats(0.3, 0.7))
    return roads, draw(st.lists(homes, min_size=1, max_size=4))


_JUNCTIONS: list[LatLon] = [
    # Round a circle of some ten kilometres, so that no three are in line.
    (50.0 + 0.1 * float(np.sin(turn)), 10.0 + 0.15 * float(np.cos(turn)))
    for turn in np.linspace(0.0, 2 * np.pi, 10, endpoint=False)
]


@settings(max_examples=15, deadline=None)
@given(_parts())
def test_that_no_part_serves_more_homes_there_and_back(
    tmp_path_factory: pytest.TempPathFactory, drawn: tuple[list[tuple[int, int, bool]], list[tuple[int, float]]]
) -> None:
    roads, at = drawn
    nodes: dict[int, Node] = dict(enumerate(_JUNCTIONS))
    ways: list[Way] = [([a, b], {**RESIDENTIAL, "oneway": "yes" if oneway else "no"}) for a, b, oneway in roads]
    network = RoadNetwork.read(write_osm(tmp_path_factory.mktemp("parts") / "a.osm", nodes, ways))
    homes = [_between(_JUNCTIONS[roads[road][0]], _JUNCTIONS[roads[road][1]], share) for road, share in at]
    lines = [_flat_line(_JUNCTIONS[a], _JUNCTIONS[b]) for a, b, _ in roads]
    others = [[line for other, line in enumerate(lines) if other != road] for road, _ in at]
    nearest = [
        min(line.distance(_flat_line(home, home)) for line in lines) for home, lines in zip(homes, others, strict=True)
    ]
    assume(min(nearest) > MAIN_PART_DETOUR_M + 100.0)
    graph: nx.DiGraph[int] = nx.DiGraph()
    for a, b, oneway in roads:
        graph.add_edges_from([(a, b)] if oneway else [(a, b), (b, a)])
    served = [
        sum(roads[road][0] in part and roads[road][1] in part for road, _ in at)
        for part in nx.strongly_connected_components(graph)
    ]
    assert sum(snap.on_main for snap in network.seen_from(homes).snap(homes)) == max(served)


def _flat_line(a: LatLon, b: LatLon) -> LineString:
    """Return a straight line in metres, true to some per cent round 50 degrees north."""
    return LineString([(longitude * 71_700.0, latitude * 111_229.0) for latitude, longitude in (a, b)])


def _between(a: LatLon, b: LatLon, share: float) -> LatLon:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
