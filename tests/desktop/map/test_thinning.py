"""Points and names of a season as they stand at each size; boxes are compared as painted."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication

from planner.desktop.look.colours import LIGHT
from planner.desktop.map import MapHome
from planner.desktop.map.camera import Camera, scale_of
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Ground
from planner.desktop.map.labels import NEW_A_FRAME, LabelLayer, Labels, labels_of
from planner.desktop.map.layers import MarkLayer
from planner.desktop.map.route_layer import RouteLayer
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, Role, Sprites
from planner.desktop.map.thinning import Thinned, rough, thin
from planner.desktop.units import Units
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from tests.desktop.map.maps import LATITUDE, LONGITUDE, RADIUS_M, ROUTES, route

GROUND = Ground(Place(LATITUDE, LONGITUDE))
HOMES = [
    MapHome("V01", "Ann Example", Place(LATITUDE + 0.02, LONGITUDE + 0.06)),
    MapHome("V02", "Ben Example", Place(LATITUDE + 0.0202, LONGITUDE + 0.0602)),
    MapHome("V03", "Cat Example", Place(LATITUDE - 0.05, LONGITUDE)),
]
STEPS = range(-80, 10, 2)
CROWD = tuple(
    route(f"R{number:02d}", 0.02 * math.sin(3.0 * number), 0.03 * math.cos(2.0 * number), points=6, step=0.006)
    for number in range(24)
)


def _sight(step: int, chosen: str = "") -> Sight:
    return Sight(Camera(step=step, width=60_000, height=60_000), LIGHT, Units.METRIC, chosen, None, 1.0)


def _thinned(routes: tuple[Route, ...]) -> tuple[RouteSheet, Labels, Thinned, MarkLayer]:
    sheet = RouteSheet.of(routes, GROUND, RADIUS_M)
    labels = labels_of(sheet, HOMES, GROUND, Sprites(LIGHT, QFont(QApplication.font()), 1.0))
    marks = MarkLayer(sheet, {("R01", 2): Severity.BROKEN, ("R03", None): Severity.DOUBT})
    return sheet, labels, thin(sheet, marks.boxes(), labels), marks


@pytest.fixture(params=[ROUTES, CROWD], ids=["apart", "crowd"])
def season(request: pytest.FixtureRequest) -> tuple[RouteSheet, Labels, Thinned, MarkLayer]:
    return _thinned(request.param)


Season = tuple[RouteSheet, Labels, Thinned, MarkLayer]


def _discs(sheet: RouteSheet, thinned: Thinned, sight: Sight) -> list[tuple[int, QRectF]]:
    rows = RouteLayer(sheet, thinned).disc_rows(np.arange(len(sheet.east)), sight)
    spots = [(row, sight.camera.spot(float(sheet.east[row]), float(sheet.south[row]))) for row in rows.tolist()]
    return [(row, QRectF(s.x() - DISC_PX, s.y() - DISC_PX, 2 * DISC_PX, 2 * DISC_PX)) for row, s in spots]


@pytest.mark.parametrize("step", STEPS)
def test_that_no_name_lies_on_another_nor_on_a_disc(season: Season, step: int) -> None:
    sheet, labels, thinned, _ = season
    sight = _sight(step)
    names = LabelLayer(labels, thinned.names_from, sheet).shown(sight)
    boxes = [box.adjusted(0.01, 0.01, -0.01, -0.01) for box in names.values()]
    assert not [1 for one, other in combinations(boxes, 2) if one.intersects(other)]
    discs = _discs(sheet, thinned, sight)
    assert not [1 for _, disc in discs for box in boxes if box.intersects(disc.adjusted(0.01, 0.01, -0.01, -0.01))]


@pytest.mark.parametrize("step", STEPS)
def test_that_no_name_lies_on_a_mark_of_another_route(season: Season, step: int) -> None:
    sheet, labels, thinned, marks = season
    sight = _sight(step)
    names = LabelLayer(labels, thinned.names_from, sheet).shown(sight)
    boxes = marks.boxes()
    x, y = sight.camera.spots(boxes.east, boxes.south)
    for mark, owner in enumerate(boxes.owners.tolist()):
        wide, high = boxes.half_width[mark], boxes.half_height[mark]
        left, top = x[mark] + boxes.aside[mark] - wide, y[mark] + boxes.below[mark] - high
        rect = QRectF(left, top, 2 * wide, 2 * high).adjusted(0.01, 0.01, -0.01, -0.01)
        others = [name for place, name in names.items() if labels.routes[place] != owner]
        assert not [1 for name in others if name.intersects(rect)]


def test_that_discs_of_a_route_appear_together_where_most_have_room() -> None:
    sheet, _, thinned, _ = _thinned(ROUTES)
    for place in range(len(sheet.routes)):
        firsts = np.sort(thinned.discs_from[sheet.rows(place)])
        assert firsts[0] == pytest.approx(firsts[1])


def test_that_everything_is_shown_in_the_end(season: Season) -> None:
    sheet, labels, thinned, _ = season
    sight = _sight(16)
    assert len(_discs(sheet, thinned, sight)) == len(sheet.east)
    shown = LabelLayer(labels, thinned.names_from, sheet).shown(sight)
    titles = {labels.texts[place] for place in shown}
    assert titles >= {one.title for one in sheet.routes}
    assert "Cat Example" in titles


def test_that_a_title_takes_the_place_of_its_code() -> None:
    sheet, labels, thinned, _ = _thinned(ROUTES)
    layer = LabelLayer(labels, thinned.names_from, sheet)
    for step in STEPS:
        texts = [labels.texts[place] for place in layer.shown(_sight(step))]
        assert not {"R01", ROUTES[0].title} <= set(texts)
    assert "R01" in [labels.texts[place] for place in layer.shown(_sight(-80))]


def test_that_homes_side_by_side_are_not_named_until_they_come_apart() -> None:
    sheet, labels, thinned, _ = _thinned(ROUTES)
    layer = LabelLayer(labels, thinned.names_from, sheet)

    def named(step: int) -> set[str]:
        return {labels.texts[place] for place in layer.shown(_sight(step))}

    assert not {"Ann Example", "Ben Example"} & named(-24)
    assert {"Ann Example", "Ben Example"} <= named(16)


def test_that_a_name_that_is_not_shown_keeps_no_disc_away() -> None:
    beside = Place(HOMES[0].place.latitude - 0.0015, HOMES[0].place.longitude)
    lone = Route("R08", "Beside the homes", (Point(1, beside), Point(2, Place(LATITUDE + 0.06, LONGITUDE + 0.06))))
    sheet, labels, thinned, _ = _thinned((*ROUTES, lone))
    row = sheet.row("R08", 1)
    assert row is not None
    assert thinned.discs_from[row] == pytest.approx(thinned.discs_from[row + 1])
    assert thinned.names_from[labels.texts.index("Ann Example")] > thinned.discs_from[row]


def test_that_the_selected_route_is_always_named_and_in_full_where_that_has_room() -> None:
    sheet, labels, thinned, _ = _thinned(CROWD)
    layer = LabelLayer(labels, thinned.names_from, sheet)
    for step in STEPS:
        shown = layer.shown(_sight(step, chosen="R07"))
        place = list(shown)[-1]
        assert labels.texts[place] == ("R07 R07 Heath" if _has_room(labels, thinned, step) else "R07")
        assert not [1 for other, box in shown.items() if other != place and box.intersects(shown[place])]


def _has_room(labels: Labels, thinned: Thinned, step: int) -> bool:
    return bool(thinned.names_from[labels.texts.index("R07 R07 Heath")] <= scale_of(step))


def test_that_names_keep_off_what_stands_on_the_glass() -> None:
    sheet, labels, thinned, _ = _thinned(ROUTES)
    layer = LabelLayer(labels, thinned.names_from, sheet)
    sight = _sight(-20)
    box = next(iter(layer.shown(sight).values()))
    kept = Sight(sight.camera, LIGHT, Units.METRIC, "", None, 1.0, kept_free=(box,))
    assert box not in layer.shown(kept).values()


def test_that_new_names_come_a_few_in_a_frame_while_the_map_moves() -> None:
    sheet, labels, thinned, _ = _thinned(CROWD)
    layer, sprites = LabelLayer(labels, thinned.names_from, sheet), Sprites(LIGHT, QApplication.font(), 1.0)
    moving = replace(_sight(16), at_rest=False)
    shown = [labels.texts[place] for place in layer.shown(moving)]
    assert len(shown) > NEW_A_FRAME

    def painted() -> int:
        return sum(sprites.has_label(text, role) for text in shown for role in (Role.USUAL, Role.HOME))

    picture = QImage(10, 10, QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    layer.paint(painter, moving, sprites)
    assert painted() == NEW_A_FRAME
    layer.paint(painter, _sight(16), sprites)
    assert painted() == len(shown)
    painter.end()


def test_that_dots_stand_at_once_and_discs_wait() -> None:
    sheet = RouteSheet.of(ROUTES, GROUND, RADIUS_M)
    thinned = rough(sheet)
    scale = scale_of(-8)
    assert (thinned.dots_from <= scale).all()
    assert not (thinned.discs_from <= scale).any()


def test_that_routes_of_one_point_and_of_none_are_laid_out() -> None:
    place = Place(LATITUDE, LONGITUDE)
    routes = (Route("R01", "", (Point(1, place),)), Route("R09", "Empty", ()), ROUTES[1])
    _, labels, thinned, _ = _thinned(routes)
    assert len(thinned.discs_from) == 5
    assert "R09" not in labels.texts
    assert (thinned.discs_from < math.inf).all()
