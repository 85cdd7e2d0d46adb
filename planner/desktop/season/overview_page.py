"""The season at a glance: what is next, the strip of sky, the figures, the weakest routes, the findings."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.low import low
from planner.desktop.look.words import quiet
from planner.desktop.season.figures import FiguresPane
from planner.desktop.season.findings_pane import FindingsPane
from planner.desktop.season.risk_pane import RiskPane
from planner.desktop.season.strip import SeasonStrip
from planner.domain.season import Season

_FIGURES, _RISK, _FINDINGS = 210, 370, 500
"""Widths of the lower row at first."""
_SKY, _LOWER = 290, 300


class OverviewPage(QWidget):
    """The strip above, three panes below; the edges between them can be moved."""

    day_chosen = Signal(object)
    """A date of the strip."""

    def __init__(self, colours: Colours, season: Season, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.strip = SeasonStrip(colours, season.dates)
        self.day_said = low(quiet())
        self.figures = FiguresPane()
        self.risk = RiskPane(colours)
        self.findings = FindingsPane(colours)
        self.strip.day_changed.connect(self._say_day)
        self.strip.day_chosen.connect(self.day_chosen)
        self._lay_out()
        self._say_day(None)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        for part in (self.strip, self.risk, self.findings):
            part.set_colours(colours)

    def _say_day(self, day: dt.date | None) -> None:
        hint = self.tr("Point at a date to see what it holds; click it to see who is out.")
        self.day_said.setText(hint if day is None else self.strip.words_for(day))

    def _lay_out(self) -> None:
        upper = QWidget()
        column = QVBoxLayout(upper)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(2)
        column.addWidget(self.strip, 1)
        column.addWidget(self.day_said)
        lower = QSplitter(Qt.Orientation.Horizontal)
        for pane in (self.figures, self.risk, self.findings):
            held = QWidget()
            inside = QVBoxLayout(held)
            inside.setContentsMargins(0 if pane is self.figures else 10, 6, 0, 0)
            inside.addWidget(pane)
            lower.addWidget(held)
        lower.setSizes([_FIGURES, _RISK, _FINDINGS])
        lower.setStretchFactor(2, 1)
        lower.setChildrenCollapsible(False)
        whole = QSplitter(Qt.Orientation.Vertical)
        whole.addWidget(upper)
        whole.addWidget(lower)
        whole.setSizes([_SKY, _LOWER])
        whole.setStretchFactor(1, 1)
        whole.setChildrenCollapsible(False)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 6, 0, 0)
        page.addWidget(whole)
