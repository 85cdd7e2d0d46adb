import math
import tempfile
from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.travel import RoadNetwork, geodesic_metres
from tests.unit.travel.planar_maps import PlanarMap, all_minutes, planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm

ONE_MILLISECOND = 0.001 / 60.0

maps = st.builds(
    planar_map,
    st.integers(0, 10**6),
    junctions=st.integers(4, 25),
    oneway_share=st.sampled_from([0.0, 0.3, 1.0]),
)


def _places_on(planar: PlanarMap, data: st.DataObject) -> list[tuple[int, float]]:
    road = st.integers(0, len(planar.roads) - 1)
    fraction = st.integers(1, 19).map(lambda twentieth: twentieth / 20)
    return data.draw(st.lists(st.tuples(road, fraction), min_size=2, max_size=6, unique=True))


@settings(max_examples=30, deadline=None)
@given(maps, st.data())
def test_that_minutes_equal_networkx_on_random_planar_maps(planar: PlanarMap, data: st.DataObject) -> None:
    places = _places_on(planar, data)
    expected = all_minutes(planar.oracle(places), len(places))
    with tempfile.TemporaryDirectory() as folder:
        network = planar.network(Path(folder))
    on_map = [planar.place(*place) for place in places]
    if all(snap.used == snap for snap in network.snap(on_map)):
        np.testing.assert_allclose(network.minutes(on_map, on_map), expected, atol=ONE_MILLISECOND, rtol=0)
        # More origins than destinations are searched backwards.
        np.testing.assert_allclose(network.minutes(on_map, on_map[:1]), expected[:, :1], atol=ONE_MILLISECOND, rtol=0)


def test_that_minutes_equal_networkx_on_a_larger_map_with_more_sources_than_fit_at_once(tmp_path: Path) -> None:
    planar = planar_map(3, junctions=150, oneway_share=0.1)
    places = [(road, 0.3) for road in range(0, len(planar.roads), 7)]
    network = planar.network(tmp_path)
    on_map = [planar.place(*place) for place in places]
    keep = [number for number, snap in enumerate(network.snap(on_map)) if snap.on_main]
    assert len(keep) > 32
    expected = all_minutes(planar.oracle(places), len(places))[np.ix_(keep, keep)]
    found = network.minutes([on_map[number] for number in keep], [on_map[number] for number in keep])
    assert np.isfinite(found).all()
    assert not np.allclose(found, found.T)
    np.testing.assert_allclose(found, expected, atol=ONE_MILLISECOND, rtol=0)


def test_that_junction_to_junction_equals_networkx_on_the_public_graph(tmp_path: Path) -> None:
    network = planar_map(5, junctions=40, oneway_share=0.0).network(tmp_path)
    nodes = [(data["latitude"], data["longitude"]) for _, data in network.graph.nodes(data=True)]
    lengths = dict(nx.all_pairs_dijkstra_path_length(network.graph, weight="seconds"))
    expected = [[lengths[a].get(b, math.inf) / 60 for b in range(len(nodes))] for a in range(len(nodes))]
    np.testing.assert_allclose(network.minutes(nodes, nodes), expected, atol=ONE_MILLISECOND, rtol=0)


@pytest.fixture
def oneway_row(tmp_path: Path) -> RoadNetwork:
    """A road to the east only, and a longer one back to the west."""
    nodes: dict[int, Node] = {**row(2), 3: (50.01, 10.005)}
    ways = [([1, 2], {**RESIDENTIAL, "oneway": "yes"}), ([2, 3, 1], {**RESIDENTIAL, "oneway": "yes"})]
    return RoadNetwork.read(write_osm(tmp_path / "oneway.osm", nodes, ways))


def _road_minutes(*line: tuple[float, float]) -> float:
    metres = sum(geodesic_metres(a, b) for a, b in pairwise(line))
    return metres / (25 / 3.6) / 60


def test_that_on_one_edge_with_the_traffic_only_the_part_between_counts(oneway_row: RoadNetwork) -> None:
    west, east = (50.0, 10.002), (50.0, 10.008)
    assert oneway_row.minutes([west], [east])[0, 0] == pytest.approx(_road_minutes(west, east), abs=ONE_MILLISECOND)


def test_that_on_one_edge_against_the_traffic_the_way_goes_round(oneway_row: RoadNetwork) -> None:
    west, east = (50.0, 10.002), (50.0, 10.008)
    round_trip = _road_minutes(east, (50.0, 10.01), (50.01, 10.005), (50.0, 10.0), west)
    assert oneway_row.minutes([east], [west])[0, 0] == pytest.approx(round_trip, abs=ONE_MILLISECOND)


def test_that_against_the_traffic_without_a_way_round_is_unreachable(tmp_path: Path) -> None:
    ways = [([1, 2], {**RESIDENTIAL, "oneway": "yes"})]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", row(2), ways))
    west, east = (50.0, 10.002), (50.0, 10.008)
    assert math.isfinite(network.minutes([west], [east])[0, 0])
    assert network.minutes([east], [west])[0, 0] == math.inf


def test_that_a_place_to_itself_takes_nothing_even_on_a_one_way_road(oneway_row: RoadNetwork) -> None:
    assert oneway_row.minutes([(50.0, 10.004)], [(50.0, 10.004)])[0, 0] == 0.0


def test_that_a_place_at_a_junction_may_leave_by_any_road(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(3)}
    oneway = {**RESIDENTIAL, "oneway": "yes"}
    # The first edge leads into node 2, and a place there must still get on to node 3 and back.
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2], oneway), ([2, 3], oneway)]))
    middle, east = (50.0, 10.01), (50.0, 10.02)
    assert network.minutes([middle], [east])[0, 0] == pytest.approx(_road_minutes(middle, east), abs=ONE_MILLISECOND)
    assert network.minutes([(50.0, 10.0)], [middle])[0, 0] == pytest.approx(
        _road_minutes((50.0, 10.0), middle), abs=ONE_MILLISECOND
    )


def test_that_of_parallel_roads_the_quicker_counts_in_each_direction(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {
        1: (50.0, 10.0),
        2: (50.0, 10.01),
        3: (50.0005, 10.005),
        4: (50.0, 9.99),
        5: (50.0, 10.02),
    }
    ways = [
        ([1, 3, 2], {"highway": "primary", "oneway": "yes"}),
        ([1, 2], {"highway": "track"}),
        ([4, 1], RESIDENTIAL),
        ([2, 5], RESIDENTIAL),
    ]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    there = network.minutes([(50.0, 9.99)], [(50.0, 10.02)])[0, 0]
    back = network.minutes([(50.0, 10.02)], [(50.0, 9.99)])[0, 0]
    ends = _road_minutes((50.0, 9.99), (50.0, 10.0)) * 2
    assert there == pytest.approx(
        ends + _road_minutes((50.0, 10.0), (50.0005, 10.005), (50.0, 10.01)) * 25 / 65, abs=1e-4
    )
    assert back == pytest.approx(ends + _road_minutes((50.0, 10.0), (50.0, 10.01)) * 25 / 20, abs=1e-4)
    assert network.graph.number_of_edges() == 7
    assert len(network.path((50.0, 9.99), (50.0, 10.02))) == 5
    assert len(network.path((50.0, 10.02), (50.0, 9.99))) == 4


def test_that_a_loop_road_can_be_left_either_way(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.01), 3: (50.005, 10.015), 4: (49.995, 10.015)}
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2, 3, 4, 2], RESIDENTIAL)]))
    stem = _road_minutes((50.0, 10.0), (50.0, 10.01))
    for on_loop in ((50.0025, 10.0125), (49.9975, 10.0125)):
        expected = stem + _road_minutes((50.0, 10.01), on_loop)
        assert network.minutes([on_loop], [(50.0, 10.0)])[0, 0] == pytest.approx(expected, abs=1e-4)
        assert network.minutes([(50.0, 10.0)], [on_loop])[0, 0] == pytest.approx(expected, abs=1e-4)
        assert len(network.path(on_loop, (50.0, 10.0))) == 3
        assert len(network.path((50.0, 10.0), on_loop)) == 3


def test_that_separate_parts_cannot_reach_each_other(tmp_path: Path) -> None:
    network = RoadNetwork.read(
        write_osm(
            tmp_path / "a.osm",
            {**row(3), 4: (50.2, 10.0), 5: (50.2, 10.01)},
            [([1, 2, 3], RESIDENTIAL), ([4, 5], RESIDENTIAL)],
        )
    )
    minutes = network.minutes([(50.0, 10.0), (50.2, 10.0)], [(50.0, 10.02), (50.2, 10.01)])
    assert np.isinf(minutes).tolist() == [[False, True], [True, False]]


def test_that_a_limit_cuts_longer_drives_and_leaves_the_others(tmp_path: Path) -> None:
    planar = planar_map(8, junctions=60, oneway_share=0.0)
    network = planar.network(tmp_path)
    places = [planar.place(road, 0.4) for road in range(0, len(planar.roads), 5)]
    whole = network.minutes(places, places)
    limit = float(np.median(whole[np.isfinite(whole)]))
    limited = network.minutes(places, places, limit_minutes=limit)
    within = whole <= limit
    assert within.any()
    assert not within.all()
    np.testing.assert_allclose(limited[within], whole[within], atol=1e-9)
    assert np.isinf(limited[~within]).all()


def test_that_a_place_far_from_every_road_is_unreachable(oneway_row: RoadNetwork) -> None:
    far = [(50.5, 10.0), (-50.0, -170.0), (0.0, 100.0), (89.9, -80.0)]
    assert np.isinf(oneway_row.minutes([(50.0, 10.0)], far)).all()
    assert oneway_row.on_road([*far, (50.0, 10.0)]) == [False, False, False, False, True]


def test_that_places_and_pairs_are_taken_alike_and_none_give_an_empty_table(oneway_row: RoadNetwork) -> None:
    pairs = [(50.0, 10.002), (50.0, 10.008)]
    expected = oneway_row.minutes(pairs, pairs)
    assert (oneway_row.minutes([Place(*pair) for pair in pairs], np.array(pairs)) == expected).all()
    assert oneway_row.minutes([], pairs).shape == (0, 2)
    assert oneway_row.minutes(pairs, []).shape == (2, 0)


def test_that_a_place_off_the_globe_is_refused(oneway_row: RoadNetwork) -> None:
    with pytest.raises(RuleError, match="place 1"):
        oneway_row.minutes([(10.0, 500.0)], [(50.0, 10.0)])
