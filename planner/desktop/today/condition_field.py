"""One line of the form of conditions: a figure, a word, or both, with the protocol's limit under it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from planner.desktop.look.words import quiet
from planner.desktop.today.words import quantity_word, seen_word, short_limit
from planner.desktop.units import Units
from planner.domain.conditions import MEASURES, Condition, Seen
from planner.domain.errors import RuleError
from planner.domain.measures import Measure, Speed
from planner.domain.weather import LimitKind, Quantity, WeatherLimit, beaufort_force
from planner.usecases.evening.conditions import read_measure

_ALWAYS_THERE = (Quantity.AIR_TEMPERATURE, Quantity.WATER_TEMPERATURE)


class ConditionField(QWidget):
    """What is known of one quantity."""

    edited = Signal()
    given = Signal()
    """Enter was pressed."""

    def __init__(
        self, quantity: Quantity, limits: Sequence[WeatherLimit], units: Units, *, compact: bool = False
    ) -> None:
        """Make the field of a quantity; ``compact``: its name and limits are told elsewhere."""
        super().__init__()
        self._is_compact = compact
        self.quantity = quantity
        self._units = units
        self._filled: Condition | None = None
        self.measure = QLineEdit() if quantity in MEASURES else None
        self.word = QComboBox() if self._wants_word(limits) else None
        self._force = quiet()
        self._fault = quiet()
        self._fault.hide()
        self._lay_out(limits)

    @property
    def changed(self) -> bool:
        """Whether it says something else than what it was filled with; what cannot be read counts as changed."""
        try:
            return self.read() != self._filled
        except RuleError:
            return True

    def read(self) -> Condition | None:
        """Return what is known; None: nothing.

        Raises:
            RuleError: the figure cannot be read.
        """
        measured, seen = self._measured(), self._seen()
        return Condition(self.quantity, measured, seen) if measured is not None or seen is not None else None

    def fill(self, condition: Condition | None) -> None:
        """Show what is kept."""
        self._filled = condition
        if self.measure is not None:
            with QSignalBlocker(self.measure):
                measured = condition.measured if condition is not None else None
                self.measure.setText(str(measured) if measured is not None else "")
        if self.word is not None:
            with QSignalBlocker(self.word):
                seen = condition.seen if condition is not None else None
                self.word.setCurrentIndex(max(self.word.findData(seen), 0))
        self._comment()

    def settle(self, condition: Condition | None) -> None:
        """Take what is kept as the field's starting point; what somebody is typing stays."""
        self._filled = condition
        if not self.changed:
            self.fill(condition)

    def set_units(self, units: Units) -> None:
        """Mean other units where none is typed."""
        self._units = units
        if self.measure is not None:
            self.measure.setPlaceholderText(self._example())

    def _wants_word(self, limits: Sequence[WeatherLimit]) -> bool:
        worded = any(limit.kind is LimitKind.BAR and limit.bound is None for limit in limits)
        return worded or self.quantity not in MEASURES

    def _measured(self) -> Measure | None:
        text = self.measure.text() if self.measure is not None else ""
        return read_measure(self.quantity, text, self._usual_unit()) if text.strip() else None

    def _seen(self) -> Seen | None:
        found = self.word.currentData() if self.word is not None else None
        return Seen(found) if found else None

    def _usual_unit(self) -> str:
        metric = self._units is Units.METRIC
        if self.quantity is Quantity.WIND:
            return "km/h" if metric else "mph"
        return "%" if self.quantity is Quantity.CLOUD else ("C" if metric else "F")

    def _example(self) -> str:
        unit = self._usual_unit()
        figure = {"km/h": "12", "mph": "8", "C": "9", "F": "48", "%": "60"}[unit]
        words = self.tr("as %1") if self._is_compact else self.tr("not known; as %1")
        return words.replace("%1", f"{figure} {unit}")

    def _comment(self) -> None:
        """Say what the figure means, or why it cannot be read."""
        try:
            measured = self._measured()
        except RuleError as error:
            self._fault.setText(str(error))
            self._fault.show()
            return
        self._fault.hide()
        force = isinstance(measured, Speed)
        self._force.setVisible(force and not self._is_compact)
        if isinstance(measured, Speed):
            self._force.setText(self.tr("Beaufort force %1").replace("%1", str(beaufort_force(measured))))

    def _lay_out(self, limits: Sequence[WeatherLimit]) -> None:
        name = QLabel(quantity_word(self.quantity))
        name.setWordWrap(True)
        name.setFixedWidth(name.fontMetrics().horizontalAdvance("Water temperature  "))
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        if not self._is_compact:
            row.addWidget(name)
        for control in (self.measure, self.word):
            if control is not None:
                row.addWidget(control, 1)
                control.setAccessibleName(quantity_word(self.quantity))
                control.setAccessibleDescription("; ".join(limit.said for limit in limits))
                name.setBuddy(control)
        row.addWidget(self._force)
        self._force.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addLayout(row)
        for limit in () if self._is_compact else limits:
            bars = limit.kind is LimitKind.BAR
            words = self.tr("Limit: %1") if bars else self.tr("No limit: %1")
            column.addWidget(quiet(words.replace("%1", short_limit(limit))))
        column.addWidget(self._fault)
        self._connect()

    def _connect(self) -> None:
        if self.measure is not None:
            self.measure.setPlaceholderText(self._example())
            self.measure.setClearButtonEnabled(True)
            self.measure.textChanged.connect(lambda _text: self._changed())
            self.measure.returnPressed.connect(self.given)
        if self.word is not None:
            self.word.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            self.word.setMinimumContentsLength(8)
            self.word.addItem(self.tr("not known"), None)
            for seen in Seen:
                if self.quantity not in _ALWAYS_THERE or seen in (Seen.WITHIN, Seen.BEYOND):
                    self.word.addItem(seen_word(seen), seen.value)
            self.word.currentIndexChanged.connect(lambda _row: self._changed())

    def _changed(self) -> None:
        self._comment()
        self.edited.emit()
