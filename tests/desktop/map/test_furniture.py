"""The scale bar, measured by PROJ's geodesics."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QApplication

from planner.desktop.look.colours import LIGHT
from planner.desktop.map.camera import LEAST_STEP, MOST_STEP, Camera
from planner.desktop.map.drawing import Sight
from planner.desktop.map.furniture import BAR_PX, Furniture, bar_length
from planner.desktop.map.ground import Ground
from planner.desktop.units import Units
from planner.domain.geo import Place

GEOD = Geod(ellps="WGS84")
METRES = {"m": 1.0, "km": 1000.0, "ft": 0.3048, "mi": 1609.344}


def _sight(camera: Camera, units: Units) -> Sight:
    return Sight(camera, LIGHT, units, "", None, 1.0)


@given(st.floats(-65, 65), st.integers(-60, MOST_STEP), st.sampled_from(list(Units)))
def test_that_the_bar_is_as_long_as_it_says(latitude: float, step: int, units: Units) -> None:
    ground = Ground(Place(50.0, 10.0))
    east, south = ground.spot(Place(latitude, 10.0))
    camera = Camera(east, south, step, 800, 600)
    furniture = Furniture(ground, "", QApplication.font())
    pixels, words = furniture.bar(_sight(camera, units))
    ends = [ground.place(*camera.metres(QPointF(400 + side * pixels / 2, 300))) for side in (-1, 1)]
    metres = GEOD.inv(ends[0].longitude, ends[0].latitude, ends[1].longitude, ends[1].latitude)[2]
    count, unit = words.split()
    assert metres == pytest.approx(float(count) * METRES[unit], rel=0.003)


@given(st.integers(LEAST_STEP, MOST_STEP), st.sampled_from(list(Units)))
def test_that_the_bar_is_a_round_figure_that_fits(step: int, units: Units) -> None:
    most_m = BAR_PX / 2.0 ** (step / 8)
    metres, words = bar_length(most_m, units)
    assert most_m / 5.0 <= metres <= most_m * 1.0001
    assert float(words.split()[0]) == pytest.approx(metres / METRES[words.split()[1]])
    digits = f"{float(words.split()[0]):e}"
    assert digits[0] in "125"
    assert set(digits[1:8]) <= set(".0")


def test_that_north_bar_and_attribution_lie_side_by_side() -> None:
    furniture = Furniture(Ground(Place(50.0, 10.0)), "© somebody who drew the roads", QApplication.font())
    boxes = furniture.boxes(_sight(Camera(width=500, height=300), Units.IMPERIAL))
    assert len(boxes) == 3
    assert not [1 for i, box in enumerate(boxes) for other in boxes[i + 1 :] if box.intersects(other)]
    assert all(box.left() >= 0 and box.right() <= 500 and box.bottom() <= 300 for box in boxes)
