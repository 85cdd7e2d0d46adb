from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF

from planner.desktop.map.camera import LEAST_STEP, MOST_STEP, Camera, bounds

CAMERAS = st.builds(
    Camera,
    st.floats(-1e6, 1e6),
    st.floats(-1e6, 1e6),
    st.integers(LEAST_STEP, MOST_STEP),
    st.floats(100, 4000),
    st.floats(100, 4000),
)
SPOTS = st.builds(QPointF, st.floats(0, 4000), st.floats(0, 4000))


@given(CAMERAS, st.integers(-300, 300), SPOTS)
def test_that_zooming_keeps_what_lies_under_the_mouse(camera: Camera, steps: int, spot: QPointF) -> None:
    before, after = camera.metres(spot), camera.zoomed(steps, spot).metres(spot)
    assert after == pytest.approx(before, abs=1e-3)


@given(CAMERAS, SPOTS)
def test_that_a_spot_is_found_again(camera: Camera, spot: QPointF) -> None:
    east, south = camera.metres(spot)
    x, y = camera.spots(np.array([east]), np.array([south]))
    assert (x[0], y[0]) == pytest.approx((spot.x(), spot.y()), abs=1e-3)
    found = camera.spot(east, south)
    assert (found.x(), found.y()) == pytest.approx((x[0], y[0]))


@given(CAMERAS, st.floats(-1e5, 1e5), st.floats(-1e5, 1e5), st.floats(1, 1e5), st.floats(1, 1e5))
def test_that_what_is_fitted_is_seen_and_no_larger_size_would_do(
    camera: Camera, left: float, top: float, wide: float, high: float
) -> None:
    ground = QRectF(left, top, wide, high)
    fitted = camera.fitted(ground, 20.0)
    inside = fitted.seen.adjusted(20 / fitted.scale, 20 / fitted.scale, -20 / fitted.scale, -20 / fitted.scale)
    assert inside.adjusted(-1e-3, -1e-3, 1e-3, 1e-3).contains(ground)
    nearer = fitted.zoomed(1, QPointF(fitted.width / 2, fitted.height / 2))
    room = nearer.width - 40, nearer.height - 40
    too_large = wide * nearer.scale > room[0] or high * nearer.scale > room[1]
    assert too_large or fitted.step == MOST_STEP


@given(CAMERAS, st.floats(-500, 500), st.floats(-500, 500), SPOTS)
def test_that_the_ground_follows_the_hand(camera: Camera, dx: float, dy: float, spot: QPointF) -> None:
    assert camera.moved(dx, dy).metres(spot + QPointF(dx, dy)) == pytest.approx(camera.metres(spot), abs=1e-3)


def test_that_a_camera_of_no_size_does_not_fail() -> None:
    assert Camera().resized(0, 0).fitted(QRectF(0, 0, 0, 0), 36.0).step == MOST_STEP


def test_that_bounds_hold_all_places() -> None:
    assert bounds(np.array([3.0, -1.0]), np.array([5.0, 9.0])) == QRectF(-1, 5, 4, 4)
