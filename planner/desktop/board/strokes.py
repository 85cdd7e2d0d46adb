"""The pens, brushes and fonts of the board in one palette, made once and not for each cell."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap

from planner.desktop.look.colours import Colours


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """What the board is painted with."""

    colours: Colours
    surface: QColor
    weekend: QColor
    band: QColor
    """Of a visit's dates, where words stand on it."""
    veil: QColor
    """The same, but what lies below shines through."""
    group: QColor
    hatch: QBrush
    line: QPen
    edge: QPen
    ink: QPen
    quiet: QPen
    accent: QPen
    on_accent: QPen
    focus: QPen
    dashed: QPen
    ghost: QPen
    planned: QBrush
    confirmed: QBrush
    done: QBrush
    font: QFont
    small: QFont
    bold: QFont

    @classmethod
    def of(cls, colours: Colours, font: QFont, ratio: float) -> Strokes:
        """Return the strokes of a palette, in a font's size, for a screen of that many pixels a point."""
        surface, accent, ink = QColor(colours.surface), QColor(colours.accent), QColor(colours.ink)
        return cls(
            colours=colours,
            surface=surface,
            weekend=mixed(surface, QColor(colours.line), 0.35),
            band=mixed(surface, accent, 0.18 if colours.dark else 0.16),
            veil=_thin(accent, 0.18 if colours.dark else 0.16),
            group=QColor(colours.raised),
            hatch=_hatch(mixed(surface, ink, 0.5 if colours.dark else 0.4), ratio),
            line=QPen(QColor(colours.line), 1),
            edge=QPen(mixed(QColor(colours.edge), ink, 0.25), 1.2),
            ink=QPen(ink),
            quiet=QPen(QColor(colours.quiet)),
            accent=QPen(accent, 1.4),
            on_accent=QPen(QColor(colours.on_accent)),
            focus=QPen(QColor(colours.focus), 2),
            dashed=_dashed(QColor(colours.accent), 1.4),
            ghost=_dashed(mixed(QColor(colours.edge), ink, 0.25), 1.4),
            planned=QBrush(QColor(colours.selection)),
            confirmed=QBrush(accent),
            done=QBrush(mixed(surface, QColor(colours.good), 0.22)),
            font=_sized(font, 0.92),
            small=_sized(font, 0.78),
            bold=_sized(font, 0.92, bold=True),
        )


def mixed(one: QColor, other: QColor, share: float) -> QColor:
    """Return a colour that lies a share of the way from one to the other."""
    return QColor(
        *(
            round(a + (b - a) * share)
            for a, b in ((one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue()))
        )
    )


def width_of(font: QFont, text: str) -> float:
    """Return how wide a text is in a font; the same few texts are asked for at each frame."""
    return _width(font.family(), font.pointSizeF(), font.bold(), text)


@lru_cache(maxsize=8_192)
def _width(family: str, points: float, bold: bool, text: str) -> float:  # what a font differs by
    font = QFont(family)
    font.setPointSizeF(points)
    font.setBold(bold)
    return QFontMetricsF(font).horizontalAdvance(text)


def paint_pin(painter: QPainter, box: QRectF, strokes: Strokes) -> None:
    """Paint a pin into a small square: its head, and the needle."""
    path = QPainterPath()
    middle, unit = box.center().x(), box.width() / 8
    path.addEllipse(QRectF(middle - 2.6 * unit, box.top(), 5.2 * unit, 5.2 * unit))
    path.addRect(QRectF(middle - 0.6 * unit, box.top() + 5 * unit, 1.2 * unit, 3 * unit))
    painter.fillPath(path, strokes.ink.color())
    painter.strokePath(path, QPen(strokes.surface, 0.8))


def _thin(colour: QColor, share: float) -> QColor:
    made = QColor(colour)
    made.setAlphaF(share)
    return made


def _sized(font: QFont, scale: float, *, bold: bool = False) -> QFont:
    made = QFont(font)
    made.setPointSizeF(max(font.pointSizeF() * scale, 6.0))
    made.setBold(bold)
    return made


def _dashed(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setDashPattern([2.5, 2.0])
    return pen


def _hatch(colour: QColor, ratio: float) -> QBrush:
    """Return slanting lines, as a picture that is laid side by side: far cheaper than lines drawn one by one."""
    size = 8
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, 1.0))
    for shift in (-size, 0, size):
        painter.drawLine(shift, size, shift + size, 0)
    painter.end()
    return QBrush(pixmap)
