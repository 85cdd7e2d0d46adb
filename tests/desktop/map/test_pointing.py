"""What lies under the mouse, judged by shapely's distances."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF

from planner.desktop.map import MapHome, MapTie
from planner.desktop.map.camera import Camera
from planner.desktop.map.ground import Ground
from planner.desktop.map.layers import HomeLayer, TieLayer
from planner.desktop.map.pointing import LINE_REACH_PX, Hit, hit_home, hit_point, hit_road, hit_route, hit_tie
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.route_sheet import RouteSheet
from planner.domain.geo import Place
from planner.usecases.roads.map_lines import map_lines
from tests.desktop.map.maps import LATITUDE, LONGITUDE, RADIUS_M, ROUTES, crossroads

GROUND = Ground(Place(LATITUDE, LONGITUDE))
SHEET = RouteSheet.of(ROUTES, GROUND, RADIUS_M)
ALL = np.ones(len(SHEET.east), dtype=bool)
CAMERA = Camera(step=-24, width=800, height=600)
SPOTS = st.builds(QPointF, st.floats(0, 800), st.floats(0, 600))


@given(SPOTS)
def test_that_the_nearest_route_within_reach_is_hit(spot: QPointF) -> None:
    x, y = CAMERA.spots(SHEET.east, SHEET.south)
    lines = [shapely.LineString(np.column_stack([x[SHEET.rows(i)], y[SHEET.rows(i)]])) for i in range(len(ROUTES))]
    away = shapely.distance(lines, shapely.Point(spot.x(), spot.y()))
    hit = hit_route(SHEET, CAMERA, spot)
    if away.min() > LINE_REACH_PX + 1e-6:
        assert hit is None
    elif away.min() < LINE_REACH_PX - 1e-6:
        assert hit == Hit(route=ROUTES[int(away.argmin())].code)


def test_that_a_point_is_hit_within_its_disc_and_not_beside_it() -> None:
    spot = CAMERA.spot(float(SHEET.east[2]), float(SHEET.south[2]))
    assert hit_point(SHEET, ALL, CAMERA, spot + QPointF(6, 6)) == Hit(route="R01", point=3)
    assert hit_point(SHEET, ALL, CAMERA, spot + QPointF(0, 14)) is None


def test_that_a_point_that_is_not_shown_is_not_hit() -> None:
    spot = CAMERA.spot(float(SHEET.east[2]), float(SHEET.south[2]))
    others = np.arange(len(SHEET.east)) != 2
    assert hit_point(SHEET, others, CAMERA, spot) is None


def test_that_homes_and_ties_are_hit() -> None:
    home, far = Place(LATITUDE + 0.01, LONGITUDE), Place(LATITUDE - 0.02, LONGITUDE)
    homes = HomeLayer([MapHome("V01", "Ann Example", home), MapHome("V02", "Ben Example", far)], GROUND)
    spot = CAMERA.spot(*GROUND.spot(home))
    assert hit_home(homes, CAMERA, spot + QPointF(5, 0)) == Hit(home="V01")
    ties = TieLayer([MapTie(home, far, "Ann leads"), MapTie(home, home, "nowhere")], GROUND)
    middle = (spot + CAMERA.spot(*GROUND.spot(far))) / 2
    assert hit_tie(ties, CAMERA, middle + QPointF(3, 0)) == "Ann leads"
    assert hit_tie(ties, CAMERA, middle + QPointF(30, 0)) is None


def test_that_a_road_is_named_with_its_class(tmp_path: Path) -> None:
    roads = RoadSheet.of(map_lines(crossroads(tmp_path)), GROUND)
    middle = QPointF(400, 300)
    assert hit_road(roads, CAMERA, middle + QPointF(100, 3)) == ("Sundown Road", "primary")
    assert hit_road(roads, CAMERA, middle + QPointF(3, 100)) == ("", "track")
    assert hit_road(roads, CAMERA, middle + QPointF(100, 100)) is None


def test_that_nothing_is_hit_on_an_empty_map() -> None:
    empty = RouteSheet.of((), GROUND, None)
    spot = QPointF(400, 300)
    assert hit_point(empty, np.zeros(0, dtype=bool), CAMERA, spot) is None
    assert hit_route(empty, CAMERA, spot) is None
    assert hit_home(HomeLayer([], GROUND), CAMERA, spot) is None
    assert hit_tie(TieLayer([], GROUND), CAMERA, spot) is None
