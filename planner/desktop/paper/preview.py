"""The preview: the pages in large, the pages in small, and what turns and scales them."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import drawn_icon
from planner.desktop.look.words import heading, quiet
from planner.desktop.paper.icons import DRAWINGS
from planner.desktop.paper.page_images import PageImages
from planner.desktop.paper.page_list import PageList
from planner.desktop.paper.pages_view import ZOOM_STEP, PagesView


class Preview(QWidget):
    """One itinerary, as it comes out of the printer."""

    def __init__(self, images: PageImages, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._images = images
        self.view = PagesView(images, colours)
        self.list = PageList(images, colours)
        self._whose = heading()
        self._where = quiet()
        self._where.setWordWrap(False)
        self.back = self._button("up", self.tr("Page before (Page Up)"))
        self.on = self._button("down", self.tr("Next page (Page Down)"))
        self.smaller = self._button("smaller", self.tr("Smaller (−)"))
        self.larger = self._button("larger", self.tr("Larger (+)"))
        self.width_button = self._button("width", self.tr("As wide as the view (0)"))
        self._connect()
        self._lay_out()
        self.set_colours(colours)
        self._begin()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self.view.set_colours(colours)
        self.list.set_colours(colours)
        for button in self._buttons:
            button.setIcon(drawn_icon(DRAWINGS[button.objectName()], colours))

    def show_whose(self, name: str) -> None:
        """Say whose itinerary it is."""
        self._whose.setText(name)
        self.view.setAccessibleDescription(name)

    @property
    def _buttons(self) -> tuple[QToolButton, ...]:
        return (self.back, self.on, self.smaller, self.larger, self.width_button)

    def _button(self, drawing: str, words: str) -> QToolButton:
        button = QToolButton()
        button.setObjectName(drawing)
        button.setIconSize(QSize(18, 18))
        button.setToolTip(words)
        button.setAccessibleName(words)
        return button

    def _connect(self) -> None:
        self.view.page_changed.connect(self.list.show_page)
        self.view.page_changed.connect(lambda _page: self._show_place())
        self.view.zoomed.connect(self._show_place)
        self.list.page_chosen.connect(self.view.go_to)
        self._images.changed.connect(self._begin)
        self.back.clicked.connect(lambda: self.view.go_to(self.view.page - 1))
        self.on.clicked.connect(lambda: self.view.go_to(self.view.page + 1))
        self.smaller.clicked.connect(lambda: self.view.zoom(1 / ZOOM_STEP))
        self.larger.clicked.connect(lambda: self.view.zoom(ZOOM_STEP))
        self.width_button.clicked.connect(self.view.fit_width)

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.setSpacing(4)
        bar.addWidget(self._whose, 1, Qt.AlignmentFlag.AlignVCenter)
        bar.addWidget(self._where)
        for button in self._buttons:
            bar.addWidget(button)
        pages = QHBoxLayout()
        pages.setSpacing(8)
        pages.addWidget(self.list)
        pages.addWidget(self.view, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 0, 0, 0)
        column.addLayout(bar)
        column.addLayout(pages, 1)

    def _begin(self) -> None:
        self.list.setVisible(self._images.count > 0)
        self.list.show_page(self.view.page)
        self._show_place()

    def _show_place(self) -> None:
        count, page = self._images.count, self.view.page
        where = self.tr("page %1 of %2").replace("%1", str(page + 1)).replace("%2", str(count))
        self._where.setText(where if count else "")
        for button in self._buttons:
            button.setEnabled(count > 0)
        self.back.setEnabled(page > 0)
        self.on.setEnabled(page + 1 < count)
