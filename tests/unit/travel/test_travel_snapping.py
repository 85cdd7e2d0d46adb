import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.travel import RoadNetwork, Snap, geodesic_metres
from tests.unit.travel.planar_maps import PlanarMap, planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm

METRES_PER_DEGREE = 111_229.0
"""Length of a degree of latitude at 50 north, WGS84."""


@pytest.fixture(scope="module")
def planar() -> PlanarMap:
    return planar_map(11, junctions=80, oneway_share=0.0)


@pytest.fixture(scope="module")
def network(planar: PlanarMap, tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    return planar.network(tmp_path_factory.mktemp("planar"))


def _nearest_of_all(planar: PlanarMap, place: tuple[float, float]) -> float:
    """Return the metres to the nearest road by trying each, as points on the line through a flat local grid."""
    scale = np.array([METRES_PER_DEGREE, METRES_PER_DEGREE * math.cos(math.radians(place[0]))])
    best = math.inf
    for start, end, _, _ in planar.roads:
        a, b = ((np.array(planar.junctions[node]) - place) * scale for node in (start, end))
        along = min(1.0, max(0.0, float(-a @ (b - a) / ((b - a) @ (b - a)))))
        best = min(best, float(np.hypot(*(a + along * (b - a)))))
    return best


@settings(max_examples=60, deadline=None)
@given(place=st.tuples(st.floats(49.998, 50.008), st.floats(9.997, 10.012)))
def test_that_a_place_goes_to_the_nearest_point_of_the_nearest_road(
    planar: PlanarMap, network: RoadNetwork, place: tuple[float, float]
) -> None:
    (snap,) = network.snap([place])
    assert snap.distance_m == pytest.approx(_nearest_of_all(planar, place), rel=0.004, abs=0.05)
    found = snap.place.latitude, snap.place.longitude
    assert geodesic_metres(place, found) == pytest.approx(snap.distance_m, abs=0.001)
    start, end = network.roads.tails[snap.edge], network.roads.heads[snap.edge]
    roads = network.roads
    for axis, value in ((roads.node_latitudes, found[0]), (roads.node_longitudes, found[1])):
        assert axis[start] + (axis[end] - axis[start]) * snap.fraction == pytest.approx(value, abs=1e-6)


def test_that_places_go_to_edges_not_to_the_nearest_node(tmp_path: Path) -> None:
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", row(2), [([1, 2], RESIDENTIAL)]))
    (snap,) = network.snap([(50.001, 10.005)])
    assert snap.fraction == pytest.approx(0.5, abs=1e-6)
    assert snap.distance_m == pytest.approx(0.001 * METRES_PER_DEGREE, rel=0.001)
    assert snap.on_main
    assert snap.used == snap
    assert (snap.asked.latitude, snap.asked.longitude) == (50.001, 10.005)


def test_that_no_places_give_no_snaps(network: RoadNetwork) -> None:
    assert network.snap([]) == ()


def _with_fragment(tmp_path: Path, fragment_latitude: float) -> RoadNetwork:
    nodes: dict[int, Node] = {**row(4), 5: (fragment_latitude, 10.004), 6: (fragment_latitude, 10.006)}
    ways = [([1, 2, 3, 4], RESIDENTIAL), ([5, 6], RESIDENTIAL)]
    return RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))


def _fragment_snap(network: RoadNetwork, latitude: float) -> tuple[Snap, Snap]:
    (snap,) = network.snap([(latitude, 10.005)])
    assert not snap.on_main
    assert snap.alternative is not None
    assert snap.alternative.on_main
    assert snap.alternative.alternative is None
    return snap, snap.alternative


def test_that_a_road_of_the_main_part_is_preferred_to_a_fragment_a_little_nearer(tmp_path: Path) -> None:
    network = _with_fragment(tmp_path, 50.003)
    snap, on_main = _fragment_snap(network, 50.002)
    assert snap.distance_m < on_main.distance_m
    assert snap.used == on_main
    assert math.isfinite(network.minutes([(50.002, 10.005)], [(50.0, 10.03)])[0, 0])


def test_that_a_fragment_far_from_the_main_part_keeps_its_places(tmp_path: Path) -> None:
    network = _with_fragment(tmp_path, 50.01)
    snap, _ = _fragment_snap(network, 50.01)
    assert snap.used == snap
    assert network.minutes([(50.01, 10.005)], [(50.0, 10.03)])[0, 0] == math.inf
    assert math.isfinite(network.minutes([(50.01, 10.0045)], [(50.01, 10.0055)])[0, 0])


def test_that_a_place_far_from_every_road_is_used_on_none(network: RoadNetwork) -> None:
    (snap,) = network.snap([(50.2, 10.0)])
    assert snap.distance_m > 2000
    assert snap.used is None


def test_that_nobody_stops_on_a_motorway(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(2), 3: (50.005, 10.0), 4: (50.005, 10.01)}
    ways = [([1, 2], {"highway": "motorway", "oneway": "no"}), ([3, 4], RESIDENTIAL), ([1, 3], RESIDENTIAL)]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    (snap,) = network.snap([(50.001, 10.008)])
    assert snap.place.latitude == pytest.approx(50.005)


def test_that_motorways_are_used_where_there_is_nothing_else(tmp_path: Path) -> None:
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", row(2), [([1, 2], {"highway": "motorway"})]))
    (snap,) = network.snap([(50.001, 10.008)])
    assert snap.place.latitude == pytest.approx(50.0)
    assert not snap.on_main
    assert snap.alternative is None
    assert snap.used == snap


def test_that_places_beside_the_date_line_snap_across_it(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (-17.0, 179.98), 2: (-17.0, 180.0), 3: (-17.0, -180.0), 4: (-17.0, -179.98)}
    ways = [([1, 2], RESIDENTIAL), ([3, 4], RESIDENTIAL)]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    for longitude in (179.99, -179.99):
        (snap,) = network.snap([(-17.001, longitude)])
        assert snap.place.longitude == pytest.approx(longitude, abs=1e-6)
        assert snap.distance_m == pytest.approx(110.7, abs=0.5)


def test_that_a_road_without_length_can_be_snapped_to(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.0), 3: (51.0, 10.0), 4: (51.0, 10.01)}
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2], RESIDENTIAL), ([3, 4], RESIDENTIAL)]))
    (snap,) = network.snap([(50.0, 10.001)])
    assert snap.place.longitude == pytest.approx(10.0)
    assert network.minutes([(50.0, 10.001)], [(50.0, 10.0)])[0, 0] == pytest.approx(0.0, abs=1e-6)
    assert network.path((50.0, 10.001), (50.0, 10.0)) == ((50.0, 10.0),)
