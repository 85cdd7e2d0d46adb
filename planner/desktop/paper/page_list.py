"""The pages of an itinerary in small, to find one's way."""

from __future__ import annotations

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.paper.page_images import PageImages

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
DOTS_PER_INCH = 10.0
_PAD = 6


class PageListModel(QAbstractListModel):
    """One row a page."""

    def __init__(self, images: PageImages, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._images = images
        self._count = 0
        images.changed.connect(self._begin)
        images.drawn.connect(self._drawn)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many pages there are."""
        return 0 if parent.isValid() else self._count

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the number of a page, or what it is called aloud."""
        if not index.isValid():
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return str(index.row() + 1)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.tr("Page %1 of %2").replace("%1", str(index.row() + 1)).replace("%2", str(self._count))
        return None

    def _begin(self) -> None:
        self.beginResetModel()
        self._count = self._images.count
        self.endResetModel()

    def _drawn(self, page: int) -> None:
        if page < self._count:
            self.dataChanged.emit(self.index(page), self.index(page))


class _SmallPage(QStyledItemDelegate):
    """Paints a page in small, its number below it."""

    def __init__(self, images: PageImages, colours: Colours, parent: QObject) -> None:
        super().__init__(parent)
        self.colours = colours
        self._images = images

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:
        """Room for a page and its number."""
        width, height = self._size
        number = option.fontMetrics.height()
        return QSize(width + 2 * _PAD + 8, height + number + 2 * _PAD)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one page."""
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        painter.save()
        if chosen:
            painter.fillRect(rect, QColor(self.colours.selection))
        width, height = self._size
        page = QRect(rect.left() + (rect.width() - width) // 2, rect.top() + _PAD, width, height)
        painter.fillRect(page, QColor("#ffffff"))
        image = self._images.picture(index.row(), self.drawn_dpi(painter.device().devicePixelRatioF()))
        if image is not None:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(page, image)
        painter.setPen(QPen(QColor(self.colours.accent if chosen else self.colours.edge), 2.0 if chosen else 1.0))
        painter.drawRect(page)
        painter.setPen(QColor(self.colours.on_selection if chosen else self.colours.quiet))
        below = QRect(rect.left(), page.bottom() + 1, rect.width(), rect.bottom() - page.bottom())
        painter.drawText(below, Qt.AlignmentFlag.AlignCenter, str(index.row() + 1))
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(self.colours.focus), 2.0))
            painter.drawRect(rect.adjusted(1, 1, -1, -1))
        painter.restore()

    @staticmethod
    def drawn_dpi(ratio: float) -> float:
        """Return the dots per inch that pages are drawn in for a screen of that scaling."""
        return DOTS_PER_INCH * max(ratio, 1.0)

    @property
    def _size(self) -> tuple[int, int]:
        pages = self._images.pages
        width, height = (210.0, 297.0) if pages is None else pages.paper.size_mm
        return round(width / 25.4 * DOTS_PER_INCH), round(height / 25.4 * DOTS_PER_INCH)


class PageList(QListView):
    """The small pages below one another."""

    page_chosen = Signal(int)

    def __init__(self, images: PageImages, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._images = images
        self._small = _SmallPage(images, colours, self)
        self.setModel(PageListModel(images, self))
        self.setItemDelegate(self._small)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(self.tr("List of pages"))
        self.setFixedWidth(round(210 / 25.4 * DOTS_PER_INCH) + 2 * _PAD + 34)
        self.selectionModel().currentChanged.connect(self._choose)
        self._following = False

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._small.colours = colours
        self.viewport().update()

    def show_page(self, page: int) -> None:
        """Mark the page that is seen in the large view."""
        index = self.model().index(page, 0)
        if index.isValid() and index != self.currentIndex():
            self._following = True
            self.setCurrentIndex(index)
            self._following = False

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the pages that are seen, and wish for those that are not drawn yet."""
        super().paintEvent(event)
        first, last = self.indexAt(self.viewport().rect().topLeft()), self._last_seen()
        dpi = _SmallPage.drawn_dpi(self.devicePixelRatioF())
        seen = range(max(first.row(), 0), last + 1) if first.isValid() else range(0)
        self._images.wish("list", [(page, dpi) for page in seen])

    def _last_seen(self) -> int:
        below = self.indexAt(self.viewport().rect().bottomLeft())
        return below.row() if below.isValid() else self.model().rowCount() - 1

    def _choose(self, index: QModelIndex) -> None:
        if index.isValid() and not self._following:
            self.page_chosen.emit(index.row())
