"""The foot of the people: size of the sheets, PDF files, printer; and how far a run is, with its Stop."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QProgressBar, QPushButton, QStackedLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import drawn_icon, icon
from planner.desktop.paper.icons import DRAWINGS
from planner.printing import Paper


class RunBar(QWidget):
    """Starts a print run and shows how it goes."""

    paper_changed = Signal(object)
    """The Paper that was chosen."""

    def __init__(self, colours: Colours, paper: Paper, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sizes = QComboBox()
        for size, words in ((Paper.A4, self.tr("A4")), (Paper.LETTER, self.tr("Letter"))):
            self.sizes.addItem(words, size.value)
        self.sizes.setCurrentIndex(self.sizes.findData(paper.value))
        self.sizes.setAccessibleName(self.tr("Size of the sheets"))
        self.sizes.setToolTip(self.tr("Size of the sheets"))
        self.sizes.currentIndexChanged.connect(lambda _row: self.paper_changed.emit(self.paper))
        self.files = QPushButton()
        self.printer = QPushButton()
        self.printer.setProperty("main", True)  # Qt's signature
        for button in (self.files, self.printer):
            button.setIconSize(QSize(18, 18))
        self.bar = QProgressBar()
        self.bar.setAccessibleName(self.tr("Itineraries done"))
        self.doing = QLabel()
        self.stop = QPushButton(self.tr("Stop"))
        self.stop.setToolTip(self.tr("Stop before the next itinerary; files that are written stay"))
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self._ready_page())
        self._stack.addWidget(self._running_page())
        self.set_colours(colours)

    @property
    def paper(self) -> Paper:
        """The size of the sheets."""
        return Paper(self.sizes.currentData())

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        on_accent = replace(colours, ink=colours.on_accent)
        self.files.setIcon(drawn_icon(DRAWINGS["folder"], colours))
        self.printer.setIcon(drawn_icon(DRAWINGS["printer"], on_accent))
        self.stop.setIcon(icon("stop", colours))

    def show_ready(self, count: int, why_not: str) -> None:
        """Offer to print for so many people; ``why_not`` says in words why nothing can be printed now."""
        self._stack.setCurrentIndex(0)
        files = {0: self.tr("Make PDF files …"), 1: self.tr("Make 1 PDF file …")}
        self.files.setText(files.get(count, self.tr("Make %1 PDF files …").replace("%1", str(count))))
        self.printer.setText(self.tr("Print %1 …").replace("%1", str(count)) if count else self.tr("Print …"))
        for button in (self.files, self.printer):
            button.setEnabled(not why_not)
            button.setToolTip(why_not)

    def show_running(self, done: int, of: int) -> None:
        """Show how far a run is."""
        self._stack.setCurrentIndex(1)
        self.bar.setRange(0, of)
        self.bar.setValue(done)
        self.doing.setText(self.tr("%1 of %2 itineraries").replace("%1", str(done)).replace("%2", str(of)))

    def _ready_page(self) -> QWidget:
        page = QWidget()
        row = QHBoxLayout(page)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.sizes)
        row.addStretch(1)
        row.addWidget(self.files)
        row.addWidget(self.printer)
        return page

    def _running_page(self) -> QWidget:
        page = QWidget()
        row = QHBoxLayout(page)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.bar, 1)
        row.addWidget(self.doing)
        row.addWidget(self.stop)
        return page
