"""Where nothing is known of roads: how far a drive leads, and the ring of places that far away."""

import pytest
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st

from planner.travel import crow_km_within, estimate_minutes, ring


@given(st.floats(1.0, 300.0))
def test_that_a_distance_within_the_minutes_is_estimated_to_take_no_longer_and_a_farther_one_longer(
    minutes: float,
) -> None:
    home, metres = (52.0, 1.0), crow_km_within(minutes) * 1000
    (inside,) = ring(home, metres * 0.999, 1)[:1]
    (outside,) = ring(home, metres * 1.001, 1)[:1]
    assert estimate_minutes([home], [inside])[0, 0] <= minutes
    assert estimate_minutes([home], [outside])[0, 0] > minutes


def test_that_every_place_of_a_ring_is_as_far_away_as_geopy_measures() -> None:
    centre = (54.7, 2.2)
    places = ring(centre, 12_345.0, 36)
    assert len(places) == 37
    assert places[0] == pytest.approx(places[-1])
    assert [geodesic(centre, place).m for place in places] == pytest.approx([12_345.0] * 37, abs=0.01)


def test_that_no_time_leads_nowhere() -> None:
    assert crow_km_within(0.0) == 0.0
