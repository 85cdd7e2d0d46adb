"""How many points, from where on, and what to leave out."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QFormLayout, QLineEdit, QSpinBox, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.routes.laying import Laying
from planner.desktop.routes.laying_words import read_stretches, stretches_words
from planner.desktop.routes.words import tr
from planner.domain.errors import RuleError

MOST_POINTS = 999


class LayingFields(QWidget):
    """Three fields; what cannot be read is said below them and changes nothing."""

    def __init__(self, desk: Desk, laying: Laying, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._laying = desk, laying
        self.points, self.after, self.avoid = QSpinBox(), QLineEdit(), QLineEdit()
        self.points.setRange(1, MOST_POINTS)
        self.avoid.setToolTip(tr("No point from metre to metre along the line, such as 1200–1340; 2000–2100"))
        self.avoid.setPlaceholderText(tr("nothing"))
        self.after.setToolTip(tr("How far along the line the first point may stand at the earliest"))
        self._trouble = quiet()
        self._trouble.hide()
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for words, field in (
            (tr("Points"), self.points),
            (tr("Start after"), self.after),
            (tr("Leave out"), self.avoid),
        ):
            field.setAccessibleName(words)
            form.addRow(words, field)
        form.addRow(self._trouble)
        self.points.valueChanged.connect(self._count)
        self.after.editingFinished.connect(self._read)
        self.avoid.editingFinished.connect(self._read)
        desk.units_changed.connect(self.show_wish)

    def show_wish(self) -> None:
        """Show what is wished."""
        wish, units = self._laying.wish, self._desk.units
        with QSignalBlocker(self.points):
            self.points.setValue(wish.points or self._usual)
        self.after.setText(units.short_length(wish.start_after_m))
        self.avoid.setText(stretches_words(wish.avoid, units))
        self._trouble.hide()

    @property
    def _usual(self) -> int:
        return self._desk.session.snapshot.season.protocol.points.most

    def _count(self, count: int) -> None:
        self._laying.want(replace(self._laying.wish, points=None if count == self._usual else count))

    def _read(self) -> None:
        """Take over what was written; as it is shown it is rounded, so what was not written over stays as it was."""
        wish, units = self._laying.wish, self._desk.units
        try:
            if self.after.text() != units.short_length(wish.start_after_m):
                wish = replace(wish, start_after_m=units.read_length_m(self.after.text() or "0"))
            if self.avoid.text() != stretches_words(wish.avoid, units):
                wish = replace(wish, avoid=read_stretches(self.avoid.text(), units))
        except RuleError as error:
            self._trouble.setText(str(error))
            self._trouble.show()
            return
        self._trouble.hide()
        self._laying.want(wish)
