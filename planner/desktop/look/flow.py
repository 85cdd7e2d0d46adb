"""Widgets one after the other in a row, going on in the next row where the width is used up."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

_ACROSS, _DOWN = 10, 4


class FlowLayout(QLayout):
    """Lays its widgets out like the words of a paragraph, each row centred upon itself."""

    def __init__(self, parent: QWidget | None = None, *, across: int = _ACROSS) -> None:
        super().__init__(parent)
        self._across = across
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:  # Qt's name
        """Take one more item."""
        self._items.append(item)

    def count(self) -> int:
        """Return the number of items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # Qt's name
        """Return an item."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # Qt's name
        """Give an item back."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # Qt's name
        """Ask for no more room than is needed."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:  # Qt's name
        """The height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:  # Qt's name
        """Return the height that a width asks for."""
        return self._place(QRect(0, 0, width, 0), really=False)

    def setGeometry(self, rect: QRect) -> None:  # Qt's name
        """Set the widgets to their places."""
        super().setGeometry(rect)
        self._place(rect, really=True)

    def sizeHint(self) -> QSize:  # Qt's name
        """Return the size of all in one row."""
        sizes = [item.sizeHint() for item in self._items]
        width = sum(size.width() + self._across for size in sizes)
        return QSize(width, max((size.height() for size in sizes), default=0))

    def minimumSize(self) -> QSize:  # Qt's name
        """Return the size of the widest item alone."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _place(self, rect: QRect, *, really: bool) -> int:
        """Go through the rows and return their height, setting the widgets to their places where asked."""
        top = rect.top()
        for row in self._rows(rect.width()):
            height = max(item.sizeHint().height() for item in row)
            left = rect.left()
            for item in row:
                size = item.sizeHint()
                if really:
                    item.setGeometry(QRect(QPoint(left, top + (height - size.height()) // 2), size))
                left += size.width() + self._across
            top += height + _DOWN
        return max(0, top - _DOWN - rect.top())

    def _rows(self, width: int) -> list[list[QLayoutItem]]:
        rows: list[list[QLayoutItem]] = []
        used = width + 1
        for item in self._items:
            needed = item.sizeHint().width()
            if used + needed > width:
                rows.append([])
                used = 0
            rows[-1].append(item)
            used += needed + self._across
        return rows
