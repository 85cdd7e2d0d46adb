"""The map with little, with much, and while it prepares."""

from __future__ import annotations

import threading
from pathlib import Path

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import LIGHT, Colours
from planner.desktop.map import MapTie, MapView
from planner.desktop.units import Units
from planner.domain.finding import Severity
from planner.domain.geo import Place
from tests.bench.map import big_network
from tests.desktop.map.conftest import HOME
from tests.desktop.map.maps import LATITUDE, LONGITUDE, RADIUS_M, ROUTES, crossroads, route, shown_map, spot_of


def test_that_everything_can_be_shown_at_once(qtbot: QtBot, tmp_path: Path, colours: Colours) -> None:
    places = [point.place for point in ROUTES[0].points]

    def prepare(made: MapView) -> None:
        made.show_roads(crossroads(tmp_path))
        made.show_routes(ROUTES, RADIUS_M)
        made.show_homes([HOME])
        made.show_ties([MapTie(HOME.place, places[0], "Ann Example leads R01")])
        made.show_reach([places, places[:1]])
        made.set_editable(True)
        made.select("R01", 2)
        made.lift("R01", 2)
        made.show_way(places, [3, 1, 2, 4])
        made.show_landing(places[1], places[2])
        made.mark_findings({("R01", 2): Severity.BROKEN, ("R02", None): Severity.NOTE, ("R77", 1): Severity.DOUBT})
        made.set_units(Units.IMPERIAL)

    full = shown_map(qtbot, prepare, colours)
    picture = full.grab().toImage()
    assert picture.pixelColor(spot_of(full, "R01", 3).toPoint()) != picture.pixelColor(3, 300)


def test_that_a_map_of_roads_or_homes_alone_shows_them(qtbot: QtBot, tmp_path: Path) -> None:
    roads_only = shown_map(qtbot, lambda made: made.show_roads(crossroads(tmp_path)))
    lane = roads_only.camera.spot(*roads_only.ground.spot(Place(LATITUDE, LONGITUDE - 0.05)))
    assert roads_only.sight.frame.contains(lane)
    assert roads_only.grab().toImage().pixelColor(lane.toPoint()).name() != LIGHT.ground
    homes_only = shown_map(qtbot, lambda made: made.show_homes([HOME]))
    homes_only.fit_all()
    assert homes_only.sight.frame.contains(homes_only.camera.spot(*homes_only.ground.spot(HOME.place)))


def test_that_routes_that_come_while_roads_are_prepared_lie_on_them(qtbot: QtBot, tmp_path: Path) -> None:
    def prepare(made: MapView) -> None:
        made.show_roads(crossroads(tmp_path))
        made.show_routes([route("R01", 0.0, 0.03)], None)

    view = shown_map(qtbot, prepare)
    assert view.roads is not None
    assert view.roads.ground == view.ground


def test_that_a_map_that_goes_while_it_prepares_leaves_no_thread_behind(qtbot: QtBot) -> None:
    def threads() -> set[threading.Thread]:
        return {thread for thread in threading.enumerate() if thread.name.startswith("map")}

    before = threads()
    view = MapView(LIGHT)
    view.show_roads(big_network(20_000, 1))
    assert threads() - before
    view.deleteLater()
    qtbot.waitUntil(lambda: not threads() - before)


def test_that_an_empty_map_is_painted(qtbot: QtBot) -> None:
    view = shown_map(qtbot, lambda made: made.show_routes([], None))
    assert view.grab().toImage().pixelColor(400, 300).name() == LIGHT.ground
    for key in (Qt.Key.Key_PageDown, Qt.Key.Key_Home, Qt.Key.Key_Return, Qt.Key.Key_Escape):
        QTest.keyClick(view, key)
    assert view.selected == ("", None)


def test_that_circles_are_drawn_in_true_metres(view: MapView) -> None:
    place = ROUTES[0].point(1).place
    view.fit_places([place])
    view.look_at(view.camera.zoomed(-8, QPointF(400, 300)))
    disc = view.camera.spot(*view.ground.spot(place))
    edge = Place(place.latitude + RADIUS_M / 111_250.0, place.longitude)
    # A degree of the meridian is 111.25 km long at 51 degrees north (WGS84).
    top = view.camera.spot(*view.ground.spot(edge))
    picture = view.grab().toImage()
    column = [picture.pixelColor(round(disc.x()), y).name() for y in range(round(top.y()) - 6, round(top.y()) + 7)]
    steps = [i for i in range(1, len(column)) if column[i] != column[i - 1]]
    assert steps
    assert abs(float(np.mean(steps)) - 6) <= 2.0
