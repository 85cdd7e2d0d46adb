"""The visits of somebody as a bar: filled as far as planned, as long as offered, with a stroke at an even share."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QApplication, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import paint_mark
from planner.desktop.people.table_model import ROW_ROLE, Column, Index
from planner.usecases.people.load import LoadWord, PersonLoad, PersonRow

_MARK = 16
_BAR_HEIGHT, _ARROW, _GAP = 8.0, 8.0, 6.0
_UP = frozenset({LoadWord.MORE, LoadWord.BEYOND})
_DOWN = frozenset({LoadWord.LESS, LoadWord.IDLE})


class LoadDelegate(QStyledItemDelegate):
    """Paints the mark of the findings and the bar of the visits; every other cell as usual."""

    def __init__(self, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.colours = colours

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        row, column = index.data(ROW_ROLE), index.column()
        if not isinstance(row, PersonRow) or column not in (Column.MARK, Column.VISITS):
            super().paint(painter, option, index)
            return
        ground = QStyleOptionViewItem(option)
        self.initStyleOption(ground, index)
        ground.text = ""
        QApplication.style().drawControl(QStyle.ControlElement.CE_ItemViewItem, ground, painter)
        rect = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if column == Column.VISITS:
            selected = bool(option.state & QStyle.StateFlag.State_Selected)
            self._paint_load(
                painter, rect, row.load, QColor(self.colours.on_selection if selected else self.colours.ink)
            )
        elif row.worst is not None:
            middle = rect.center()
            box = QRectF(middle.x() - _MARK / 2, middle.y() - _MARK / 2, _MARK, _MARK)
            paint_mark(painter, box, row.worst, self.colours)
        painter.restore()

    def _paint_load(self, painter: QPainter, rect: QRectF, load: PersonLoad, ink: QColor) -> None:
        text = f"{load.planned} / {load.limit}"
        words = painter.fontMetrics().horizontalAdvance("00 / 00")
        painter.setPen(ink)
        painter.drawText(rect.adjusted(_GAP, 0, 0, 0), int(Qt.AlignmentFlag.AlignVCenter), text)
        left = rect.left() + words + 2 * _GAP
        room = rect.right() - left - _ARROW - 2 * _GAP
        if room > 0 and max(load.limit, load.planned):
            bar = QRectF(left, rect.center().y() - _BAR_HEIGHT / 2, room, _BAR_HEIGHT)
            self._paint_bar(painter, bar, load, ink)
        _paint_arrow(painter, QRectF(rect.right() - _ARROW - _GAP, rect.center().y() - 4, _ARROW, 8), load.word, ink)

    def _paint_bar(self, painter: QPainter, bar: QRectF, load: PersonLoad, ink: QColor) -> None:
        unit = bar.width() / max(load.limit, load.planned)
        painter.setPen(QPen(ink, 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(bar.left(), bar.top(), unit * load.limit, bar.height()))
        painter.fillRect(
            QRectF(bar.left(), bar.top(), unit * min(load.planned, load.limit), bar.height()),
            QColor(self.colours.accent),
        )
        beyond = load.planned - load.limit
        if beyond > 0:
            over = QRectF(bar.left() + unit * load.limit, bar.top() - 2, unit * beyond, bar.height() + 4)
            painter.fillRect(over, QColor(self.colours.trouble))
        share = bar.left() + unit * load.share
        painter.setPen(QPen(ink, 2))
        painter.drawLine(QPointF(share, bar.top() - 4), QPointF(share, bar.bottom() + 4))


def _paint_arrow(painter: QPainter, box: QRectF, word: LoadWord, ink: QColor) -> None:
    """Paint whether somebody stands above or below an even share: a triangle up or down."""
    if word not in _UP | _DOWN:
        return
    tip, foot = (box.top(), box.bottom()) if word in _UP else (box.bottom(), box.top())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawPolygon(
        QPolygonF([QPointF(box.center().x(), tip), QPointF(box.left(), foot), QPointF(box.right(), foot)])
    )
