"""The People room: the volunteers at the left, at the right all that is known and can be done of the one chosen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview, choose_files
from planner.desktop.look.icons import icon
from planner.desktop.look.words import heading, quiet
from planner.desktop.people.dates_panel import DatesPanel
from planner.desktop.people.findings_list import FindingsList
from planner.desktop.people.new_person import NewPersonDialog
from planner.desktop.people.people_facts import PeopleFacts
from planner.desktop.people.person_panel import PersonPanel
from planner.desktop.people.phrases import load_sentence, said
from planner.desktop.people.reach_panel import ReachPanel
from planner.desktop.people.removal import RemovalStrip
from planner.desktop.people.table import PeopleTable
from planner.desktop.room import Room, RoomName
from planner.domain.finding import Subject
from planner.domain.volunteer import Volunteer
from planner.usecases.people.editing import Removal, removal_of, remove_person

_SHARES = 1000
"""Table and person share the width evenly, as far as each can be as narrow as that."""


class PeopleRoom(Room):
    """Volunteers: who, when, how far, how often."""

    name: ClassVar[RoomName] = RoomName.PEOPLE

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setAcceptDrops(True)
        self.facts = PeopleFacts(desk, self)
        self.table = PeopleTable(desk.colours)
        self.dates = DatesPanel(desk)
        self.person = PersonPanel(desk)
        self.reach = ReachPanel(desk)
        self.removal = RemovalStrip()
        self.findings = FindingsList(desk.colours)
        self.who = heading()
        self.who.setWordWrap(False)
        self.stands = quiet()
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(self.tr("About the volunteer"))
        self.tabs.tabBar().setAccessibleName(self.tr("About the volunteer"))
        self._make_actions()
        self._lay_out()
        self.facts.changed.connect(self._show_facts)
        self.table.chosen.connect(lambda _code: self._show_chosen())
        self.removal.wanted.connect(self._remove)
        self.removal.closed.connect(self.table.view.setFocus)
        desk.look_changed.connect(self._show_look)
        self.facts.begin()
        self._show_chosen()

    def show_subject(self, subject: Subject) -> None:
        """Choose the volunteer; a date is shown on their calendar."""
        if subject.volunteer:
            self.table.choose(subject.volunteer)
        if subject.date is not None:
            self.tabs.setCurrentWidget(self.dates)
            self.dates.go_to(subject.date)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return (self.new_action, self.remove_action, self.import_action, *self._tab_actions)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files."""
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what is understood of the files that were dropped, before anything changes."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        event.acceptProposedAction()
        self._preview_import(paths)

    @property
    def chosen(self) -> Volunteer | None:
        """The volunteer who is chosen, as they stand in the file."""
        people = self.desk.session.snapshot.season.volunteers
        return next((person for person in people if person.code == self.table.code), None)

    def _show_facts(self) -> None:
        self.table.show_rows(self.facts.rows)
        self._show_chosen()

    def _show_chosen(self) -> None:
        person = self.chosen
        self.dates.show_person(person, self.facts.date_use(person))
        self.person.show_person(person)
        self.reach.show_person(person)
        self.who.setText(person.name if person is not None else self.tr("Nobody is chosen"))
        self.stands.setText(self._stands(person))
        self.findings.show_findings(self.facts.findings_of(person))
        self._judge_actions(person)
        if person is None or (not self.removal.isHidden() and self.removal.code != person.code):
            self.removal.hide()

    def _stands(self, person: Volunteer | None) -> str:
        row = self.facts.row(person)
        if person is None or row is None:
            return ""
        load = row.load
        text = said(self.tr("%1: %2 of %3 visits planned."), person.code, load.planned, load.limit)
        return f"{text} {load_sentence(load.word)}"

    def _judge_actions(self, person: Volunteer | None) -> None:
        reason = self.desk.session.snapshot.read_only_reason
        self.new_action.setEnabled(not reason)
        self.new_action.setToolTip(reason or self.tr("Add somebody to the season"))
        self.import_action.setEnabled(not reason)
        self.import_action.setToolTip(
            reason or self.tr("Tables of volunteers or of dates; they may be dropped here too")
        )
        why_not = reason or ("" if person is not None else self.tr("Choose a volunteer first."))
        self.remove_action.setEnabled(not why_not)
        self.remove_action.setToolTip(why_not or self.tr("Say what removing would mean, and remove"))

    def _show_look(self) -> None:
        colours = self.desk.colours
        self.table.set_colours(colours)
        self.findings.set_colours(colours)
        self.dates.show_look()
        self._new_button.setIcon(icon("new", colours))

    def _add(self) -> None:
        dialog = NewPersonDialog(self.desk, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.added.connect(self._added)
        dialog.open()

    def _added(self, person: Volunteer) -> None:
        self.table.choose(person.code)
        self.tabs.setCurrentWidget(self.dates)
        self.desk.say(said(self.tr("%1 is in the season. Now give dates."), person.name))

    def _ask_removal(self) -> None:
        person, snapshot = self.chosen, self.desk.session.snapshot
        if person is not None:
            self.removal.ask(removal_of(snapshot.season, snapshot.plan, person.code))

    def _remove(self, code: str) -> None:
        self.desk.session.do(lambda file: remove_person(file, code), self._removed)

    def _removed(self, removal: Removal) -> None:
        text = self.tr("%1 is removed; %2 visits are unfilled. Undo brings them back.")
        self.desk.say(said(text, removal.volunteer.code, len(removal.unfilled)))

    def _preview_import(self, paths: list[Path]) -> None:
        if paths:
            ImportPreview(self.desk, paths, self).open()

    def _make_actions(self) -> None:
        self.new_action = QAction(self.tr("New volunteer"), self)
        self.new_action.triggered.connect(self._add)
        self.remove_action = QAction(self.tr("Remove the volunteer who is chosen"), self)
        self.remove_action.triggered.connect(self._ask_removal)
        self.import_action = QAction(self.tr("Bring files in …"), self)
        self.import_action.triggered.connect(lambda: self._preview_import(choose_files(self)))
        self._tab_actions: list[QAction] = []

    def _lay_out(self) -> None:
        # Each part is put in its place before it is filled: moved as a whole it would be styled a second time.
        split = QSplitter(Qt.Orientation.Horizontal, self)
        QVBoxLayout(self).addWidget(split)
        left, right = QWidget(split), QWidget(split)
        self._fill_left(QVBoxLayout(left))
        self._fill_right(QVBoxLayout(right))
        split.setChildrenCollapsible(False)
        split.setSizes([_SHARES, _SHARES])

    def _fill_left(self, column: QVBoxLayout) -> None:
        """Put the table there, with what can be done to it."""
        self._new_button = _button(self.new_action)
        self._new_button.setIcon(icon("new", self.desk.colours))
        buttons = QHBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(buttons)
        column.addWidget(self.table, 1)
        buttons.addWidget(self._new_button)
        buttons.addWidget(_button(self.import_action))
        buttons.addStretch(1)

    def _fill_right(self, column: QVBoxLayout) -> None:
        """Put there what is known of one volunteer."""
        top = QHBoxLayout()
        column.setContentsMargins(8, 0, 0, 0)
        column.addLayout(top)
        column.addWidget(self.removal)
        column.addWidget(self.findings)
        column.addWidget(self.tabs, 1)
        top.addWidget(self.who)
        top.addWidget(self.stands, 1, Qt.AlignmentFlag.AlignVCenter)
        top.addWidget(_button(self.remove_action, self.tr("Remove …")))
        for page, title in (
            (self.dates, self.tr("Dates")),
            (self.person, self.tr("Details")),
            (self.reach, self.tr("Reach")),
        ):
            self.tabs.addTab(page, title)
            action = QAction(said(self.tr("Volunteer: %1"), title), self)
            action.triggered.connect(lambda _checked=False, page=page: self.tabs.setCurrentWidget(page))
            self._tab_actions.append(action)


def _button(action: QAction, text: str = "") -> QPushButton:
    """Return a button that does what an action does, and is enabled, named and explained like it."""
    button = QPushButton(text or action.text())
    button.setAccessibleName(action.text())
    button.clicked.connect(action.trigger)

    def follow() -> None:
        button.setEnabled(action.isEnabled())
        button.setToolTip(action.toolTip())

    action.changed.connect(follow)
    return button
