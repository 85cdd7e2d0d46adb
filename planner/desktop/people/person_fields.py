"""The fields of a volunteer, each with its name and the place where its fault is said."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFormLayout, QLabel, QLineEdit, QWidget

from planner.desktop.look.words import statement
from planner.desktop.people.phrases import said
from planner.domain.errors import Fault
from planner.usecases.people.person_entry import PersonEntry, PersonField

_LETTERS = 44
"""A fault is said in lines of so many letters at least."""


class PersonFields(QWidget):
    """One line for each field; what is typed is handed on when a line is left or Enter is pressed."""

    typed = Signal(object, str)
    """The PersonField that was left, and its text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.edits: dict[PersonField, QLineEdit] = {}
        self._faults: dict[PersonField, QLabel] = {}
        self._form = form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for field, (name, hint) in self._rows().items():
            self._add_row(field, name, hint)

    @property
    def entry(self) -> PersonEntry:
        """The volunteer as typed."""
        entry = PersonEntry()
        for field, edit in self.edits.items():
            entry = entry.with_text(field, edit.text())
        return entry

    def show_entry(self, entry: PersonEntry) -> None:
        """Show these texts; a line that is being typed in and was changed is left alone."""
        for field, edit in self.edits.items():
            text = getattr(entry, field.value)
            if not (edit.hasFocus() and edit.isModified()):
                edit.setText(text)
                edit.setCursorPosition(0)

    def say_faults(self, faults: Iterable[Fault]) -> None:
        """Say under each field what is wrong with it; fields without a fault are cleared."""
        words = {fault.where: fault for fault in faults}
        for field, label in self._faults.items():
            fault = words.get(field.value)
            self._form.setRowVisible(label, fault is not None)
            if fault is not None:
                label.setText(said(self.tr("Expected %1, found %2. %3"), fault.expected, fault.found, fault.todo))

    def clear_fault(self, field: PersonField) -> None:
        """Say nothing under a field any more."""
        self._form.setRowVisible(self._faults[field], False)

    def fault(self, field: PersonField) -> str:
        """Return what is said under a field; empty where nothing is."""
        return self._faults[field].text() if self._form.isRowVisible(self._faults[field]) else ""

    def set_locked(self, reason: str) -> None:
        """Let nothing be typed for that reason; empty lets everything be typed."""
        for field, edit in self.edits.items():
            edit.setReadOnly(bool(reason))
            edit.setToolTip(reason or self._rows()[field][1])

    def _add_row(self, field: PersonField, name: str, hint: str) -> None:
        edit = QLineEdit()
        edit.setAccessibleName(name)
        edit.setToolTip(hint)
        edit.setPlaceholderText(hint)
        edit.editingFinished.connect(lambda: self._left(field))
        label = statement()
        label.setAlignment(Qt.AlignmentFlag.AlignTop)
        label.setMinimumWidth(self.fontMetrics().averageCharWidth() * _LETTERS)
        self.edits[field], self._faults[field] = edit, label
        self._form.addRow(name, edit)
        self._form.addRow("", label)
        self._form.setRowVisible(label, False)

    def _left(self, field: PersonField) -> None:
        edit = self.edits[field]
        if edit.isModified():
            edit.setModified(False)
            self.typed.emit(field, edit.text())

    def _rows(self) -> Mapping[PersonField, tuple[str, str]]:
        return {
            PersonField.CODE: (self.tr("Code"), self.tr("Short and their own, such as V01")),
            PersonField.NAME: (self.tr("Name"), self.tr("Given name and family name")),
            PersonField.TELEPHONE: (self.tr("Telephone"), self.tr("Stands on the partner's paper")),
            PersonField.EMAIL: (self.tr("E-mail"), self.tr("Where their paper is sent")),
            PersonField.HOME: (self.tr("Home"), self.tr("Latitude, longitude, such as 54.70913, 2.03970")),
            PersonField.DRIVE_LIMIT: (self.tr("Drive limit, minutes"), self.tr("Longest drive one way, in minutes")),
            PersonField.VISITS_LIMIT: (self.tr("Visits at most"), self.tr("As lead or second, in the whole season")),
            PersonField.TRAINING: (self.tr("Training"), self.tr("Several are parted by semicolons")),
            PersonField.VEHICLE: (self.tr("Vehicle"), self.tr("Such as car or high clearance")),
        }
