"""The legend of a painted plot: samples with their words, in as many lines as the width asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from planner.desktop.look.colours import Colours

_SAMPLE, _GAP, _BETWEEN = 20.0, 5.0, 14.0


@dataclass(frozen=True, slots=True)
class Sample:
    """One entry."""

    words: str
    paint: Callable[[QPainter, QRectF], None]
    """Paints the sample into a box."""

    @classmethod
    def line(cls, words: str, pen: QPen) -> Sample:
        """Return the entry of a line."""

        def paint(painter: QPainter, box: QRectF) -> None:
            painter.setPen(pen)
            painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))

        return cls(words, paint)


def legend_height(samples: Sequence[Sample], width: float, font: QFont) -> float:
    """Return how high a legend is."""
    places = _places(samples, width, QFontMetricsF(font))
    return (places[-1][1] + 1) * _line_height(font) if places else 0.0


def paint_legend(painter: QPainter, samples: Sequence[Sample], corner: QPointF, width: float, colours: Colours) -> None:
    """Paint a legend from its upper left corner."""
    font = painter.font()
    metrics, line = QFontMetricsF(font), _line_height(font)
    for sample, (left, number) in zip(samples, _places(samples, width, metrics), strict=True):
        x, y = corner.x() + left, corner.y() + number * line
        sample.paint(painter, QRectF(x, y, _SAMPLE, metrics.height()))
        painter.setPen(QColor(colours.ink))
        painter.drawText(QPointF(x + _SAMPLE + _GAP, y + metrics.ascent()), sample.words)


def _places(samples: Sequence[Sample], width: float, metrics: QFontMetricsF) -> list[tuple[float, int]]:
    """Return where each entry stands: left, and the line."""
    left, line, places = 0.0, 0, []
    for sample in samples:
        wide = _SAMPLE + _GAP + metrics.horizontalAdvance(sample.words) + _BETWEEN
        if left > 0.0 and left + wide - _BETWEEN > width:
            left, line = 0.0, line + 1
        places.append((left, line))
        left += wide
    return places


def _line_height(font: QFont) -> float:
    return QFontMetricsF(font).height() + 3.0
