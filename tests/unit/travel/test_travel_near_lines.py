"""The nearest of many lines, held against every spot of all of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from planner.travel import Lines, NearLines, Plane

WGS84 = Geod(ellps="WGS84")
SPOTS = st.tuples(st.floats(-0.02, 0.02), st.floats(-0.02, 0.02))
LINES = st.lists(st.lists(SPOTS, min_size=2, max_size=4), min_size=1, max_size=5)


def lines_of(corners: list[list[tuple[float, float]]], latitude: float, longitude: float) -> Lines:
    """Lines round a place, by their corners in degrees from it."""
    table = np.array([corner for line in corners for corner in line]) + np.array([latitude, longitude])
    starts = np.concatenate([[0], np.cumsum([len(line) for line in corners])])
    return Lines(table[:, 0], (table[:, 1] + 180.0) % 360.0 - 180.0, starts)


def every_spot(lines: Lines, number: int) -> np.ndarray:
    """A line as spots some metres apart, by interpolation in degrees, the longitudes unwrapped."""
    span = slice(int(lines.starts[number]), int(lines.starts[number + 1]))
    at = np.linspace(0, span.stop - span.start - 1, 4_001)
    corners = np.arange(span.stop - span.start)
    east = np.unwrap(lines.longitudes[span], period=360.0)
    return np.column_stack([np.interp(at, corners, lines.latitudes[span]), np.interp(at, corners, east)])


@settings(max_examples=20)
@given(LINES, SPOTS, st.sampled_from([(50.0, 10.0), (-17.0, 180.0), (68.0, -150.0)]), st.floats(100.0, 3_000.0))
def test_that_the_nearest_line_is_that_of_the_nearest_spot_of_all(
    corners: list[list[tuple[float, float]]], spot: tuple[float, float], middle: tuple[float, float], within_m: float
) -> None:
    lines = lines_of(corners, *middle)
    latitude, longitude = spot[0] + middle[0], (spot[1] + middle[1] + 180.0) % 360.0 - 180.0
    place = np.array([[latitude, longitude]])
    plane = Plane(place)
    near = NearLines(lines, plane, place, within_m).nearest(*plane.metres(place[:, 0], place[:, 1]))
    metres = []
    for number in range(lines.count):
        spots = every_spot(lines, number)
        here = np.full(len(spots), longitude), np.full(len(spots), latitude)
        metres.append(float(np.min(WGS84.inv(*here, spots[:, 1], spots[:, 0])[2])))
    # The spots of the oracle lie up to a few metres apart, and a line is straight in degrees here, in metres there.
    if min(metres) < within_m - 5:
        assert near.metres[0] == pytest.approx(min(metres), abs=3.0)
        assert metres[int(near.lines[0])] == pytest.approx(min(metres), abs=6.0)
    elif min(metres) > within_m + 5:
        assert (near.lines[0], near.metres[0]) == (-1, np.inf)


def test_that_a_line_on_the_other_side_of_the_date_line_is_near() -> None:
    lines = lines_of([[(-0.01, 0.001), (0.01, 0.001)]], -17.0, 180.0)
    place = np.array([[-17.0, 179.999]])
    plane = Plane(place)
    near = NearLines(lines, plane, place, 500.0).nearest(*plane.metres(place[:, 0], place[:, 1]))
    assert near.metres[0] == pytest.approx(WGS84.inv(179.999, -17.0, -179.999, -17.0)[2], abs=0.01)


def test_that_lines_that_do_not_count_are_passed_over_and_numbers_stay_those_of_the_map() -> None:
    lines = lines_of([[(0.0, -0.01), (0.0, 0.01)], [(0.001, -0.01), (0.001, 0.01)], [(0.1, 0.0), (0.1, 0.1)]], 50, 10)
    place = np.array([[50.0001, 10.0]])
    plane = Plane(place)
    at = plane.metres(place[:, 0], place[:, 1])
    assert NearLines(lines, plane, place, 500.0).nearest(*at).lines.tolist() == [0]
    among = np.array([False, True, True])
    near = NearLines(lines, plane, place, 500.0, among).nearest(*at)
    assert near.lines.tolist() == [1]
    # A chord of 0.02 degrees along the parallel runs 5 cm north of it in its middle.
    assert near.metres[0] == pytest.approx(WGS84.inv(10.0, 50.0001, 10.0, 50.001)[2], abs=0.06)
    both = NearLines(lines, plane, place, 500.0).all_near(*at, 500.0)
    assert both.lines.tolist() == [0, 1]
    nobody = NearLines(lines, plane, place, 500.0, np.zeros(3, dtype=bool))
    assert nobody.nearest(*at).lines.tolist() == [-1]
    assert len(nobody.all_near(*at, 500.0).rows) == 0
