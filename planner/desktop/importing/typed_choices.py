"""What a person types about a file: the route that its points belong to, the zone of its metres."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLineEdit, QPushButton, QWidget

from planner.desktop.importing.words import tr
from planner.desktop.look.own_enter import OwnEnterLine
from planner.exchange import Choices, Understanding
from planner.usecases.importing.choices import route_typed, zone_typed


class TypedChoices(QWidget):
    """A field for each thing that the file does not say, or that was typed before."""

    typed = Signal(object)
    """The Choices with what was typed in one of the fields."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choices = Choices()
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.route = self._field(tr("Code of the route"), tr("such as R01"), route_typed)
        self.zone = self._field(tr("UTM zone"), tr("such as 30N"), zone_typed)

    def show_choices(self, understood: Understanding, choices: Choices) -> None:
        """Ask for what a file lacks, and show what was typed for it."""
        self._choices = choices
        for row, (key, field, value) in enumerate(
            (("route", self.route, choices.route), ("utm_zone", self.zone, choices.utm_zone))
        ):
            field.setText(value)
            self._form.setRowVisible(row, key in understood.lacks or bool(value))
        self.setVisible(any(self._form.isRowVisible(row) for row in range(self._form.rowCount())))

    def _field(self, words: str, example: str, choose: Callable[[Choices, str], Choices]) -> QLineEdit:
        line, button = OwnEnterLine(), QPushButton(tr("Read again"))
        line.setAccessibleName(words)
        line.setPlaceholderText(example)
        button.setAccessibleName(tr("Read again: %1", words))
        button.setToolTip(tr("The file is read again that way; nothing is written"))

        def take() -> None:
            chosen = choose(self._choices, line.text())
            if chosen != self._choices:
                self.typed.emit(chosen)

        line.returnPressed.connect(take)
        button.clicked.connect(lambda _checked: take())
        # In a dialog Enter would press a button that nobody looked at.
        button.setAutoDefault(False)
        row = QHBoxLayout()
        row.addWidget(line, 1)
        row.addWidget(button)
        self._form.addRow(words, row)
        return line
