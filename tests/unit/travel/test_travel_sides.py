"""What there is to doubt of the road a place was put onto: one way only, the other carriageway, another road near."""

from pathlib import Path

import pytest

from planner.travel import RIVAL_MINUTES, RoadNetwork, Side
from tests.unit.travel.road_maps import RESIDENTIAL, Node, Way, write_osm

METRE_DEG = 1.0 / 111_229.0
"""Of latitude at 50 north, WGS84."""


def _side(network: RoadNetwork, latitude: float, longitude: float = 10.01) -> Side:
    (side,) = network.sides([(latitude, longitude)])
    assert side is not None
    return side


def _dual(tmp_path: Path, apart_m: float, *, same_way: bool = False, reverse: bool = False) -> RoadNetwork:
    """Two one-way roads along a parallel, the northern one so many metres off, joined at both ends."""
    north = 50.0 + apart_m * METRE_DEG
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.02), 3: (north, 10.02), 4: (north, 10.0)}
    back = [4, 3] if same_way != reverse else [3, 4]
    oneway = {"highway": "primary", "name": "Moor Road", "oneway": "yes"}
    ways: list[Way] = [
        ([1, 2], oneway),
        (back, {**oneway, "oneway": "-1" if reverse else "yes"}),
        ([1, 4], RESIDENTIAL),
        ([2, 3], RESIDENTIAL),
    ]
    return RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))


@pytest.mark.parametrize("reverse", [False, True])
def test_that_the_other_carriageway_beside_a_one_way_road_is_seen(tmp_path: Path, reverse: bool) -> None:
    side = _side(_dual(tmp_path, 20.0, reverse=reverse), 50.0 - 3 * METRE_DEG)
    assert (side.road, side.oneway) == ("Moor Road", True)
    assert side.other_side_m == pytest.approx(23.0, abs=0.2)


def test_that_a_one_way_road_that_leads_the_same_way_or_is_far_is_no_other_carriageway(tmp_path: Path) -> None:
    for network in (_dual(tmp_path, 20.0, same_way=True), _dual(tmp_path, 90.0)):
        side = _side(network, 50.0)
        assert side.oneway
        assert side.other_side_m is None


def test_that_a_road_open_both_ways_leaves_no_doubt_and_a_place_near_none_is_not_judged(tmp_path: Path) -> None:
    network = _dual(tmp_path, 20.0)
    assert network.sides([(50.0001, 10.0), (60.0, 10.0)]) == (Side("a residential road without a name"), None)
    assert network.sides([]) == ()


def _river(tmp_path: Path, bridge_km: float) -> RoadNetwork:
    """Two roads 60 m apart with a river between, and a bridge so many kilometres away, at 25 km/h."""
    north, east = 50.0 + 60 * METRE_DEG, 10.0 + bridge_km / 71.7
    nodes: dict[int, Node] = {1: (50.0, 9.99), 2: (50.0, east), 3: (north, east), 4: (north, 9.99)}
    ways: list[Way] = [
        ([1, 2], {**RESIDENTIAL, "name": "South Bank"}),
        ([2, 3], RESIDENTIAL),
        ([3, 4], {**RESIDENTIAL, "name": "North Bank"}),
    ]
    return RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))


def test_that_two_roads_far_apart_by_car_are_told_for_a_place_between_them(tmp_path: Path) -> None:
    network = _river(tmp_path, 3.0)
    side = _side(network, 50.0 + 25 * METRE_DEG, 10.0)
    assert (side.road, side.rival) == ("South Bank", "North Bank")
    assert side.rival_m == pytest.approx(35.0, abs=0.2)
    assert network.minutes([(50.0, 10.0)], [(50.0 + 60 * METRE_DEG, 10.0)])[0, 0] > RIVAL_MINUTES


def test_that_a_place_on_its_road_or_with_a_bridge_near_leaves_no_doubt(tmp_path: Path) -> None:
    assert _side(_river(tmp_path, 3.0), 50.0 + 12 * METRE_DEG, 10.0).rival == ""
    assert _side(_river(tmp_path, 0.5), 50.0 + 25 * METRE_DEG, 10.0).rival == ""


def test_that_a_road_much_farther_off_is_no_rival(tmp_path: Path) -> None:
    assert _side(_river(tmp_path, 3.0), 50.0 - 90 * METRE_DEG, 10.0).rival == ""
