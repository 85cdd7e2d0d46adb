"""A map with three routes and a home."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.map import MapHome, MapView
from planner.domain.geo import Place
from tests.desktop.map.maps import LATITUDE, LONGITUDE, RADIUS_M, ROUTES, shown_map

HOME = MapHome("V01", "Ann Example", Place(LATITUDE - 0.012, LONGITUDE + 0.01))


@pytest.fixture
def view(qtbot: QtBot) -> MapView:
    """Return a map with three routes and a home, all in sight."""

    def prepare(made: MapView) -> None:
        made.show_routes(ROUTES, RADIUS_M)
        made.show_homes([HOME])

    return shown_map(qtbot, prepare)
