"""As what the proposed points are taken: a new route, or the points of the chosen one."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QFormLayout, QLineEdit, QVBoxLayout, QWidget

from planner.desktop.look.words import quiet
from planner.desktop.routes.words import count_words, tr
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.routes.editing import free_route_code


class LayingTarget(QWidget):
    """A choice of two, and for a new route its code and name."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choice = QComboBox()
        self.choice.setAccessibleName(tr("Take the points as"))
        self.choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.choice.setMinimumContentsLength(12)
        self.new_code, self.new_name = QLineEdit(), QLineEdit()
        self._fields, self._gone = QWidget(), quiet()
        form = QFormLayout(self._fields)
        form.setContentsMargins(0, 0, 0, 0)
        for words, field in ((tr("Code"), self.new_code), (tr("Name"), self.new_name)):
            field.setAccessibleName(tr("%1 of the new route", words))
            form.addRow(words, field)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.choice)
        column.addWidget(self._fields)
        column.addWidget(self._gone)
        self.choice.currentIndexChanged.connect(lambda _row: self._chosen())

    @property
    def code(self) -> str:
        """The code of the route that gets the points."""
        chosen: str = self.choice.currentData()
        return chosen or self.new_code.text().strip()

    @property
    def name(self) -> str:
        """The name of a new route; empty for one that is there, which keeps its own."""
        return "" if self.choice.currentData() else self.new_name.text().strip()

    def begin(self, season: Season, route: Route | None) -> None:
        """Offer the next free code, and the chosen route; where that has no points yet it is what they are for."""
        self.new_code.setText(free_route_code(season))
        self.new_name.clear()
        self.offer(season, route)
        self.choice.setCurrentIndex(1 if route is not None and not route.points else 0)

    def offer(self, season: Season, route: Route | None) -> None:
        """Offer another route beside a new one; what was chosen and written stays where it can."""
        chosen = self.choice.currentIndex()
        self.choice.clear()
        self.choice.addItem(tr("A new route"), "")
        if route is not None:
            self.choice.addItem(tr("The points of %1", route.title), route.code)
            gone = tr("The route keeps all but its points: the %1 go.", count_words(len(route.points)))
            self._gone.setText(gone if route.points else tr("The route has no points yet."))
        self.choice.setCurrentIndex(min(max(chosen, 0), self.choice.count() - 1))
        if self.new_code.text().strip() in {one.code for one in season.routes}:
            self.new_code.setText(free_route_code(season))
        self._chosen()

    def _chosen(self) -> None:
        """Ask for a code and a name where the route is new, else say what becomes of the points that are there."""
        is_new = not self.choice.currentData()
        self._fields.setVisible(is_new)
        self._gone.setVisible(not is_new)
