"""Where a new point would stand, and places as people write them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from geopy.distance import geodesic

from planner.domain.counting import PointRule
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.travel import RoadNetwork
from planner.usecases.routes.placing_points import place_for_new_point, read_latitude, read_longitude, read_place
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm
from tests.unit.usecases.checked_seasons import PROTOCOL

RULES = replace(PROTOCOL, habitat=None)
"""Points 800 m apart, give or take a tenth."""
SEEN = Place(50.001, 10.05)


@pytest.fixture(scope="module")
def straight(tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    """A straight road along the parallel of 50 N, 10 E and 7 km on."""
    ways = [(range(1, 12), RESIDENTIAL)]
    return RoadNetwork.read(write_osm(tmp_path_factory.mktemp("roads") / "straight.osm", row(11), ways))


def lane(*longitudes: float) -> Route:
    return Route("R1", "", tuple(Point(k, Place(50.0, one)) for k, one in enumerate(longitudes, start=1)))


def metres(a: Place, b: Place) -> float:
    return float(geodesic((a.latitude, a.longitude), (b.latitude, b.longitude)).m)


def test_that_a_point_behind_the_last_stands_on_along_the_road_as_far_as_the_protocol_asks(
    straight: RoadNetwork,
) -> None:
    route = lane(10.02, 10.03)
    new = place_for_new_point(RULES, straight, route, None, SEEN)
    assert new.longitude > 10.03
    assert metres(route.points[-1].place, new) == pytest.approx(880, abs=2)
    wide = place_for_new_point(replace(PROTOCOL, points=PointRule(1, 9)), straight, route, None, SEEN)
    assert metres(route.points[-1].place, wide) == pytest.approx(440, abs=2)
    free = place_for_new_point(replace(RULES, points=PointRule(1, 9)), straight, route, None, SEEN)
    assert metres(route.points[-1].place, free) == pytest.approx(800, abs=2)


def test_that_the_second_point_goes_on_along_a_road_from_the_first(straight: RoadNetwork) -> None:
    route = lane(10.02)
    new = place_for_new_point(RULES, straight, route, None, SEEN)
    assert metres(route.points[0].place, new) == pytest.approx(880, abs=2)
    assert straight.snap([new])[0].distance_m < 1


def test_that_no_point_is_put_on_another() -> None:
    route = lane(10.05)
    new = place_for_new_point(RULES, None, route, None, route.points[0].place)
    assert new == Place(50.0, 10.052)


def test_that_a_point_between_two_stands_half_way_along_the_road(straight: RoadNetwork) -> None:
    route = lane(10.02, 10.04)
    new = place_for_new_point(RULES, straight, route, 1, SEEN)
    assert metres(route.points[0].place, new) == pytest.approx(metres(new, route.points[1].place), abs=3)


def test_that_the_road_ends_no_nearer_than_its_end(straight: RoadNetwork) -> None:
    new = place_for_new_point(RULES, straight, lane(10.09, 10.099), None, SEEN)
    assert new == Place(50.0, 10.1)


def test_that_the_first_point_stands_on_the_road_in_sight_and_without_roads_where_one_looks(
    straight: RoadNetwork,
) -> None:
    assert place_for_new_point(RULES, straight, lane(), None, SEEN) == Place(50.0, 10.05)
    assert place_for_new_point(RULES, None, lane(10.0, 10.01), None, SEEN) == SEEN
    assert place_for_new_point(RULES, straight, lane(), None, Place(60.0, 10.0)) == Place(60.0, 10.0)


def test_that_places_are_read_as_people_write_them_and_refused_in_words() -> None:
    assert read_latitude("51 30 0 N") == 51.5
    assert read_longitude("1,25 W") == -1.25
    assert read_place("54.5, 2.25") == Place(54.5, 2.25)
    for read, text in ((read_latitude, "95"), (read_longitude, "east"), (read_place, "54.5")):
        with pytest.raises(RuleError, match="expected"):
            read(text)


def test_that_a_road_map_on_disk_serves_as_well(tmp_path: Path, straight: RoadNetwork) -> None:
    straight.save(tmp_path / "straight.npz")
    loaded = RoadNetwork.load(tmp_path / "straight.npz")
    assert place_for_new_point(RULES, loaded, lane(10.02, 10.03), None, SEEN) == place_for_new_point(
        RULES, straight, lane(10.02, 10.03), None, SEEN
    )
