"""Paints a finding: its mark and word, what it is about, and below that what is so and what to do."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import paint_mark
from planner.desktop.season.findings_model import FINDING_ROLE
from planner.desktop.season.words import said_of, severity_word
from planner.domain.finding import Finding

Index = QModelIndex | QPersistentModelIndex
_PAD, _MARK = 7, 16
_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class FindingDelegate(QStyledItemDelegate):
    """A row as high as its words need at the width of the view."""

    def __init__(self, view: QAbstractItemView, colours: Colours, parent: QObject) -> None:
        super().__init__(parent)
        self.colours = colours
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As wide as the view, as high as the words."""
        finding: Finding = index.data(FINDING_ROLE)
        width = self._view.viewport().width()
        metrics = QFontMetrics(option.font)
        words = metrics.boundingRect(QRect(0, 0, self._words_width(width), 10_000), _WRAP, said_of(finding))
        return QSize(width, metrics.height() + words.height() + 2 * _PAD)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one finding."""
        finding: Finding = index.data(FINDING_ROLE)
        box, chosen = option.rect, bool(option.state & QStyle.StateFlag.State_Selected)
        over = bool(option.state & QStyle.StateFlag.State_MouseOver)
        painter.save()
        if chosen:
            painter.fillRect(box, QColor(self.colours.selection))
        elif over:
            painter.fillRect(box, QColor(self.colours.raised))
        mark = QRectF(box.left() + _PAD, box.top() + _PAD, _MARK, _MARK)
        paint_mark(painter, mark, finding.severity, self.colours)
        self._paint_head(painter, option, finding, ink=self._ink(finding, chosen=chosen))
        painter.setFont(option.font)
        painter.setPen(QColor(self.colours.on_selection if chosen else self.colours.ink))
        line = QFontMetrics(option.font).height()
        words = QRect(box.left() + _left(), box.top() + _PAD + line, self._words_width(box.width()), box.height())
        painter.drawText(words, _WRAP, said_of(finding))
        painter.setPen(QPen(QColor(self.colours.line), 1.0))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(self.colours.focus), 2.0))
            painter.drawRect(box.adjusted(1, 1, -2, -2))
        painter.restore()

    def _paint_head(self, painter: QPainter, option: QStyleOptionViewItem, finding: Finding, *, ink: QColor) -> None:
        """Write the severity in its colour, and what it is about in bold."""
        bold = QFont(option.font)
        bold.setBold(True)
        painter.setFont(bold)
        metrics = QFontMetrics(bold)
        word = severity_word(finding.severity)
        top, left = option.rect.top() + _PAD, option.rect.left() + _left()
        painter.setPen(ink)
        painter.drawText(left, top + metrics.ascent(), word)
        painter.setPen(QColor(self.colours.ink) if ink.name() != self.colours.on_selection else ink)
        after = left + metrics.horizontalAdvance(word) + 10
        subject = metrics.elidedText(
            str(finding.subject), Qt.TextElideMode.ElideRight, option.rect.right() - after - _PAD
        )
        painter.drawText(after, top + metrics.ascent(), subject)

    def _ink(self, finding: Finding, *, chosen: bool) -> QColor:
        return QColor(self.colours.on_selection if chosen else self.colours.severity(finding.severity))

    def _words_width(self, width: int) -> int:
        return max(width - _left() - _PAD, 40)


def _left() -> int:
    return _PAD + _MARK + 8
