"""Invented roads and routes for the map."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QPointF
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import LIGHT, Colours
from planner.desktop.map import MapView
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.travel import RoadNetwork
from tests.unit.travel.road_maps import Node, Way, write_osm

RADIUS_M = 400.0
LATITUDE, LONGITUDE = 51.0, -2.0


def route(code: str, north: float, east: float, points: int = 4, step: float = 0.012) -> Route:
    """Return a route of points from west to east, so many degrees north and east of the middle."""
    places = [Place(LATITUDE + north, LONGITUDE + east + step * place) for place in range(points)]
    numbered = tuple(Point(number, place, f"gate {number}") for number, place in enumerate(places, start=1))
    return Route(code, f"{code} Heath", numbered)


ROUTES = (route("R01", 0.0, 0.0), route("R02", 0.03, 0.005), route("R03", -0.03, -0.02))


def crossroads(folder: Path) -> RoadNetwork:
    """Return a primary from west to east, and a nameless track from south to north, both through the middle."""
    nodes: dict[int, Node] = {
        1: (LATITUDE, LONGITUDE - 0.1),
        2: (LATITUDE, LONGITUDE),
        3: (LATITUDE, LONGITUDE + 0.1),
        4: (LATITUDE - 0.1, LONGITUDE),
        5: (LATITUDE + 0.1, LONGITUDE),
    }
    ways: Sequence[Way] = [
        ([1, 2, 3], {"highway": "primary", "name": "Sundown Road"}),
        ([4, 2, 5], {"highway": "track"}),
    ]
    return RoadNetwork.read(write_osm(folder / "roads.osm", nodes, ways), attribution="Invented map")


def shown_map(qtbot: QtBot, prepare: Callable[[MapView], None], colours: Colours = LIGHT) -> MapView:
    """Return a map of 800 by 600 pixels that is shown, has the focus, and is settled."""
    view = MapView(colours)
    qtbot.addWidget(view)
    view.resize(800, 600)
    prepare(view)
    view.show()
    view.activateWindow()
    view.setFocus()
    qtbot.waitUntil(view.hasFocus)
    settle(qtbot, view)
    return view


def settle(qtbot: QtBot, view: MapView) -> None:
    """Wait until all is prepared and painted."""
    qtbot.waitUntil(lambda: view.is_settled, timeout=10_000)
    QTest.qWait(0)


def spot_of(view: MapView, code: str, number: int) -> QPointF:
    """Return where a point lies in the window."""
    point = next(one for one in view.sheet.routes if one.code == code).point(number)
    return view.camera.spot(*view.ground.spot(point.place))
