"""The season in figures: each with a word beside it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.low import low
from planner.desktop.look.words import figure, heading, quiet
from planner.usecases.season_news import SeasonFigures


class FiguresPane(QWidget):
    """Six figures below one another."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figures: list[tuple[QLabel, QLabel]] = []
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(7)
        for place in range(6):
            number, words = figure(), low(quiet())
            number.setWordWrap(False)
            number.setFont(heading().font())
            grid.addWidget(number, place, 0, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            grid.addWidget(words, place, 1)
            self._figures.append((number, words))
        grid.setColumnStretch(1, 1)
        grid.setRowStretch(6, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(heading(self.tr("In figures")))
        # On a small screen the figures are scrolled rather than cut.
        scrolled = FittedScroll(inside)
        scrolled.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column.addWidget(scrolled, 1)

    def show_figures(self, found: SeasonFigures) -> None:
        """Show the figures of a season."""
        hours = "…" if found.drive_minutes is None else f"{found.drive_minutes / 60:.0f} h"
        of = self.tr("of %1 visits filled").replace("%1", str(found.visits))
        people = self.tr("of %1 volunteers go out").replace("%1", str(found.volunteers))
        shown = (
            (str(found.filled), of),
            (str(found.reserved), self.tr("with a reserve date")),
            (str(found.going), people),
            (str(found.routes), self.tr("routes")),
            (hours, self.tr("of driving, out and back")),
            (str(found.done), self.tr("visits done")),
        )
        for (number, words), (value, said) in zip(self._figures, shown, strict=True):
            number.setText(value)
            words.setText(said)
