"""The weakest routes: how likely the weather lets each be completed; or that nothing is said of the weather."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.look.low import low
from planner.desktop.look.words import heading, quiet
from planner.desktop.season.risk_model import RISK_ROLE, Column, RiskModel
from planner.domain.finding import Subject
from planner.domain.season import Season

if TYPE_CHECKING:
    from planner.usecases.checking import Checked


class _ChanceBar(QStyledItemDelegate):
    """Draws the chance as a bar under its figure."""

    colours: Colours

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the figure, then the bar along the foot of the cell."""
        super().paint(painter, option, index)
        risk = index.data(RISK_ROLE)
        box = QRectF(option.rect).adjusted(4, option.rect.height() - 5, -4, -2)
        painter.fillRect(box, QColor(self.colours.line))
        box.setWidth(box.width() * risk.complete)
        painter.fillRect(box, QColor(self.colours.accent))


class RiskPane(QWidget):
    """A table under a sentence."""

    route_chosen = Signal(object)
    """The Subject of the weakest visit of the route that was clicked, or entered with Enter."""
    weather_wanted = Signal()

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = RiskModel(self)
        self.said = low(quiet())
        self.say_it = QPushButton(self.tr("Say what you expect …"))
        self.say_it.clicked.connect(self.weather_wanted)
        self.table = QTableView()
        self._bar = _ChanceBar(self)
        self._set_up_table()
        self.set_colours(colours)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(heading(self.tr("Weakest routes")))
        column.addWidget(self.said)
        column.addWidget(self.say_it, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.table, 1)
        column.addStretch(0)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._bar.colours = colours
        self.table.viewport().update()

    def show_checked(self, checked: Checked | None, season: Season) -> None:
        """Show the risk; where there is none, say why."""
        risk = checked.risk if checked is not None else None
        self.model.show_risk(risk.risk.routes if risk is not None else (), season)
        self.table.setVisible(risk is not None)
        self.say_it.setVisible(checked is not None and checked.weather_unsaid)
        self.said.setText(self._sentence(checked))

    def _sentence(self, checked: Checked | None) -> str:
        if checked is None:
            return self.tr("The season is being looked through …")
        if checked.weather_unsaid:
            return self.tr("Nothing is said of the weather, so no chance can be told.")
        if checked.risk is None:
            return self.tr("Nothing is planned yet.")
        words = self.tr("Expected: %1 of %2 visits done. Weather: %3.")
        risk = checked.risk
        words = words.replace("%1", f"{risk.risk.expected_visits:.1f}").replace("%2", str(risk.risk.filled))
        return words.replace("%3", risk.weather_words)

    def _set_up_table(self) -> None:
        table = self.table
        table.setModel(self.model)
        table.setItemDelegateForColumn(Column.CHANCE, self._bar)
        table.setAccessibleName(self.tr("Routes by their chance to be completed"))
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.setWordWrap(False)
        table.verticalHeader().hide()
        table.verticalHeader().setDefaultSectionSize(table.fontMetrics().height() + 12)
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(Column.ROUTE, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        table.clicked.connect(self._choose)
        table.activated.connect(self._choose)

    def _choose(self, index: QModelIndex) -> None:
        risk = index.data(RISK_ROLE)
        self.route_chosen.emit(Subject(route=risk.route, visit=risk.weakest_visit))
