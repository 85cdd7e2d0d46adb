"""A page of the Reports room: sentences, a plot, and the table that says the same in figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QSplitter, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.low import low
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


class FigureSides(QSplitter):
    """A plot at the left, the table that says the same at the right."""

    def __init__(self, name: str, headers: Sequence[str], colours: Colours) -> None:
        super().__init__(Qt.Orientation.Horizontal)
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
        self.addWidget(FittedScroll(inside))
        self.addWidget(self.table)
        self.setChildrenCollapsible(False)
        self.setSizes([440, 560])

    def show_content(self, content: Content) -> None:
        """Show other figures."""
        self.bars.show_plot(content.plot)
        self.model.show_rows(content.rows)
        self.setVisible(bool(content.rows))


class FiguresPage(QWidget):
    """Plot and table, made once the page is turned to; without figures the sentence alone says why."""

    def __init__(self, name: str, headers: Sequence[str], colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.said = low(statement())
        self.about = low(quiet())
        self._name, self._headers, self._colours = name, headers, colours
        self._content = Content("")
        self._sides: FigureSides | None = None
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 10, 0, 0)
        self._whole.addWidget(self.said)
        self._whole.addWidget(self.about)
        self._whole.addStretch(0)

    @property
    def sides(self) -> FigureSides:
        """Plot and table."""
        if self._sides is None:
            self._sides = FigureSides(self._name, self._headers, self._colours)
            self._whole.insertWidget(2, self._sides, 1)
            self._sides.show_content(self._content)
        return self._sides

    def showEvent(self, event: QShowEvent) -> None:
        """Make plot and table for who looks at them: five pages at once would be a pause."""
        super().showEvent(event)
        self.sides.setVisible(bool(self._content.rows))

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        if self._sides is not None:
            self._sides.bars.set_colours(colours)

    def show_content(self, content: Content) -> None:
        """Show other figures."""
        self._content = content
        self.said.setText(content.said)
        self.about.setText(content.about)
        self.about.setVisible(bool(content.about))
        if self._sides is not None:
            self._sides.show_content(content)
