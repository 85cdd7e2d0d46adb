"""The rooms at the left, each with its icon and the count of what is open there."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.look.marks import paint_mark
from planner.desktop.room import OpenFindings, RoomName
from planner.desktop.window.rooms import room_title

ROW, ICON, GAP = 46, 24, 12
_OPEN = Qt.ItemDataRole.UserRole + 1


class RoomList(QListView):
    """The way from room to room."""

    chosen = Signal(object)
    """The RoomName that was gone to, by mouse or keyboard."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._is_told = False
        """Whether the room is being marked, and not chosen by a person."""
        self._rows = QStandardItemModel(self)
        for _ in RoomName:
            item = QStandardItem()
            item.setEditable(False)
            self._rows.appendRow(item)
        self.setModel(self._rows)
        self.setItemDelegate(_RoomDelegate(self))
        self.setAccessibleName(self.tr("Rooms"))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("rooms", "true")
        self.set_open({})
        self.set_colours(colours)
        self.selectionModel().currentChanged.connect(self._current_changed)

    @property
    def colours(self) -> Colours:
        """The palette it is painted in."""
        return self._colours

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        for row, name in enumerate(RoomName):
            self._rows.item(row).setIcon(icon(name.value, colours))

    def set_open(self, found: Mapping[RoomName, OpenFindings]) -> None:
        """Show how much is open in each room."""
        for row, name in enumerate(RoomName):
            item, here = self._rows.item(row), found.get(name)
            item.setText(room_title(name))
            item.setData(here, _OPEN)
            item.setData(self._spoken(name, here), Qt.ItemDataRole.AccessibleTextRole)
            item.setToolTip(self._tip(row, name, here))
        self.setFixedWidth(max(self.sizeHintForColumn(0) + 6, 150))

    def show_current(self, name: RoomName) -> None:
        """Mark the room that is shown."""
        index = self._rows.index(list(RoomName).index(name), 0)
        if index != self.currentIndex():
            self._is_told = True
            self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            self._is_told = False

    def _spoken(self, name: RoomName, found: OpenFindings | None) -> str:
        if found is None:
            return room_title(name)
        return self.tr("%1, %2 open").replace("%1", room_title(name)).replace("%2", str(found.count))

    def _tip(self, row: int, name: RoomName, found: OpenFindings | None) -> str:
        key = f"Ctrl+{row + 1}"
        if found is None:
            return f"{room_title(name)} ({key})"
        open_words = self.tr("%1 open, the worst: %2").replace("%1", str(found.count)).replace("%2", found.worst.words)
        return f"{room_title(name)} ({key}): {open_words}"

    def _current_changed(self, index: QModelIndex) -> None:
        if index.isValid() and not self._is_told:
            self.chosen.emit(list(RoomName)[index.row()])


class _RoomDelegate(QStyledItemDelegate):
    """Paints one room: a bar at the left where it is shown, icon, name, and the count with its mark."""

    def __init__(self, rooms: RoomList) -> None:
        super().__init__(rooms)
        self._list = rooms

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        font = QFont(option.font)
        font.setBold(True)
        words = self._list.fontMetrics().horizontalAdvance(str(index.data()))
        return QSize(
            GAP + ICON + GAP + round(words * 1.12) + GAP + 46, max(ROW, self._list.fontMetrics().height() + 22)
        )

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, box = self._list.colours, QRectF(option.rect)
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if selected:
            painter.fillRect(box, QColor(colours.selection))
            painter.fillRect(QRectF(box.left(), box.top(), 4, box.height()), QColor(colours.accent))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(box, QColor(colours.surface))
        ink = QColor(colours.on_selection if selected else colours.ink)
        picture = index.data(Qt.ItemDataRole.DecorationRole)
        picture.paint(painter, round(box.left()) + GAP, round(box.center().y() - ICON / 2), ICON, ICON)
        font = QFont(option.font)
        font.setBold(selected)
        painter.setFont(font)
        painter.setPen(ink)
        words = box.adjusted(GAP + ICON + GAP, 0, -8, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, str(index.data()))
        self._paint_open(painter, box, index.data(_OPEN), ink)
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(box.adjusted(1, 1, -1, -1))
        painter.restore()

    def _paint_open(self, painter: QPainter, box: QRectF, found: OpenFindings | None, ink: QColor) -> None:
        if found is None:
            return
        font = QFont(painter.font())
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(ink)
        count = str(found.count)
        width = painter.fontMetrics().horizontalAdvance(count)
        right = box.right() - 10
        painter.drawText(
            QRectF(right - width, box.top(), width + 2, box.height()), Qt.AlignmentFlag.AlignVCenter, count
        )
        mark = QRectF(right - width - 19, box.center().y() - 7, 14, 14)
        paint_mark(painter, mark, found.worst, self._list.colours)
