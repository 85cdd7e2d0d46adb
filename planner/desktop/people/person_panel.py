"""Who one volunteer is: each field that is changed is one step of the file."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QScrollArea, QSizePolicy, QTableView, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet
from planner.desktop.people.person_fields import PersonFields
from planner.desktop.people.visits_model import VISIT_ROLE, VisitsModel
from planner.desktop.room import RoomName
from planner.domain.errors import DimpsyError, InputError
from planner.domain.finding import Subject
from planner.domain.plan import PlannedVisit
from planner.domain.volunteer import Volunteer
from planner.usecases.people.editing import PersonChanged, change_person
from planner.usecases.people.person_entry import PersonEntry, PersonField

_WIDEST = 75
"""Letters: a line longer than that is no easier to type."""


_ROW, _LEAST_ROWS = 1.6, 4
"""Height of a row against that of the font, and how many are seen at least."""


class PersonPanel(QScrollArea):
    """The form of the volunteer who is chosen."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._person: Volunteer | None = None
        self.fields = PersonFields()
        self.fields.typed.connect(self._change)
        page = QWidget()
        self.fields.setMaximumWidth(self.fontMetrics().averageCharWidth() * _WIDEST)
        layout = QVBoxLayout(page)
        layout.addWidget(self.fields)
        layout.addWidget(
            quiet(
                self.tr(
                    "Names, homes and numbers stay in this season file. A partner's paper shows the first name and"
                    " the telephone number, nothing else."
                )
            )
        )
        self.visits = VisitsModel(self)
        self.list = self._make_list()
        layout.addWidget(heading(self.tr("Planned for them")))
        layout.addWidget(self.list, 1)
        self.setAccessibleName(self.tr("Details of the volunteer"))
        self.setWidgetResizable(True)
        self.setWidget(page)

    def show_person(self, person: Volunteer | None) -> None:
        """Show somebody; nobody leaves the form empty and locked."""
        other = person is None or self._person is None or person.code != self._person.code
        self._person = person
        if other:
            self.fields.say_faults(())
            for edit in self.fields.edits.values():
                edit.setModified(False)
        reason = self._desk.session.snapshot.read_only_reason
        self.fields.set_locked(reason if person is not None else self.tr("Choose a volunteer first."))
        if person is None:
            self.visits.show("", ())
            return
        self.fields.show_entry(PersonEntry.of(person))
        self.visits.show(person.code, self._desk.session.snapshot.plan.of_volunteer(person.code))

    def _make_list(self) -> QTableView:
        view = QTableView()
        view.setModel(self.visits)
        view.setAccessibleName(self.tr("Visits planned for the volunteer"))
        view.setToolTip(self.tr("Enter or a double click opens the outing."))
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        view.setTabKeyNavigation(False)
        view.setShowGrid(False)
        view.setWordWrap(False)
        view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        view.setMinimumHeight(round(view.fontMetrics().height() * _LEAST_ROWS * _ROW))
        view.verticalHeader().hide()
        view.verticalHeader().setDefaultSectionSize(round(view.fontMetrics().height() * _ROW))
        view.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        view.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        view.horizontalHeader().setStretchLastSection(True)
        view.activated.connect(self._open)
        return view

    def _open(self, index: QModelIndex) -> None:
        visit = index.data(VISIT_ROLE)
        if isinstance(visit, PlannedVisit) and self._person is not None:
            key = visit.key
            subject = Subject(route=key.route, visit=key.number, volunteer=self._person.code, date=visit.date)
            self._desk.go(RoomName.OUTING, subject)

    def _change(self, field: PersonField, text: str) -> None:
        if self._person is None:
            return
        code = self._person.code
        self._desk.session.do(
            lambda file: change_person(file, code, field, text),
            lambda changed: self._changed(field, changed),
            lambda error: self._refused(field, error),
        )

    def _changed(self, field: PersonField, changed: PersonChanged) -> None:
        self.fields.clear_fault(field)
        if changed.label:
            self._desk.say(f"{changed.label}.")

    def _refused(self, field: PersonField, error: DimpsyError) -> None:
        if isinstance(error, InputError):
            self.fields.say_faults(fault for fault in error.faults if fault.where == field.value)
        else:
            self._desk.say(str(error))
