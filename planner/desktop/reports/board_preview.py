"""The page for the board as it will be on paper, as large as there is room for."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from planner.desktop.look.colours import Colours


class BoardPreview(QWidget):
    """Shows a picture of the page; a sentence where there is none yet."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._image: QImage | None = None
        self._words = ""
        self.setAccessibleName(self.tr("The page for the board"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def image(self) -> QImage | None:
        """The page; None: there is none yet."""
        return self._image

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette; the paper stays white."""
        self._colours = colours
        self.update()

    def show_page(self, image: QImage | None, words: str = "") -> None:
        """Show a page, or words in its place."""
        self._image, self._words = image, words
        self.setAccessibleDescription(words)
        self.update()

    def sizeHint(self) -> QSize:  # Qt's name
        """Return what it would like to have."""
        return QSize(420, 594)

    def minimumSizeHint(self) -> QSize:  # Qt's name
        """Return what it cannot do without."""
        return QSize(240, 240)

    def paintEvent(self, _event: QPaintEvent) -> None:  # Qt's name
        """Paint the page with its edge, or the words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        room = QRectF(self.rect()).adjusted(8, 8, -8, -8)
        if self._image is None:
            painter.setPen(QColor(self._colours.quiet))
            wrapped = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(room, wrapped, self._words)
        else:
            scale = min(room.width() / self._image.width(), room.height() / self._image.height())
            page = QRectF(0, 0, self._image.width() * scale, self._image.height() * scale)
            page.moveCenter(room.center())
            painter.drawImage(page, self._image)
            painter.setPen(QColor(self._colours.edge))
            painter.drawRect(page)
        painter.end()
