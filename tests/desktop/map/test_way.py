"""The way of an outing: arrows in its direction, and the order of counting in words."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from planner.desktop.look.colours import LIGHT
from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Ground
from planner.desktop.map.layers import ARROWS_EVERY_PX, OrderLayer, arrows
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, Role, Sprites
from planner.desktop.units import Units
from planner.domain.geo import Place
from tests.desktop.map.maps import LATITUDE, LONGITUDE, route

FRAME = QRectF(0, 0, 800, 600)
CORNERS = st.lists(st.tuples(st.integers(0, 800), st.integers(0, 600)), min_size=2, max_size=8, unique=True)


@given(CORNERS)
def test_that_arrows_lie_on_the_way_and_point_along_it(corners: list[tuple[int, int]]) -> None:
    x, y = np.array(corners, dtype=np.float64).T
    for spot, angle in arrows(x, y, (x, y), FRAME):
        pieces = [
            math.atan2(y2 - y1, x2 - x1)
            for x1, y1, x2, y2 in zip(x[:-1], y[:-1], x[1:], y[1:], strict=True)
            if _away(spot.x(), spot.y(), (x1, y1, x2, y2)) < 1e-6
        ]
        assert any(abs(math.remainder(angle - piece, 2 * math.pi)) < 1e-9 for piece in pieces)
        assert np.hypot(x - spot.x(), y - spot.y()).min() > DISC_PX
        assert FRAME.contains(spot)


def _away(x: float, y: float, piece: tuple[float, float, float, float]) -> float:
    x1, y1, x2, y2 = piece
    long = math.hypot(x2 - x1, y2 - y1)
    share = min(max(((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / long**2, 0.0), 1.0)
    return math.hypot(x - x1 - share * (x2 - x1), y - y1 - share * (y2 - y1))


def test_that_every_gap_between_discs_with_room_has_an_arrow() -> None:
    x, y = np.arange(100.0, 700.0, 55.0), np.full(11, 300.0)
    found = arrows(x, y, (x, y), FRAME)
    gaps = {int((spot.x() - 100.0) // 55.0) for spot, _ in found}
    assert gaps == set(range(10))
    assert all(angle == 0.0 for _, angle in found)


def test_that_arrows_do_not_crowd() -> None:
    x, y = np.array([0.0, 800.0]), np.array([300.0, 300.0])
    across = [spot.x() for spot, _ in arrows(x, y, (np.empty(0), np.empty(0)), FRAME)]
    assert np.diff(across).min() >= ARROWS_EVERY_PX - 1e-6
    assert len(across) > 10


def test_that_a_way_that_does_not_move_has_no_arrow() -> None:
    still = np.array([5.0, 5.0])
    assert arrows(still, still, (np.empty(0), np.empty(0)), FRAME) == []


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ([1, 2, 3, 4], {"start": 1, "end": 4}),
        ([4, 3, 2, 1], {"start": 4, "end": 1}),
        ([2, 1, 3, 4], {"start": 2, "2.": 1, "3.": 3, "end": 4}),
        ([3], {"start": 3}),
    ],
)
def test_that_start_end_and_turns_are_said(order: list[int], expected: dict[str, int]) -> None:
    ground = Ground(Place(LATITUDE, LONGITUDE))
    sheet = RouteSheet.of([route("R01", 0.0, 0.0)], ground, None)
    layer = OrderLayer(sheet, [number - 1 for number in order])
    sprites = Sprites(LIGHT, QApplication.font(), 1.0)
    picture = QImage(800, 600, QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    layer.paint(painter, Sight(Camera(), LIGHT, Units.METRIC, "", None, 1.0), sprites)
    painter.end()
    for words in ("start", "end", "1.", "2.", "3.", "4."):
        assert sprites.has_label(words, Role.USUAL) is (words in expected)
