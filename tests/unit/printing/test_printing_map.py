"""The map: true to scale, numbers that can be read, roads by their class."""

from __future__ import annotations

import math

import pytest
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.printing.geometry import Box
from planner.printing.map_labels import DISC_MM, along, disc_spots, is_clear
from planner.printing.projection import fitted, ground_of, round_length_m
from planner.printing.route_map import map_height, road_look
from tests.golden.itineraries import ten_points

FRAME = Box(12.0, 40.0, 186.0, 120.0)
NEAR = st.floats(-0.06, 0.06)
SPOTS = st.lists(st.tuples(st.floats(30.0, 180.0), st.floats(60.0, 140.0)), min_size=1, max_size=9, unique=True)


@given(
    latitude=st.floats(-65.0, 65.0),
    longitude=st.floats(-180.0, 180.0),
    offsets=st.lists(st.tuples(NEAR, NEAR), min_size=2),
)
def test_that_every_place_lies_in_the_frame_and_distances_are_true(
    latitude: float, longitude: float, offsets: list[tuple[float, float]]
) -> None:
    places = [Place(latitude + north, (longitude + east + 180.0) % 360.0 - 180.0) for north, east in offsets]
    projection = fitted(places, 300.0, FRAME, 9.0)
    spots = [projection.spot(place) for place in places]
    for across, down in spots:
        assert FRAME.left <= across <= FRAME.right
        assert FRAME.top <= down <= FRAME.bottom
    # Oracle: the geodesic on WGS84; 0.6 % for the sphere and the flat map together.
    true_m = geodesic((places[0].latitude, places[0].longitude), (places[1].latitude, places[1].longitude)).m
    drawn_m = math.dist(spots[0], spots[1]) / projection.mm_per_m
    assert drawn_m == pytest.approx(true_m, rel=0.009, abs=1.0)


def test_that_north_is_up_and_east_is_right() -> None:
    projection = fitted([Place(54.7, 2.0), Place(54.72, 2.04)], 300.0, FRAME, 9.0)
    south_west, north_east = projection.spot(Place(54.7, 2.0)), projection.spot(Place(54.72, 2.04))
    assert north_east[0] > south_west[0]
    assert north_east[1] < south_west[1]


def test_that_a_route_across_the_date_line_is_drawn_in_one_piece() -> None:
    ground = ground_of([Place(-16.8, 179.99), Place(-16.8, -179.99)])
    assert ground.wide_m == pytest.approx(2130, rel=0.01)


def test_that_a_single_point_is_shown_with_ground_around_it() -> None:
    assert fitted([Place(54.7, 2.0)], 0.0, FRAME, 9.0).mm_per_m == pytest.approx(102.0 / 600.0)


@given(st.floats(1.0, 1e5))
def test_that_the_scale_bar_is_a_round_length_not_longer_than_its_room(most_m: float) -> None:
    length = round_length_m(most_m)
    assert most_m / 2.5 <= length <= most_m
    assert f"{length:e}"[0] in "125"


@given(SPOTS)
def test_that_discs_moved_aside_lie_on_no_other_disc(spots: list[tuple[float, float]]) -> None:
    placed = disc_spots(spots, FRAME)
    assert len(placed) == len(spots)
    for number, (spot, disc) in enumerate(zip(spots, placed, strict=True)):
        if disc != spot:
            assert all(math.dist(disc, other) >= 2 * DISC_MM for other in placed[:number])


def test_that_two_points_on_one_spot_get_discs_side_by_side() -> None:
    first, second = disc_spots([(100.0, 100.0), (100.0, 100.0)], FRAME)
    assert first == (100.0, 100.0)
    assert math.dist(first, second) >= 2 * DISC_MM


def test_when_there_is_no_room_aside_the_disc_stays_on_its_point() -> None:
    narrow = Box(96.0, 96.0, 9.0, 9.0)
    assert disc_spots([(100.0, 100.0), (100.5, 100.0)], narrow) == [(100.0, 100.0), (100.5, 100.0)]


def test_that_places_along_a_line_are_evenly_spaced_round_its_corners() -> None:
    line = [(0.0, 0.0), (10.0, 0.0), (10.0, 0.0), (10.0, 10.0)]
    found = list(along(line, 4.0, 2.0))
    assert [spot for spot, _ in found] == [(2.0, 0.0), (6.0, 0.0), (10.0, 0.0), (10.0, 4.0), (10.0, 8.0)]
    assert found[0][1] == 0.0
    assert found[-1][1] == pytest.approx(math.pi / 2)


def test_that_a_name_goes_only_where_the_ground_is_free() -> None:
    label = Box(50.0, 60.0, 20.0, 5.0)
    assert is_clear(label, [], FRAME)
    assert not is_clear(label, [Box(60.0, 62.0, 5.0, 5.0)], FRAME)
    assert not is_clear(label.moved(-45.0, 0.0), [], FRAME)


def test_that_greater_roads_are_drawn_wider_and_links_like_their_class() -> None:
    widths = [road_look(kind).width for kind in ("primary", "secondary", "tertiary", "unclassified", "service")]
    assert widths == sorted(widths, reverse=True)
    assert len(set(widths)) == len(widths)
    assert road_look("trunk_link") == road_look("trunk")
    assert road_look("track").dashes
    assert road_look("something new") == road_look("service")


def test_that_the_map_is_no_higher_than_the_ground_is_worth() -> None:
    day = ten_points().days[0]
    assert map_height(day, 186.0, 175.0) < map_height(day, 186.0, 500.0) + 0.01 < 175.0
    assert map_height(day, 186.0, 50.0) == 50.0
