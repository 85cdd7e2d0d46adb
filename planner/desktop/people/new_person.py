"""Somebody new: asked for once, kept as one step."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QScrollArea, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.people.person_fields import PersonFields
from planner.domain.errors import DimpsyError, InputError
from planner.domain.volunteer import Volunteer
from planner.usecases.people.editing import add_person
from planner.usecases.people.person_entry import PersonEntry, PersonField, free_code

_LETTERS = 84
_LINES = 34
"""How large the form is, in letters and in lines."""


class NewPersonDialog(QDialog):
    """The form of a new volunteer; it stays open until everything can be taken."""

    added = Signal(object)
    """The Volunteer who is now in the season."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setWindowTitle(self.tr("New volunteer"))
        self.fields = PersonFields()
        self.fields.show_entry(PersonEntry(code=free_code(desk.session.snapshot.season)))
        self._trouble = statement()
        self._trouble.hide()
        self.add = QPushButton(self.tr("Add volunteer"))
        self.add.setProperty("main", "true")
        self.add.setDefault(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        buttons.addButton(self.add, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self._add)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(heading(self.tr("New volunteer")))
        layout.addWidget(quiet(self.tr("Dates are given afterwards, on the calendar.")))
        layout.addWidget(self._scrolled(), 1)
        layout.addWidget(self._trouble)
        layout.addWidget(buttons)
        self.resize(self.fontMetrics().averageCharWidth() * _LETTERS, self.fontMetrics().height() * _LINES)
        self.fields.edits[PersonField.NAME].setFocus()

    def _add(self) -> None:
        entry = self.fields.entry
        self._desk.session.do(lambda file: add_person(file, entry), self._done, self._refused)

    def _done(self, person: Volunteer) -> None:
        self.added.emit(person)
        self.accept()

    def _refused(self, error: DimpsyError) -> None:
        faults = error.faults if isinstance(error, InputError) else ()
        self.fields.say_faults(faults)
        self._trouble.setVisible(not faults)
        self._trouble.setText("" if faults else str(error))
        wrong = [field for field in PersonField if self.fields.fault(field)]
        if wrong:
            self.fields.edits[wrong[0]].setFocus()

    def _scrolled(self) -> QScrollArea:
        """Return the fields where they find room for all that may be said under them."""
        area = QScrollArea()
        area.setAccessibleName(self.tr("Details of the volunteer"))
        area.setWidgetResizable(True)
        area.setWidget(self.fields)
        return area
