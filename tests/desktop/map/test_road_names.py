"""Names along roads: on their roads, clear of everything, steady while the map is pushed."""

from __future__ import annotations

import dataclasses
import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication

from planner.desktop.look.colours import LIGHT
from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Floats, Ground
from planner.desktop.map.layers import HomeLayer, Lines, MarkLayer
from planner.desktop.map.road_names import LEAST_SCALE, REPEATED_PX, RoadNameLayer, RoadNames, small
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX
from planner.desktop.map.taken import taken_by
from planner.desktop.units import Units
from planner.domain.geo import Place
from planner.usecases.roads.map_lines import map_lines
from tests.bench.map import big_network, big_routes

NETWORK = big_network(1_500, 3)
GROUND = Ground(Place(50.05, -3.95))
SHEET = RoadSheet.of(map_lines(NETWORK), GROUND)
NAMES = RoadNames.of(SHEET)
ROUTES = RouteSheet.of(big_routes(6, NETWORK, 3), GROUND, 400.0)
STEPS = [-36, -30, -24, -16, -8]


def _layer() -> RoadNameLayer:
    strings = Lines(ROUTES.east, ROUTES.south, np.diff(ROUTES.starts))
    layer = RoadNameLayer(NAMES)
    layer.renew(taken_by(ROUTES, strings, HomeLayer([], GROUND), MarkLayer(ROUTES, {}), None))
    return layer


def _sight(step: int, east: float = 0.0, south: float = 0.0) -> Sight:
    return Sight(Camera(east, south, step, 800, 600), LIGHT, Units.METRIC, "", None, 1.0)


def _boxes(layer: RoadNameLayer, sight: Sight) -> dict[int, QRectF]:
    font = small(QApplication.font())
    metrics = QFontMetricsF(font)
    boxes = {}
    for name in layer.shown(sight, font):
        left, top, right, bottom = layer.box(name, sight.camera, metrics)
        boxes[name] = QRectF(left, top, right - left, bottom - top)
    return boxes


def test_that_every_name_stands_on_a_road_of_that_name() -> None:
    whole, source = SHEET.details[0], SHEET.source
    corners = np.column_stack([whole.east, whole.south])
    roads: dict[str, list[shapely.LineString]] = {}
    for line in range(source.count):
        shape = shapely.LineString(corners[whole.starts[line] : whole.starts[line + 1]])
        roads.setdefault(source.names[source.name_numbers[line]], []).append(shape)
    for text, east, south in zip(NAMES.texts, NAMES.east, NAMES.south, strict=True):
        assert shapely.distance(roads[text], shapely.Point(east, south)).min() < 1e-6
    assert set(NAMES.texts) == set(roads)


def test_that_names_run_along_their_roads_and_are_never_upside_down() -> None:
    whole = SHEET.details[0]
    pieces = [
        shapely.LineString([(whole.east[i], whole.south[i]), (whole.east[i + 1], whole.south[i + 1])])
        for line in range(SHEET.source.count)
        for i in range(int(whole.starts[line]), int(whole.starts[line + 1]) - 1)
    ]
    tree = shapely.STRtree(pieces)
    assert (np.abs(NAMES.angles) <= math.pi / 2).all()
    for east, south, angle in list(zip(NAMES.east, NAMES.south, NAMES.angles, strict=True))[:50]:
        ahead = shapely.Point(east + math.cos(angle), south + math.sin(angle))
        assert shapely.distance(ahead, shapely.union_all([pieces[i] for i in tree.query(ahead.buffer(5))])) < 0.1


@pytest.mark.parametrize("step", STEPS)
def test_that_no_name_lies_on_another_nor_on_points_nor_on_lines_of_routes(step: int) -> None:
    layer, sight = _layer(), _sight(step)
    boxes = [box.adjusted(0.01, 0.01, -0.01, -0.01) for box in _boxes(layer, sight).values()]
    assert not [1 for one, other in combinations(boxes, 2) if one.intersects(other)]
    x, y = sight.camera.spots(ROUTES.east, ROUTES.south)
    strings = [shapely.LineString(np.column_stack([x[r], y[r]])) for r in map(ROUTES.rows, range(len(ROUTES.routes)))]
    points = shapely.points(x, y)
    for box in boxes:
        shape = shapely.box(box.left(), box.top(), box.right(), box.bottom())
        assert shapely.distance(shape, points).min() >= DISC_PX * 0.99
        assert min(string.distance(shape) for string in strings) > 0.0


def test_that_roads_are_named_when_near_and_not_from_far() -> None:
    assert _boxes(_layer(), _sight(-24))
    far = Camera(step=-48)
    assert far.scale < LEAST_SCALE
    assert not _boxes(_layer(), _sight(-48))


def test_that_no_name_is_longer_than_its_road_on_the_screen() -> None:
    layer, sight = _layer(), _sight(-24)
    metrics = QFontMetricsF(small(QApplication.font()))
    for name in layer.shown(sight, small(QApplication.font())):
        assert metrics.horizontalAdvance(NAMES.texts[name]) <= NAMES.spans_m[name] * sight.camera.scale


def test_that_the_same_name_does_not_stand_twice_side_by_side() -> None:
    layer, sight = _layer(), _sight(-24)
    shown = _boxes(layer, sight)
    for one, other in combinations(shown, 2):
        if NAMES.texts[one] == NAMES.texts[other]:
            apart: Floats = np.hypot(NAMES.east[one] - NAMES.east[other], NAMES.south[one] - NAMES.south[other])
            assert apart * sight.camera.scale >= REPEATED_PX


def test_that_names_do_not_come_and_go_while_the_map_is_pushed_a_little() -> None:
    layer = _layer()
    before = set(_boxes(layer, _sight(-24)))
    assert set(_boxes(layer, _sight(-24, east=800.0, south=-500.0))) == before
    assert set(_boxes(layer, _sight(-24, east=9_000.0))) != before


def test_that_names_wait_until_the_map_rests() -> None:
    layer, font = _layer(), small(QApplication.font())
    moving = dataclasses.replace(_sight(-24), at_rest=False)
    assert layer.shown(moving, font) == ()
    rested = layer.shown(_sight(-24), font)
    assert rested
    assert layer.shown(dataclasses.replace(_sight(-16), at_rest=False), font) == rested


def test_that_roads_without_names_stay_without() -> None:
    lines = map_lines(NETWORK)
    nameless = dataclasses.replace(lines, names=("",), name_numbers=np.zeros_like(lines.name_numbers))
    assert RoadNames.of(RoadSheet.of(nameless, GROUND)).texts == ()
