import math
from itertools import pairwise

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic  # type: ignore[import-untyped]  # ships no types
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.travel import ESTIMATE_BAND
from planner.travel import estimate_minutes, geodesic_metres, geodesic_table_metres, step_metres
from planner.travel.estimate import CAUTIOUS_SHARE, OPTIMISTIC_SHARE, detour_km

places = st.tuples(st.floats(-90, 90), st.floats(-180, 180))

FLINDERS_PEAK = (-(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.52440 / 3600)
BUNINYONG = (-(37 + 39 / 60 + 10.15610 / 3600), 143 + 55 / 60 + 35.38390 / 3600)
PUBLISHED_M = 54_972.271
"""Geoscience Australia, Geocentric Datum of Australia Technical Manual, GRS80; WGS84 differs by 0.1 mm at most."""


def test_that_one_distance_and_a_table_equal_the_published_geodesic() -> None:
    assert geodesic_metres(FLINDERS_PEAK, BUNINYONG) == pytest.approx(PUBLISHED_M, abs=0.001)
    assert geodesic_table_metres([FLINDERS_PEAK], [BUNINYONG])[0, 0] == pytest.approx(PUBLISHED_M, abs=0.001)


@given(places, places)
def test_that_tables_equal_geopy_and_geographiclib(a: tuple[float, float], b: tuple[float, float]) -> None:
    table = geodesic_table_metres([a], [b])[0, 0]
    oracle = Geodesic.WGS84.Inverse(*a, *b)["s12"]
    assert table == pytest.approx(oracle, abs=0.001)
    assert table == pytest.approx(geodesic(a, b).m, abs=0.001)
    assert geodesic_metres(a, b) == pytest.approx(oracle, abs=0.001)


@given(st.lists(places, min_size=1, max_size=6))
def test_that_the_steps_of_a_line_are_geopys_from_each_corner_to_the_next(line: list[tuple[float, float]]) -> None:
    steps = step_metres(line)
    assert steps.tolist() == pytest.approx([geodesic(here, there).m for here, there in pairwise(line)], abs=0.001)


def test_that_a_table_has_origins_in_rows_and_destinations_in_columns() -> None:
    origins, destinations = [(50.0, 10.0), (51.0, 10.0)], [(50.0, 10.0), (50.0, 11.0), (52.0, 10.0)]
    table = geodesic_table_metres(origins, destinations)
    assert table.shape == (2, 3)
    for row, a in enumerate(origins):
        for column, b in enumerate(destinations):
            assert table[row, column] == pytest.approx(geodesic_metres(a, b), abs=1e-6)


def test_that_places_pairs_and_arrays_are_the_same() -> None:
    pairs = [(50.0, 10.0), (51.0, 11.0)]
    expected = geodesic_table_metres(pairs, pairs)
    assert (geodesic_table_metres([Place(*pair) for pair in pairs], np.array(pairs)) == expected).all()


def test_that_no_places_give_an_empty_table() -> None:
    assert geodesic_table_metres([], [(1.0, 2.0)]).shape == (0, 1)
    assert estimate_minutes([(1.0, 2.0)], []).shape == (1, 0)


@pytest.mark.parametrize("bad", [(90.5, 0.0), (0.0, 200.0), (math.nan, 0.0), (0.0, math.inf)])
def test_that_a_place_off_the_globe_is_refused_not_wrapped(bad: tuple[float, float]) -> None:
    with pytest.raises(RuleError, match="place 2"):
        geodesic_metres((0.0, 0.0), bad)


def test_that_an_array_of_another_shape_is_refused() -> None:
    with pytest.raises(RuleError, match="shape"):
        estimate_minutes(np.zeros((2, 3)), np.zeros((2, 3)))


@pytest.mark.parametrize(
    ("crow_km", "road_km"), [(0.0, 0.0), (2.0, 3.0), (5.0, 7.5), (8.0, 10.8), (10.0, 13.5), (20.0, 25.0), (5.1, 7.5)]
)
def test_that_the_detour_shrinks_with_the_distance(crow_km: float, road_km: float) -> None:
    assert detour_km(np.array([crow_km]))[0] == pytest.approx(road_km)


@given(st.floats(0, 100), st.floats(0, 100))
def test_that_a_farther_place_is_never_nearer_by_road(a_km: float, b_km: float) -> None:
    near, far = sorted((a_km, b_km))
    road = detour_km(np.array([near, far]))
    assert road[0] <= road[1]


def test_that_an_estimate_is_detour_over_speed() -> None:
    start, end = (50.0, 10.0), (50.2, 10.0)
    crow_km = geodesic_metres(start, end) / 1000
    assert crow_km > 10
    assert estimate_minutes([start], [end])[0, 0] == pytest.approx(crow_km * 1.25 / 45 * 60)
    assert estimate_minutes([start], [start])[0, 0] == 0.0


def test_that_the_band_lies_round_the_estimate() -> None:
    assert OPTIMISTIC_SHARE < 1.0 < CAUTIOUS_SHARE < ESTIMATE_BAND.most_share == 2.0
    assert ESTIMATE_BAND.least_share == OPTIMISTIC_SHARE
