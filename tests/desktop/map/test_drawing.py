"""Many lines drawn the quick way look as Qt draws them one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPolygonF

from planner.desktop.map.drawing import FEW, corners_of, draw_lines, lines_path
from planner.desktop.map.ground import Floats, Ints

SIDE = 300


def _strewn(count: int) -> tuple[Floats, Floats, Ints]:
    dice = np.random.default_rng(4)
    x = dice.uniform(10, SIDE - 10, (count, 1)) + np.cumsum(dice.normal(0, 9, (count, 3)), axis=1)
    y = dice.uniform(10, SIDE - 10, (count, 1)) + np.cumsum(dice.normal(0, 9, (count, 3)), axis=1)
    return x.ravel(), y.ravel(), np.full(count, 3, dtype=np.int64)


def _blank(ratio: float) -> tuple[QImage, QPainter]:
    image = QImage(round(SIDE * ratio), round(SIDE * ratio), QImage.Format.Format_Grayscale8)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(ratio, ratio)
    return image, painter


def _ink(image: QImage) -> Floats:
    rows = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(image.height(), image.bytesPerLine())
    return 1.0 - rows[:, : image.width()].astype(np.float64) / 255.0


def _pen(width: float) -> QPen:
    return QPen(QColor("black"), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("width", [1.0, 1.6, 2.4, 5.0])
@pytest.mark.parametrize("count", [FEW, FEW + 20])
def test_that_lines_have_the_ink_they_have_one_by_one(ratio: float, width: float, count: int) -> None:
    x, y, counts = _strewn(count)
    quick, painter = _blank(ratio)
    draw_lines(painter, _pen(width), x, y, counts, ratio)
    painter.end()
    plain, painter = _blank(ratio)
    painter.setPen(_pen(width))
    for line in range(count):
        span = slice(3 * line, 3 * line + 3)
        painter.drawPolyline(QPolygonF([QPointF(a, b) for a, b in zip(x[span], y[span], strict=True)]))
    painter.end()
    found, expected = _ink(quick), _ink(plain)
    assert found.sum() == pytest.approx(expected.sum(), rel=0.2)
    assert np.abs(found - expected).mean() < 0.3 * expected.mean()


def test_that_a_dash_stays_as_long_when_lines_are_drawn_side_by_side() -> None:
    x = np.tile([10.0, 290.0], 120)
    y = np.repeat(np.linspace(10, 290, 120), 2)
    pen = _pen(1.5)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([10.0, 10.0])
    image, painter = _blank(1.0)
    draw_lines(painter, pen, x, y, np.full(120, 2, dtype=np.int64), 1.0)
    painter.end()
    inked = (_ink(image)[10] > 0.3).astype(np.int64)
    lengths = np.diff(np.flatnonzero(np.diff(inked)))
    assert np.median(lengths) == pytest.approx(15.0, abs=1.5)


@given(st.lists(st.integers(2, 5), min_size=1, max_size=6), st.data())
def test_that_a_path_has_all_corners_of_the_lines_chosen(counts: list[int], data: st.DataObject) -> None:
    starts = np.cumsum([0, *counts], dtype=np.int64)
    lines = data.draw(st.lists(st.sampled_from(range(len(counts))), min_size=1, max_size=6, unique=True))
    rows, found = corners_of(np.array(lines, dtype=np.int64), starts)
    assert rows.tolist() == [row for line in lines for row in range(starts[line], starts[line + 1])]
    assert found.tolist() == [counts[line] for line in lines]
    x, y = rows.astype(np.float64), rows.astype(np.float64) ** 2
    path = lines_path(x, y, found)
    polygons = path.toSubpathPolygons()
    corners = [[(corner.x(), corner.y()) for corner in polygon.toList()] for polygon in polygons]
    assert corners == [[(float(r), float(r) ** 2) for r in range(starts[i], starts[i + 1])] for i in lines]


def test_that_no_lines_make_an_empty_path() -> None:
    nothing = np.empty(0)
    assert lines_path(nothing, nothing, np.empty(0, dtype=np.int64)).isEmpty()
