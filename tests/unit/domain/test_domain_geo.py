from __future__ import annotations

import math

import pytest
from geopy.distance import great_circle
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.geo import Place, sphere_metres

places = st.builds(Place, st.floats(-90, 90), st.floats(-180, 180))


@given(places, places)
def test_that_the_distance_on_the_sphere_is_another_librarys(a: Place, b: Place) -> None:
    oracle = great_circle((a.latitude, a.longitude), (b.latitude, b.longitude)).meters
    assert sphere_metres(a, b) == pytest.approx(oracle, abs=0.5, rel=1e-6)


def test_that_a_degree_of_the_equator_and_half_way_round_are_right() -> None:
    quarter = math.pi * 6_371_008.8 / 2
    assert sphere_metres(Place(0, 0), Place(0, 90)) == pytest.approx(quarter)
    assert sphere_metres(Place(-90, 0), Place(90, 0)) == pytest.approx(2 * quarter)
    assert sphere_metres(Place(0, -179.5), Place(0, 179.5)) == pytest.approx(quarter / 90)


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [(90.1, 0), (-90.1, 0), (math.nan, 0), (0, 180.1), (0, -180.1), (0, math.nan), (0, math.inf)],
)
def test_that_a_place_lies_on_the_earth(latitude: float, longitude: float) -> None:
    with pytest.raises(RuleError, match="must lie between"):
        Place(latitude, longitude)


def test_that_a_place_is_said_to_about_a_metre() -> None:
    assert str(Place(51.123456, -3.1)) == "51.12346, -3.10000"
