import bz2
import hashlib
import math
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import osmium
import pytest

from planner.travel import OSM_ATTRIBUTION, RoadNetwork, SpeedTable, geodesic_metres, shipped_speeds
from planner.travel.speeds import ClassSpeed
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm


def _network(tmp_path: Path, nodes: Mapping[int, Node], *ways: tuple[list[int], dict[str, str]]) -> RoadNetwork:
    return RoadNetwork.read(write_osm(tmp_path / "map.osm", nodes, ways))


def _drivable(tmp_path: Path, tags: dict[str, str]) -> tuple[bool, bool]:
    """Return whether a way with these tags can be driven forward and backward, beside a road that can."""
    nodes = row(3)
    network = _network(tmp_path, nodes, ([1, 2], RESIDENTIAL), ([2, 3], {"highway": "residential", **tags}))
    second = [edge for edge in range(network.roads.edge_count) if 10.015 in _middle_longitudes(network, edge)]
    if not second:
        return False, False
    seconds = network.roads.forward_seconds[second[0]], network.roads.backward_seconds[second[0]]
    return math.isfinite(seconds[0]), math.isfinite(seconds[1])


def _middle_longitudes(network: RoadNetwork, edge: int) -> list[float]:
    _, longitudes = network.roads.geometry(edge)
    return [round((longitudes[0] + longitudes[-1]) / 2, 6)]


def _kmh(network: RoadNetwork) -> float:
    """Return the forward speed of a network of one road."""
    assert network.roads.edge_count == 1
    return float(network.roads.metres[0] / network.roads.forward_seconds[0] * 3.6)


@pytest.mark.parametrize(
    ("tags", "directions"),
    [
        ({}, (True, True)),
        ({"oneway": "yes"}, (True, False)),
        ({"oneway": "-1"}, (False, True)),
        ({"highway": "motorway"}, (True, False)),
        ({"highway": "motorway", "oneway": "no"}, (True, True)),
        ({"junction": "roundabout"}, (True, False)),
        ({"access": "private"}, (False, False)),
        ({"access": "private", "motorcar": "yes"}, (True, True)),
        ({"ford": "yes"}, (False, False)),
        ({"highway": "track"}, (True, True)),
        ({"highway": "footway"}, (False, False)),
        ({"highway": "construction"}, (False, False)),
        ({"highway": "cycleway", "motor_vehicle": "no"}, (False, False)),
    ],
)
def test_that_roads_are_kept_in_the_directions_a_car_may_take(
    tmp_path: Path, tags: dict[str, str], directions: tuple[bool, bool]
) -> None:
    assert _drivable(tmp_path, tags) == directions


@pytest.mark.parametrize(
    ("tags", "kmh"),
    [
        ({"highway": "primary"}, 65.0),
        ({"highway": "primary", "maxspeed": "50"}, 45.0),
        ({"highway": "primary", "maxspeed": "30 mph"}, 0.9 * 30 * 1.609344),
        ({"highway": "primary", "maxspeed": "none"}, 85.0),
        ({"highway": "primary", "maxspeed": "RO:urban"}, 45.0),
        ({"highway": "primary", "maxspeed": "50;60"}, 45.0),
        ({"highway": "primary", "maxspeed": "nonsense"}, 65.0),
        ({"highway": "residential", "maxspeed": "walk"}, 6.3),
        ({"highway": "unclassified", "surface": "mud"}, 15.0),
        ({"highway": "track", "tracktype": "grade5"}, 15.0),
        ({"highway": "track", "tracktype": "grade1"}, 20.0),
    ],
)
def test_that_seconds_follow_class_limit_and_surface(tmp_path: Path, tags: dict[str, str], kmh: float) -> None:
    assert _kmh(_network(tmp_path, row(2), ([1, 2], tags))) == pytest.approx(kmh)


def test_that_limits_by_direction_make_there_and_back_differ(tmp_path: Path) -> None:
    tags = {"highway": "primary", "maxspeed:forward": "50", "maxspeed:backward": "30"}
    roads = _network(tmp_path, row(2), ([1, 2], tags)).roads
    assert roads.backward_seconds[0] / roads.forward_seconds[0] == pytest.approx(50 / 30)


def test_that_another_table_of_speeds_can_be_given(tmp_path: Path) -> None:
    shipped = shipped_speeds()
    slow = SpeedTable({"residential": ClassSpeed(10.0, 20.0)}, 1.0, 5.0, shipped.zones, shipped.caps)
    path = write_osm(tmp_path / "map.osm", row(2), [([1, 2], RESIDENTIAL)])
    assert _kmh(RoadNetwork.read(path, speeds=slow)) == pytest.approx(10.0)


def test_that_roads_are_compacted_to_junctions_with_their_geometry_kept(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(5), 6: (50.01, 10.02)}
    network = _network(tmp_path, nodes, ([1, 2, 3, 4, 5], RESIDENTIAL), ([3, 6], {"highway": "track"}))
    roads = network.roads
    assert (roads.node_count, roads.edge_count) == (4, 3)
    west = int((roads.geometry_starts[1:] - roads.geometry_starts[:-1]).argmax())
    latitudes, longitudes = roads.geometry(west)
    assert longitudes.tolist() == pytest.approx([10.0, 10.01, 10.02])
    assert roads.metres[west] == pytest.approx(geodesic_metres((50.0, 10.0), (50.0, 10.02)), abs=0.1)
    assert roads.kinds[roads.kind_numbers[west]] == "residential"
    assert not latitudes.flags.writeable


def test_that_a_way_that_meets_itself_is_cut_there(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.01), 3: (50.01, 10.02), 4: (49.99, 10.02)}
    network = _network(tmp_path, nodes, ([1, 2, 3, 4, 2], RESIDENTIAL))
    assert (network.roads.node_count, network.roads.edge_count) == (2, 2)
    assert sorted(network.roads.heads == network.roads.tails) == [False, True]


def test_that_roads_that_cross_at_a_common_node_meet_there(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(3), 4: (50.01, 10.01), 5: (49.99, 10.01)}
    network = _network(tmp_path, nodes, ([1, 2, 3], RESIDENTIAL), ([4, 2, 5], RESIDENTIAL))
    assert (network.roads.node_count, network.roads.edge_count) == (5, 4)
    assert math.isfinite(network.minutes([(50.0, 10.0)], [(50.01, 10.01)])[0, 0])


def test_that_a_road_without_length_joins_its_neighbours(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.01), 3: (50.0, 10.01), 4: (50.0, 10.02)}
    network = _network(tmp_path, nodes, ([1, 2], RESIDENTIAL), ([2, 3], RESIDENTIAL), ([3, 4], RESIDENTIAL))
    whole = _network(tmp_path, nodes, ([1, 2, 4], RESIDENTIAL))
    ends = [(50.0, 10.0)], [(50.0, 10.02)]
    assert network.minutes(*ends)[0, 0] == pytest.approx(whole.minutes(*ends)[0, 0])


def test_that_no_two_roads_meet_at_a_bollard(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(3), 2: (50.0, 10.01, {"barrier": "bollard"}), 4: (50.01, 10.01)}
    network = _network(tmp_path, nodes, ([2, 1], RESIDENTIAL), ([2, 3], RESIDENTIAL), ([4, 2], RESIDENTIAL))
    ends = [(50.0, 10.0), (50.0, 10.02), (50.01, 10.01)]
    assert np.isfinite(network.minutes(ends, ends)).tolist() == np.eye(3, dtype=bool).tolist()


def test_that_repeated_nodes_and_ways_of_one_node_make_no_roads(tmp_path: Path) -> None:
    network = _network(tmp_path, row(3), ([1, 1, 2, 2, 3], RESIDENTIAL), ([3], RESIDENTIAL), ([2, 2], RESIDENTIAL))
    assert (network.roads.node_count, network.roads.edge_count) == (2, 1)


def test_that_nodes_beyond_the_border_of_an_extract_cut_the_road(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(5), 6: (95.0, 10.0)}
    network = _network(tmp_path, nodes, ([1, 2, 99, 4, 5], RESIDENTIAL), ([99, 3], RESIDENTIAL), ([3, 6], RESIDENTIAL))
    assert (network.roads.node_count, network.roads.edge_count) == (4, 2)
    assert network.minutes([(50.0, 10.0)], [(50.0, 10.04)])[0, 0] == math.inf


@pytest.mark.parametrize(
    ("tags", "passes"),
    [
        ({"barrier": "gate"}, True),
        ({"barrier": "gate", "access": "private"}, False),
        ({"barrier": "gate", "locked": "yes"}, False),
        ({"barrier": "bollard"}, False),
        ({"ford": "yes"}, False),
    ],
)
@pytest.mark.parametrize("ways", [[[1, 2, 3]], [[1, 2], [2, 3]]])
def test_that_a_closed_gate_or_ford_cuts_the_road_but_both_sides_stay(
    tmp_path: Path, tags: dict[str, str], passes: bool, ways: list[list[int]]
) -> None:
    nodes: dict[int, Node] = {**row(3), 2: (50.0, 10.01, tags)}
    network = _network(tmp_path, nodes, *((refs, RESIDENTIAL) for refs in ways))
    minutes = network.minutes([(50.0, 10.0)], [(50.0, 10.009), (50.0, 10.02)])[0]
    assert math.isfinite(minutes[0])
    assert math.isfinite(minutes[1]) is passes


def test_that_fords_are_closed_unless_opened(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(4), 2: (50.0, 10.01, {"ford": "yes"})}
    path = write_osm(tmp_path / "map.osm", nodes, [([1, 2, 3], RESIDENTIAL), ([3, 4], {**RESIDENTIAL, "ford": "yes"})])
    ends = [(50.0, 10.0)], [(50.0, 10.03)]
    assert RoadNetwork.read(path).minutes(*ends)[0, 0] == math.inf
    assert math.isfinite(RoadNetwork.read(path, fords_open=True).minutes(*ends)[0, 0])


def test_that_the_name_comes_before_the_road_number(tmp_path: Path) -> None:
    network = _network(
        tmp_path,
        row(4),
        ([1, 2], {"highway": "primary", "name": "Owl Lane", "ref": "B7"}),
        ([2, 3], {"highway": "primary", "ref": "B7"}),
        ([3, 4], {"highway": "primary"}),
    )
    assert [road.name for road in network.roads_within(49, 9, 51, 11)] == ["Owl Lane", "B7", ""]


def test_that_all_three_kinds_of_file_give_the_same_roads(tmp_path: Path) -> None:
    plain = write_osm(tmp_path / "map.osm", row(4), [([1, 2, 3], RESIDENTIAL), ([2, 4], {"highway": "track"})])
    packed = tmp_path / "map.osm.bz2"
    packed.write_bytes(bz2.compress(plain.read_bytes()))
    binary = tmp_path / "map.osm.pbf"
    with osmium.SimpleWriter(str(binary)) as writer:
        for entity in osmium.FileProcessor(str(plain)):
            writer.add(entity)
    networks = [RoadNetwork.read(path) for path in (plain, packed, binary)]
    for network in networks[1:]:
        assert network.roads.metres.tolist() == networks[0].roads.metres.tolist()
        assert network.roads.forward_seconds.tolist() == networks[0].roads.forward_seconds.tolist()


def test_that_the_hash_is_that_of_the_file_and_the_attribution_can_be_told(tmp_path: Path) -> None:
    path = write_osm(tmp_path / "map.osm", row(2), [([1, 2], RESIDENTIAL)])
    network = RoadNetwork.read(str(path))
    assert network.content_hash == hashlib.sha256(path.read_bytes()).hexdigest()
    assert network.attribution == OSM_ATTRIBUTION
    assert RoadNetwork.read(path, attribution="An invented map").attribution == "An invented map"
