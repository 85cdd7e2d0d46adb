"""Bars side by side or in parts, with their words: painted in the palette, and told to whoever cannot see them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.reports.fills import Fill

_BAR, _BETWEEN, _ROW_GAP, _PAD = 16, 3, 9, 8
_LEAST_WIDTH = 300
_MOST_LABEL = 0.36
"""Of the width, for the names of rows."""
_KEY = 22
"""Width of a sample in the legend."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a bar."""

    share: float
    """Of the width of the whole plot, 0 to 1."""
    fill: Fill
    code: str = ""
    """Stands in the part where there is room."""


@dataclass(frozen=True, slots=True)
class Bar:
    """Parts side by side."""

    parts: tuple[Part, ...]
    said: str
    """The figure at its end."""
    name: str = ""
    """What tells it from the other bars of its row."""


@dataclass(frozen=True, slots=True)
class Row:
    """Bars under one name."""

    label: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """All that is painted."""

    rows: tuple[Row, ...] = ()
    legend: tuple[tuple[str, Fill], ...] = ()


class Bars(QWidget):
    """Paints a plot as wide as there is room, and as high as it needs."""

    def __init__(self, name: str, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._plot = Plot()
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def plot(self) -> Plot:
        """What is painted."""
        return self._plot

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.update()

    def show_plot(self, plot: Plot) -> None:
        """Paint another plot."""
        self._plot = plot
        said = "; ".join(
            f"{row.label} {bar.name} {bar.said}".replace("  ", " ") for row in plot.rows for bar in row.bars
        )
        self.setAccessibleDescription(said)
        self.updateGeometry()
        self.update()

    def hasHeightForWidth(self) -> bool:  # Qt's name
        """The legend takes more lines where there is less room."""
        return True

    def heightForWidth(self, width: int) -> int:  # Qt's name
        """Return the height that all rows need."""
        bars = sum(self._row_height(row) + _ROW_GAP for row in self._plot.rows)
        return round(self._legend_height(width) + bars + 2 * _PAD)

    def sizeHint(self) -> QSize:  # Qt's name
        """Return what it would like to have."""
        return QSize(_LEAST_WIDTH * 2, self.heightForWidth(_LEAST_WIDTH * 2))

    def minimumSizeHint(self) -> QSize:  # Qt's name
        """Return what it cannot do without."""
        return QSize(_LEAST_WIDTH, self.heightForWidth(max(self.width(), _LEAST_WIDTH)))

    def paintEvent(self, event: QPaintEvent) -> None:  # Qt's name
        """Paint the legend, then the rows that are to be seen."""
        painter = QPainter(self)
        painter.setFont(self.font())
        top = _PAD + self._paint_legend(painter)
        for row in self._plot.rows:
            height = self._row_height(row)
            if top + height >= event.rect().top() and top <= event.rect().bottom():
                self._paint_row(painter, row, top)
            top += height + _ROW_GAP
        painter.end()

    def _row_height(self, row: Row) -> float:
        return max(len(row.bars) * (self._bar_height + _BETWEEN), float(self.fontMetrics().height()))

    @property
    def _bar_height(self) -> float:
        return max(float(_BAR), float(self.fontMetrics().height()))

    def _legend_places(self, width: int) -> list[tuple[float, int]]:
        """Return where each entry stands: left, and the line."""
        left, line, places = 0.0, 0, []
        for words, _ in self._plot.legend:
            wide = _KEY + 6 + self.fontMetrics().horizontalAdvance(words) + 18
            if left > 0 and left + wide > width:
                left, line = 0.0, line + 1
            places.append((left, line))
            left += wide
        return places

    def _legend_height(self, width: int) -> float:
        places = self._legend_places(width)
        return (places[-1][1] + 1) * (self.fontMetrics().height() + 4) + _ROW_GAP if places else 0.0

    def _paint_legend(self, painter: QPainter) -> float:
        metrics, line = self.fontMetrics(), self.fontMetrics().height() + 4
        for (words, fill), (left, number) in zip(self._plot.legend, self._legend_places(self.width()), strict=True):
            top = _PAD + number * line
            fill.paint(painter, QRectF(left, top + 2, _KEY, metrics.height() - 3), self._colours)
            painter.setPen(QColor(self._colours.ink))
            painter.drawText(QPointF(left + _KEY + 6, top + metrics.ascent()), words)
        return self._legend_height(self.width())

    def _paint_row(self, painter: QPainter, row: Row, top: float) -> None:
        metrics = self.fontMetrics()
        label = self._label_width
        painter.setPen(QColor(self._colours.ink))
        shown = metrics.elidedText(row.label, Qt.TextElideMode.ElideRight, label)
        painter.drawText(QPointF(0, top + metrics.ascent() + 1), shown)
        names, said = self._name_width, self._said_width
        left = label + 10 + (names + 6 if names else 0)
        room = QRectF(left, top, max(self.width() - left - said - 8, 20), self._bar_height)
        for bar in row.bars:
            painter.setPen(QColor(self._colours.quiet))
            baseline = room.top() + metrics.ascent() + 1
            if bar.name:
                painter.drawText(QPointF(label + 10, baseline), bar.name)
            painter.drawText(QPointF(room.right() + 8, baseline), bar.said)
            self._paint_bar(painter, bar, room)
            room.translate(0, self._bar_height + _BETWEEN)

    def _paint_bar(self, painter: QPainter, bar: Bar, room: QRectF) -> None:
        painter.fillRect(QRectF(room.left(), room.bottom() - 1, room.width(), 1), QColor(self._colours.line))
        left = room.left()
        for part in bar.parts:
            if part.share > 0.0:
                wide = max(room.width() * part.share, 2.0)
                box = QRectF(left, room.top() + 1, min(wide, room.right() - left), room.height() - 2)
                part.fill.paint(painter, box, self._colours)
                self._paint_code(painter, part.code, box)
                left += wide

    def _paint_code(self, painter: QPainter, code: str, box: QRectF) -> None:
        """Write the code of a part on a plate in its middle, where both fit."""
        wide = self.fontMetrics().horizontalAdvance(code) + 6
        if not code or wide + 4 > box.width():
            return
        plate = QRectF(box.center().x() - wide / 2, box.top() + 1, wide, box.height() - 2)
        painter.fillRect(plate, QColor(self._colours.surface))
        painter.setPen(QColor(self._colours.ink))
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, code)

    @property
    def _label_width(self) -> int:
        return min(self._widest([row.label for row in self._plot.rows]), round(self.width() * _MOST_LABEL))

    @property
    def _name_width(self) -> int:
        return self._widest([bar.name for row in self._plot.rows for bar in row.bars])

    @property
    def _said_width(self) -> int:
        return self._widest([bar.said for row in self._plot.rows for bar in row.bars])

    def _widest(self, words: Sequence[str]) -> int:
        # Qt cuts words that fill their room to the last pixel.
        return max((self.fontMetrics().horizontalAdvance(one) + 2 for one in dict.fromkeys(words) if one), default=0)
