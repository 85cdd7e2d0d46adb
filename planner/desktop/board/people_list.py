"""The list of people for one visit: choose one by key or mouse, or drop a visit onto one."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPixmap
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from planner.desktop.board.people_model import PeopleModel, PeopleRole
from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.usecases.plan.proposing import Candidate

Index = QModelIndex | QPersistentModelIndex
_PAD = 6
_MARK = 16
MOST_LINES = 4
"""Of a verdict; the tool tip has the rest."""


class PeopleDelegate(QStyledItemDelegate):
    """Who, and below it the verdict in a quieter colour."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        super().__init__(parent)
        self._desk = desk

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room for the person and the lines of the verdict."""
        width = max(option.rect.width() - 3 * _PAD - _MARK, 80)
        room = QRect(0, 0, width, MOST_LINES * option.fontMetrics.lineSpacing())
        said = option.fontMetrics.boundingRect(room, int(Qt.TextFlag.TextWordWrap), index.data(PeopleRole.SAID))
        return QSize(120, option.fontMetrics.lineSpacing() + min(said.height(), room.height()) + 2 * _PAD)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the mark, the person and the verdict."""
        self.initStyleOption(option, index)
        rect, palette, metrics = option.rect, option.palette, option.fontMetrics
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if chosen:
            painter.fillRect(rect, palette.highlight())
        mark = index.data(Qt.ItemDataRole.DecorationRole)
        if isinstance(mark, QPixmap):
            painter.drawPixmap(QRect(rect.left() + _PAD, rect.top() + _PAD, _MARK, _MARK), mark)
        words = rect.adjusted(2 * _PAD + _MARK, _PAD, -_PAD, -_PAD)
        painter.setPen((palette.highlightedText() if chosen else palette.text()).color())
        name = metrics.elidedText(index.data(), Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft, name)
        if not chosen:
            painter.setPen(QColor(self._desk.colours.quiet))
        below = words.adjusted(0, metrics.lineSpacing(), 0, 0)
        painter.drawText(below, int(Qt.TextFlag.TextWordWrap), index.data(PeopleRole.SAID))
        painter.restore()


class PeopleList(QListView):
    """People who could go, those who fit first."""

    chosen = Signal(object)
    """The Candidate that was chosen."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.people = PeopleModel(desk, self)
        self.setModel(self.people)
        self.setItemDelegate(PeopleDelegate(desk, self))
        self.setAccessibleName(tr("People who could go"))
        self.setAccessibleDescription(tr("Enter gives the visit to the person."))
        self.setMinimumHeight(120)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.doubleClicked.connect(self._choose)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with Enter; all else as in every list."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._choose(self.currentIndex())
            return
        super().keyPressEvent(event)

    def code_at(self, place: QPoint) -> str:
        """Return the code of the person under a place on the screen, who is marked; empty where there is none."""
        inside = self.viewport().mapFromGlobal(place)
        index = self.indexAt(inside) if self.viewport().rect().contains(inside) else QModelIndex()
        self.setCurrentIndex(index)
        return str(index.data(PeopleRole.CODE)) if index.isValid() else ""

    def _choose(self, index: Index) -> None:
        one: Candidate = self.people.candidates[index.row()]
        self.chosen.emit(one)
