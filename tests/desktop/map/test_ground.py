"""Positions on the map, judged by PROJ's geodesics on the WGS84 ellipsoid."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from planner.desktop.map.ground import Ground
from planner.domain.geo import Place

GEOD = Geod(ellps="WGS84")
LATITUDES = st.floats(-80, 80)
LONGITUDES = st.floats(-180, 180)


@given(st.builds(Place, LATITUDES, LONGITUDES), LATITUDES, st.floats(-170, 170))
def test_that_a_place_is_found_again_under_its_spot(middle: Place, latitude: float, turned: float) -> None:
    place = Place(latitude, (middle.longitude + turned + 180) % 360 - 180)
    ground = Ground(middle)
    found = ground.place(*ground.spot(place))
    assert found.latitude == pytest.approx(latitude, abs=1e-9)
    assert (found.longitude - place.longitude + 180) % 360 - 180 == pytest.approx(0, abs=1e-9)


@given(st.builds(Place, LATITUDES, LONGITUDES), st.floats(0, 360))
def test_that_true_metres_are_true_wherever_the_middle_is(place: Place, azimuth: float) -> None:
    ground = Ground(Place(52.0, place.longitude))
    longitude, latitude, _ = GEOD.fwd(place.longitude, place.latitude, azimuth, 400.0)
    east, south = ground.spot(Place(latitude, longitude))
    here_east, here_south = ground.spot(place)
    across, along = ground.stretch(np.array([place.latitude]))
    # Within 30 centimetres in 400 metres: the circle is one ellipse, and Mercator's scale changes across it.
    metres = np.hypot((east - here_east) / across[0], (south - here_south) / along[0])
    assert metres == pytest.approx(400.0, abs=0.3)


def test_that_a_season_across_the_date_line_stays_together() -> None:
    places = [Place(-17.0, 179.9), Place(-17.1, -179.9), Place(-16.9, 179.8)]
    ground = Ground.about(places)
    east, _ = ground.spots(places)
    assert ground.middle.longitude == pytest.approx(179.95)
    assert np.ptp(east) < 35_000


def test_that_east_is_to_the_right_and_north_is_up() -> None:
    ground = Ground(Place(51.0, -2.0))
    east, south = ground.spot(Place(51.1, -1.9))
    assert east > 0 > south


def test_that_a_latitude_is_found_again_from_its_metres() -> None:
    ground = Ground(Place(51.0, -2.0))
    latitudes = np.array([-60.0, 0.0, 51.0, 70.0])
    _, south = ground.metres(latitudes, np.zeros(4))
    assert ground.latitude(south) == pytest.approx(latitudes)
