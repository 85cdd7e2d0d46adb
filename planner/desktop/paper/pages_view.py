"""The pages of an itinerary below one another, as they come out of the printer."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.paper.page_images import PageImages

MM_AN_INCH = 25.4
LEAST_DPI, MOST_DPI = 30.0, 300.0
ZOOM_STEP = 1.2
_GAP = 14
_WHEEL_NOTCH = 120


class PagesView(QAbstractScrollArea):
    """Scrolls over all pages; draws only those that are seen. Zooms in, out, and to the width of the view."""

    page_changed = Signal(int)
    """The page, from 0, that is mostly seen."""
    zoomed = Signal()

    def __init__(self, images: PageImages, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._images = images
        self._colours = colours
        self._dpi = 0.0
        """0: as wide as the view."""
        self._page = 0
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setAccessibleName(self.tr("Preview of the pages"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        images.changed.connect(self._begin)
        images.drawn.connect(lambda _page: self.viewport().update())
        self.verticalScrollBar().valueChanged.connect(lambda _value: self._scrolled())

    @property
    def page(self) -> int:
        """The page, from 0, that is mostly seen."""
        return self._page

    @property
    def dots_per_inch(self) -> float:
        """The scale that pages are shown in, before the screen's own scaling."""
        if self._dpi:
            return self._dpi
        width_mm = self._size_mm[0]
        return min(max((self.viewport().width() - 2 * _GAP) / width_mm * MM_AN_INCH, LEAST_DPI), MOST_DPI)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette; the paper stays white."""
        self._colours = colours
        self.viewport().update()

    def go_to(self, page: int) -> None:
        """Bring a page to the top of the view."""
        self.verticalScrollBar().setValue(round(self._top(page)) - _GAP)

    def zoom(self, factor: float) -> None:
        """Show the pages larger or smaller; the page that is seen stays in view."""
        self._zoom_to(min(max(self.dots_per_inch * factor, LEAST_DPI), MOST_DPI))

    def fit_width(self) -> None:
        """Show the pages as wide as the view."""
        self._zoom_to(0.0)

    def sizeHint(self) -> QSize:
        """Wide enough to read a page."""
        return QSize(560, 640)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the pages that are seen, and wish for those that are not drawn yet."""
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), QColor(self._colours.raised))
        seen = self._seen()
        for page in seen:
            self._paint_page(painter, page)
        if not self._images.count:
            painter.setPen(QColor(self._colours.quiet))
            box = self.viewport().rect().adjusted(24, 24, -24, -24)
            painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), self._images.trouble)
        painter.end()
        dpi = self._drawn_dpi
        self._images.wish("view", [(page, dpi) for page in seen])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page that is seen."""
        super().resizeEvent(event)
        self._settle(self._place())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn pages with Page Up, Page Down, Home and End; zoom with + and -, and 0 for the width."""
        key, turn = event.key(), {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
        if key in turn:
            self.go_to(min(max(self._page + turn[Qt.Key(key)], 0), max(self._images.count - 1, 0)))
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.go_to(0 if key == Qt.Key.Key_Home else self._images.count - 1)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus):
            self.zoom(1 / ZOOM_STEP if key == Qt.Key.Key_Minus else ZOOM_STEP)
        elif key == Qt.Key.Key_0:
            self.fit_width()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll, or zoom with Ctrl held."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(ZOOM_STEP ** (event.angleDelta().y() / _WHEEL_NOTCH))
        else:
            super().wheelEvent(event)

    @property
    def _size_mm(self) -> tuple[float, float]:
        pages = self._images.pages
        return (210.0, 297.0) if pages is None else pages.paper.size_mm

    @property
    def _drawn_dpi(self) -> float:
        return round(self.dots_per_inch * self.devicePixelRatioF(), 1)

    @property
    def _page_size(self) -> tuple[float, float]:
        width, height = self._size_mm
        scale = self.dots_per_inch / MM_AN_INCH
        return width * scale, height * scale

    def _top(self, page: int) -> float:
        return _GAP + page * (self._page_size[1] + _GAP)

    def _place(self) -> float:
        """Return where the view stands, in pages from the top."""
        return (self.verticalScrollBar().value() - _GAP) / (self._page_size[1] + _GAP)

    def _seen(self) -> range:
        step = self._page_size[1] + _GAP
        top = self.verticalScrollBar().value() - _GAP
        first = max(int(top // step), 0)
        last = int((top + self.viewport().height()) // step)
        return range(first, min(last + 1, self._images.count))

    def _paint_page(self, painter: QPainter, page: int) -> None:
        width, height = self._page_size
        left = max((self.viewport().width() - width) / 2, _GAP) - self.horizontalScrollBar().value()
        box = QRectF(round(left), round(self._top(page) - self.verticalScrollBar().value()), width, height)
        painter.fillRect(box, QColor("#ffffff"))
        image = self._images.picture(page, self._drawn_dpi)
        if image is not None:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(box, image)
        painter.setPen(QPen(QColor(self._colours.edge), 1.0))
        painter.drawRect(box)

    def _begin(self) -> None:
        self._settle(0.0)
        self.verticalScrollBar().setValue(0)
        self._scrolled()
        self.viewport().update()

    def _zoom_to(self, dpi: float) -> None:
        place = self._place()
        self._dpi = dpi
        self._settle(place)
        self.viewport().update()
        self.zoomed.emit()

    def _settle(self, place: float) -> None:
        """Fit the scroll bars to the pages and stand where one stood before."""
        width, height = self._page_size if self._images.count else (0.0, 0.0)
        down, across = self.verticalScrollBar(), self.horizontalScrollBar()
        down.setRange(0, max(round(self._top(self._images.count)) - self.viewport().height(), 0))
        down.setPageStep(self.viewport().height())
        down.setSingleStep(40)
        across.setRange(0, max(round(width + 2 * _GAP) - self.viewport().width(), 0))
        across.setPageStep(self.viewport().width())
        across.setSingleStep(40)
        down.setValue(round(place * (height + _GAP)) + _GAP)

    def _scrolled(self) -> None:
        middle = self.verticalScrollBar().value() + self.viewport().height() / 3
        page = int((middle - _GAP) // (self._page_size[1] + _GAP))
        page = min(max(page, 0), max(self._images.count - 1, 0))
        if page != self._page:
            self._page = page
            self.page_changed.emit(page)
        self.viewport().update()
