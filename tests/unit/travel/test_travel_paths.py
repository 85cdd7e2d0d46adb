import math
from itertools import pairwise
from pathlib import Path

import pytest

from planner.travel import RoadNetwork, geodesic_metres
from tests.unit.travel.planar_maps import planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm


def _metres(line: tuple[tuple[float, float], ...]) -> float:
    return sum(geodesic_metres(a, b) for a, b in pairwise(line))


@pytest.mark.parametrize("oneway_share", [0.0, 0.2])
def test_that_the_line_is_as_long_as_the_minutes_say_where_all_roads_are_alike(
    tmp_path: Path, oneway_share: float
) -> None:
    planar = planar_map(21, junctions=60, oneway_share=oneway_share, kinds=("residential",))
    network = planar.network(tmp_path)
    places = [planar.place(road, 0.3) for road in range(0, len(planar.roads), 9)]
    places = [place for place, snap in zip(places, network.snap(places), strict=True) if snap.on_main]
    assert len(places) > 6
    minutes = network.minutes(places, places)
    for row_number, start in enumerate(places):
        for column, end in enumerate(places):
            line = network.path(start, end)
            assert line[0] == pytest.approx(start, abs=1e-6)
            assert line[-1] == pytest.approx(end, abs=1e-6)
            assert _metres(line) == pytest.approx(minutes[row_number, column] * 60 * 25 / 3.6, abs=0.02)


@pytest.fixture
def bent(tmp_path: Path) -> RoadNetwork:
    """A road with a corner, then a junction with a side road."""
    nodes: dict[int, Node] = {
        1: (50.0, 10.0),
        2: (50.0, 10.01),
        3: (50.01, 10.01),
        4: (50.02, 10.01),
        5: (50.01, 10.02),
    }
    return RoadNetwork.read(
        write_osm(
            tmp_path / "bent.osm", nodes, [([1, 2, 3, 4], RESIDENTIAL), ([3, 5], {"highway": "track", "name": "Up"})]
        )
    )


def test_that_the_line_follows_the_bends_of_the_road_both_ways(bent: RoadNetwork) -> None:
    there = bent.path((50.0, 10.005), (50.01, 10.015))
    assert list(there) == [
        pytest.approx(point, abs=1e-6) for point in [(50.0, 10.005), (50.0, 10.01), (50.01, 10.01), (50.01, 10.015)]
    ]
    assert list(bent.path((50.01, 10.015), (50.0, 10.005))) == [pytest.approx(point, abs=1e-6) for point in there[::-1]]


def test_that_the_ways_through_places_are_those_of_each_pair_asked_for_alone(bent: RoadNetwork, tmp_path: Path) -> None:
    places = [(50.0, 10.005), (50.01, 10.015), (50.019, 10.01), (50.01, 10.015), (51.0, 10.0)]
    bent.save(tmp_path / "bent.npz")
    for at, line in enumerate(bent.paths_through(places)):
        alone = RoadNetwork.load(tmp_path / "bent.npz")
        assert line == alone.path(places[at], places[at + 1])
        assert bool(line) is (at < 3)
    assert bent.paths_through([]) == bent.paths_through(places[:1]) == ()


def test_that_on_one_edge_the_line_is_cut_at_both_ends(bent: RoadNetwork) -> None:
    line = bent.path((50.005, 10.01), (50.0, 10.005))
    assert list(line) == [pytest.approx(point, abs=1e-6) for point in [(50.005, 10.01), (50.0, 10.01), (50.0, 10.005)]]


def test_that_the_line_to_the_same_place_is_one_point(bent: RoadNetwork) -> None:
    assert len(bent.path((50.0, 10.005), (50.0, 10.005))) == 1


def test_that_there_is_no_line_where_there_is_no_way(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(3), 4: (50.2, 10.0), 5: (50.2, 10.01)}
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2, 3], RESIDENTIAL), ([4, 5], RESIDENTIAL)]))
    assert network.path((50.0, 10.0), (50.2, 10.0)) == ()
    assert network.path((50.0, 10.0), (60.0, 10.0)) == ()


def test_that_a_way_much_longer_than_the_estimate_is_still_found(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.3, 10.0), 3: (50.3, 10.002), 4: (50.0, 10.002)}
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2], RESIDENTIAL), ([2, 3, 4], RESIDENTIAL)]))
    line = network.path((50.0, 10.0), (50.0, 10.002))
    minutes = network.minutes([(50.0, 10.0)], [(50.0, 10.002)])[0, 0]
    assert len(line) == 4
    assert math.isclose(_metres(line), minutes * 60 * 25 / 3.6, abs_tol=0.02)


def test_that_roads_within_a_box_come_with_kind_name_and_whole_line(bent: RoadNetwork) -> None:
    (road,) = bent.roads_within(50.005, 10.015, 50.015, 10.03)
    assert (road.kind, road.name) == ("track", "Up")
    assert road.polyline == ((50.01, 10.01), (50.01, 10.02))
    assert len(bent.roads_within(49.0, 9.0, 51.0, 11.0)) == 3
    assert bent.roads_within(40.0, 9.0, 41.0, 11.0) == ()
    assert bent.roads_within(49.0, 11.0, 51.0, 12.0) == ()


def test_that_a_box_may_span_the_date_line(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {
        1: (-17.0, 179.98),
        2: (-17.0, 180.0),
        3: (-17.0, -180.0),
        4: (-17.0, -179.98),
        5: (-17, 0),
    }
    ways = [([1, 2], RESIDENTIAL), ([3, 4], RESIDENTIAL), ([4, 5], {"highway": "track"})]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    assert len(network.roads_within(-18.0, 179.0, -16.0, -179.99)) == 2
