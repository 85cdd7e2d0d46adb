"""Areas hold every route once, keep neighbours together, and are the same every time."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.usecases.routes.areas import MOST_AREAS, areas_of, middle_of


def _route(code: str, latitude: float, longitude: float) -> Route:
    return Route(code, f"Lane {code}", (Point(1, Place(latitude, longitude)),))


_ROUTES = st.lists(
    st.tuples(st.floats(-60, 60), st.floats(-179, 179)).map(lambda at: (round(at[0], 3), round(at[1], 3))),
    min_size=1,
    max_size=40,
).map(lambda spots: [_route(f"R{n:02d}", *at) for n, at in enumerate(spots)])


@given(_ROUTES)
def test_that_every_route_stands_in_one_area_in_the_order_given(routes: list[Route]) -> None:
    areas = areas_of(routes)
    order = {route.code: n for n, route in enumerate(routes)}
    found = [code for area in areas for code in area.routes]
    assert sorted(found) == sorted(order)
    assert all(list(area.routes) == sorted(area.routes, key=order.__getitem__) for area in areas)
    assert 1 <= len(areas) <= min(MOST_AREAS, max(1, round(math.sqrt(len(routes)))))
    assert areas_of(routes) == areas


def test_that_routes_round_three_towns_make_three_areas_from_north_to_south() -> None:
    towns = ((51.0, -3.0), (50.5, -4.0), (50.0, -3.0))
    routes = [
        _route(f"{town}{n}", latitude + 0.01 * (n % 2), longitude + 0.01 * (n // 2))
        for town, (latitude, longitude) in enumerate(towns)
        for n in range(3)
    ]
    areas = areas_of(routes)
    assert [area.routes for area in areas] == [("00", "01", "02"), ("10", "11", "12"), ("20", "21", "22")]
    assert areas[0].name == "Round 00 Lane 00"


def test_that_neighbours_across_the_date_line_are_neighbours() -> None:
    routes = [
        _route("east", 0.0, 179.99),
        _route("far", 0.0, 100.0),
        _route("west", 0.0, -179.99),
        _route("x", 0.0, 100.1),
    ]
    assert {area.routes for area in areas_of(routes)} == {("east", "west"), ("far", "x")}


def test_that_routes_without_points_come_last() -> None:
    areas = areas_of([Route("empty", "", ()), _route("R1", 50.0, -3.0)])
    assert [area.routes for area in areas] == [("R1",), ("empty",)]
    assert areas[-1].name == "Without points"
    assert areas_of([]) == ()


def test_that_the_middle_is_the_mean_of_the_points() -> None:
    route = Route("R", "", (Point(1, Place(50.0, -3.0)), Point(2, Place(51.0, -4.0))))
    assert middle_of(route) == Place(50.5, -3.5)
