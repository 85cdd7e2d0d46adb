"""A page of the Reports room: sentences, a plot, and the table that says the same in figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QSplitter, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet, statement
from planner.desktop.reports.bars import Bars, Plot
from planner.desktop.reports.figures_model import Figure, FiguresModel

_MEASURED_ROWS = 40
"""Rows that the widths of columns are taken from: more than are seen at once."""


@dataclass(frozen=True, slots=True)
class Content:
    """What a page shows."""

    said: str
    about: str = ""
    """How the figures are found, in smaller words."""
    plot: Plot = field(default_factory=Plot)
    rows: Sequence[Sequence[Figure]] = ()


class FiguresPage(QWidget):
    """Plot at the left, table at the right; without figures the sentence alone says why."""

    def __init__(self, name: str, headers: Sequence[str], colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.said = statement()
        self.about = quiet()
        self.bars = Bars(name, colours)
        self.model = FiguresModel(headers, self)
        self.table = plain_table(self.model, name, len(headers) - 1)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        header = self.table.horizontalHeader()
        # All rows are asked otherwise, each time anything changes.
        header.setResizeContentsPrecision(_MEASURED_ROWS)
        header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.table.setSortingEnabled(True)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 12, 0)
        column.addWidget(self.bars)
        column.addStretch(1)
        self._sides = QSplitter(Qt.Orientation.Horizontal)
        self._sides.addWidget(FittedScroll(inside))
        self._sides.addWidget(self.table)
        self._sides.setChildrenCollapsible(False)
        self._sides.setSizes([440, 560])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 10, 0, 0)
        whole.addWidget(self.said)
        whole.addWidget(self.about)
        whole.addWidget(self._sides, 1)
        whole.addStretch(0)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self.bars.set_colours(colours)

    def show_content(self, content: Content) -> None:
        """Show other figures."""
        self.said.setText(content.said)
        self.about.setText(content.about)
        self.about.setVisible(bool(content.about))
        self.bars.show_plot(content.plot)
        self.model.show_rows(content.rows)
        self._sides.setVisible(bool(content.rows))
