"""The nearest edge is found without laying the whole map: the same one as among all of them, however far off it is."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.travel.edge_search import FEW, Boxes, EdgeSearch
from planner.travel.near_lines import Lines, Plane

_SPREADS_DEG = st.sampled_from([0.001, 0.01, 0.1, 1.0])


@st.composite
def _maps(draw: st.DrawFn) -> tuple[Lines, np.ndarray]:
    """Lines of two or three corners, short ones and some of tens of kilometres, and places among and beside them."""
    dice = np.random.default_rng(draw(st.integers(0, 2**32)))
    latitude, longitude = draw(st.sampled_from([(50.0, 10.0), (-17.0, 180.0), (69.0, -150.0)]))
    spread = draw(_SPREADS_DEG)
    starts = np.concatenate([[0], np.cumsum(dice.integers(2, 4, draw(st.integers(1, 30))))])
    middles = np.repeat(dice.uniform(-spread, spread, (len(starts) - 1, 2)), np.diff(starts), axis=0)
    corners = middles + dice.uniform(-1.0, 1.0, middles.shape) * draw(st.sampled_from([0.002, 0.05, 0.4]))
    count = draw(st.integers(1, 6))
    places = dice.uniform(-spread, spread, (count, 2)) * draw(st.sampled_from([1.0, 3.0]))
    lines = Lines(latitude + corners[:, 0], _wrapped(longitude + corners[:, 1]), starts)
    return lines, np.column_stack([latitude + places[:, 0], _wrapped(longitude + places[:, 1])])


def _wrapped(longitudes: np.ndarray) -> np.ndarray:
    return (longitudes + 180.0) % 360.0 - 180.0


def _search(lines: Lines, few: int = 0) -> tuple[EdgeSearch, Plane]:
    plane = Plane(np.column_stack([lines.latitudes, lines.longitudes]))
    return EdgeSearch(lines, plane, Boxes(lines, plane), np.arange(lines.count), few), plane


def _apart(lines: Lines, plane: Plane, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the places in the plane, and the metres from each to every line, by shapely."""
    points = np.asarray(shapely.points(*plane.metres(places[:, 0], places[:, 1])))
    return points, shapely.distance(points[:, None], lines.shapes(plane)[None])


@settings(max_examples=20, deadline=None)
@given(_maps(), st.sampled_from([0, FEW]))
def test_that_the_nearest_edge_is_that_among_all(drawn: tuple[Lines, np.ndarray], few: int) -> None:
    lines, places = drawn
    search, plane = _search(lines, few)
    points, metres = _apart(lines, plane, places)
    found = search.nearest(places, points)
    assert metres[np.arange(len(places)), found] == pytest.approx(metres.min(axis=1), abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(_maps(), st.sampled_from([30.0, 300.0, 5_000.0]))
def test_that_every_edge_within_reach_is_found(drawn: tuple[Lines, np.ndarray], reach_m: float) -> None:
    lines, places = drawn
    search, plane = _search(lines)
    points, metres = _apart(lines, plane, places)
    found = search.within(places, points, np.full(len(places), reach_m))
    assert set(zip(*(column.tolist() for column in found), strict=True)) == set(
        zip(*(column.tolist() for column in np.nonzero(metres <= reach_m)), strict=True)
    )


def test_that_a_long_straight_piece_is_found_where_it_leaves_the_box_of_its_ends() -> None:
    # 56 km along a parallel: the straight piece in the plane passes some 105 m north of it; the other is out of reach.
    lines = Lines(np.array([60.0, 60.0, 60.02, 60.02]), np.array([9.5, 10.5, 9.5, 9.501]), np.array([0, 2, 4]))
    search, plane = _search(lines)
    places = np.array([[60.00094, 10.0]])
    points, metres = _apart(lines, plane, places)
    assert metres[0, 0] < 20.0
    assert [column.tolist() for column in search.within(places, points, np.array([30.0]))] == [[0], [0]]


def test_that_places_asked_for_often_are_put_onto_the_same_edges() -> None:
    dice = np.random.default_rng(3)
    corners = np.repeat(dice.uniform(0.0, 0.5, (200, 2)), 2, axis=0) + dice.uniform(0.0, 0.02, (400, 2))
    lines = Lines(50.0 + corners[:, 0], 10.0 + corners[:, 1], np.arange(0, 401, 2))
    search, plane = _search(lines)
    places = np.array([50.0, 10.0]) + dice.uniform(0.0, 0.5, (200, 2))
    points, metres = _apart(lines, plane, places)
    one_by_one = [int(search.nearest(places[row : row + 1], points[row : row + 1])[0]) for row in range(len(places))]
    assert one_by_one == metres.argmin(axis=1).tolist()


def test_that_of_no_edges_none_is_the_nearest() -> None:
    lines = Lines(np.array([50.0, 50.1]), np.array([10.0, 10.1]), np.array([0, 2]))
    plane = Plane(np.array([[50.0, 10.0]]))
    search = EdgeSearch(lines, plane, Boxes(lines, plane), np.zeros(0, dtype=np.int64))
    places = np.array([[50.0, 10.0]])
    assert search.nearest(places, np.asarray(shapely.points([[0.0, 0.0]]))).tolist() == [-1]
