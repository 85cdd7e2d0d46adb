"""What the coordinator expects of the weather: how many evenings of each half-month are lost."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QSpinBox, QVBoxLayout, QWidget

from planner.desktop.look.words import quiet
from planner.domain.lost_evenings import USUAL_PERSISTENCE, half_month_name
from planner.domain.season import Season
from planner.usecases.season.form import chances_of


class WeatherBox(QWidget):
    """A percentage for each half-month of the season, and one for how long bad weather stays."""

    wished = Signal(object, float)
    """Chances from 0 to 1 by half-month, and the persistence."""
    unsaid = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chances: dict[int, QSpinBox] = {}
        self.persistence = _percent(self.tr("How far the weather of one evening holds for the next"))
        self.say = QPushButton(self.tr("Expect this"))
        self.unsay = QPushButton(self.tr("Say nothing of the weather"))
        self._grid = QGridLayout()
        self._grid.setColumnStretch(4, 1)
        self._stands: tuple[dict[int, float | None], float] | None = None
        self._may_write = True
        self.say.clicked.connect(self._wish)
        self.unsay.clicked.connect(self.unsaid)
        self.persistence.valueChanged.connect(lambda _value: self._show_state())
        self._lay_out()

    def show_season(self, season: Season, *, may_write: bool) -> None:
        """Show what is expected on the dates of a season."""
        weather = season.lost_evenings
        persistence = USUAL_PERSISTENCE if weather is None else weather.persistence
        stands, self._may_write = (dict(chances_of(season)), persistence), may_write
        if stands != self._stands:
            self._stands = stands
            self._fill(*stands)
        self._show_state()

    def _fill(self, chances: dict[int, float | None], persistence: float) -> None:
        if set(chances) != set(self.chances):
            self._make_fields(list(chances))
        for number, chance in chances.items():
            self.chances[number].setValue(round(100 * (chance or 0.0)))
        self.persistence.setValue(round(100 * persistence))

    def _make_fields(self, numbers: list[int]) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.deleteLater()
        self.chances = {}
        for place, number in enumerate(numbers):
            words = self.tr("Evenings lost in %1").replace("%1", half_month_name(number))
            field, label = _percent(words), QLabel(half_month_name(number))
            label.setBuddy(field)
            field.valueChanged.connect(lambda _value: self._show_state())
            self._grid.addWidget(label, place // 2, 2 * (place % 2))
            self._grid.addWidget(field, place // 2, 2 * (place % 2) + 1)
            self.chances[number] = field

    def _wish(self) -> None:
        chances = {number: field.value() / 100 for number, field in self.chances.items()}
        self.wished.emit(chances, self.persistence.value() / 100)

    def _show_state(self) -> None:
        said = self._stands is not None and None not in self._stands[0].values()
        changed = not said or self._shown != self._standing
        self.say.setEnabled(changed and self._may_write and bool(self.chances))
        self.say.setToolTip("" if changed else self.tr("This is what the file says already"))
        self.unsay.setEnabled(said and self._may_write)
        self.unsay.setToolTip("" if said else self.tr("Nothing is said of the weather"))

    @property
    def _shown(self) -> tuple[list[int], int]:
        return [field.value() for field in self.chances.values()], self.persistence.value()

    @property
    def _standing(self) -> tuple[list[int], int] | None:
        if self._stands is None:
            return None
        chances, persistence = self._stands
        return [round(100 * (chance or 0.0)) for chance in chances.values()], round(100 * persistence)

    def _lay_out(self) -> None:
        label = QLabel(self.tr("One evening's weather holds for the next"))
        label.setBuddy(self.persistence)
        last = QHBoxLayout()
        last.addWidget(label)
        last.addWidget(self.persistence)
        last.addStretch(1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.say)
        buttons.addWidget(self.unsay)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(quiet(self.tr("Of 100 evenings, how many does the weather take? The risk is told from this.")))
        column.addLayout(self._grid)
        column.addLayout(last)
        column.addLayout(buttons)


def _percent(name: str) -> QSpinBox:
    field = QSpinBox()
    field.setRange(0, 100)
    field.setSuffix(" %")
    field.setAccessibleName(name)
    return field
