"""The season's own form: what it is called, whom everybody rings, when it runs, what is expected of the weather."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import (
    QFormLayout,
    QGroupBox,
    QHBoxLayout,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet, statement
from planner.desktop.season.dates_box import DatesBox
from planner.desktop.season.field import StepLine
from planner.desktop.season.weather_box import WeatherBox
from planner.domain.calendar import DateRange
from planner.domain.errors import DimpsyError
from planner.domain.travel import ESTIMATED_WORDS
from planner.store import SeasonFile
from planner.usecases.season.coordinator import set_coordinator
from planner.usecases.season.form import (
    expect_no_weather,
    expect_weather,
    note_on_season,
    rename_season,
    set_season_dates,
)


class DetailsPage(QScrollArea):
    """Two columns of boxes; each change is one step."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName(self.tr("The season's own form"))
        self.name = StepLine(
            self.tr("Name of the season"), lambda text: self._do(lambda file: rename_season(file, text))
        )
        self.zone = statement()
        self.roads = statement()
        self.coordinator = StepLine(self.tr("Coordinator's name"), self._keep_name)
        self.telephone = StepLine(self.tr("Coordinator's telephone"), self._keep_telephone)
        self.email = StepLine(self.tr("Coordinator's email address"), self._keep_email)
        self.trouble = statement()
        self.notes = QPlainTextEdit()
        self.notes.setAccessibleName(self.tr("Notes on the season"))
        self.notes.setTabChangesFocus(True)
        self.keep_notes = QPushButton(self.tr("Keep the notes"))
        self.dates = DatesBox(len(desk.session.snapshot.season.visits))
        self.weather = WeatherBox()
        self._connect()
        self._lay_out()
        self.show_season()

    def show_season(self) -> None:
        """Show the season as it stands."""
        found = self._desk.session.snapshot
        season, may_write = found.season, not found.read_only_reason
        self.name.show_text(season.name)
        self.zone.setText(season.zone)
        none = self.tr("none: every drive is an estimate")
        self.roads.setText(none if season.roads is None else season.roads.source_name)
        self.roads.setToolTip(ESTIMATED_WORDS if season.roads is None else "")
        self.coordinator.show_text(season.coordinator.name)
        self.telephone.show_text(season.coordinator.telephone)
        self.email.show_text(season.coordinator.email)
        for line in self._lines:
            line.setReadOnly(not may_write)
            line.setToolTip(found.read_only_reason)
        self.trouble.setVisible(not season.coordinator.telephone)
        self._show_notes(season.notes)
        self.dates.show_season(season, may_write=may_write)
        self.weather.show_season(season, may_write=may_write)

    def go_to_weather(self) -> None:
        """Bring what is expected of the weather to the front."""
        first = next(iter(self.weather.chances.values()), None)
        if first is not None:
            self.ensureWidgetVisible(self.weather)
            first.setFocus()

    def go_to_coordinator(self) -> None:
        """Bring the coordinator's number to the front."""
        self.ensureWidgetVisible(self.telephone)
        self.telephone.setFocus()

    @property
    def _lines(self) -> tuple[StepLine, ...]:
        return (self.name, self.coordinator, self.telephone, self.email)

    def _keep_name(self, text: str) -> None:
        self._do(lambda file: set_coordinator(file, name=text))

    def _keep_telephone(self, text: str) -> None:
        self._do(lambda file: set_coordinator(file, telephone=text))

    def _keep_email(self, text: str) -> None:
        self._do(lambda file: set_coordinator(file, email=text))

    def _do(self, operation: Callable[[SeasonFile], object]) -> None:
        self._desk.session.do(operation, failed=self._refuse)

    def _refuse(self, error: DimpsyError) -> None:
        for line in self._lines:
            line.put_back()
        self._desk.session.failed.emit(error)

    def _connect(self) -> None:
        self.dates.wished.connect(self._set_dates)
        self.weather.wished.connect(self._expect)
        self.weather.unsaid.connect(lambda: self._do(expect_no_weather))
        self.notes.textChanged.connect(self._show_notes_state)
        self.keep_notes.clicked.connect(self._keep_notes)

    def _set_dates(self, dates: DateRange, visits: Mapping[int, DateRange]) -> None:
        self._desk.session.do(
            lambda file: set_season_dates(file, dates, visits), failed=lambda error: self.dates.refuse(str(error))
        )

    def _expect(self, chances: Mapping[int, float], persistence: float) -> None:
        self._do(lambda file: expect_weather(file, chances, persistence))

    def _keep_notes(self) -> None:
        text = self.notes.toPlainText()
        self._do(lambda file: note_on_season(file, text))

    def _show_notes(self, text: str) -> None:
        if self.notes.toPlainText().strip() != text and not self.notes.hasFocus():
            blocker = QSignalBlocker(self.notes)
            self.notes.setPlainText(text)
            blocker.unblock()
        self._show_notes_state()

    def _show_notes_state(self) -> None:
        found = self._desk.session.snapshot
        changed = self.notes.toPlainText().strip() != found.season.notes
        self.keep_notes.setEnabled(changed and not found.read_only_reason)
        self.keep_notes.setToolTip(found.read_only_reason if changed else self.tr("The notes are those of the file"))

    def _lay_out(self) -> None:
        self.trouble.setText(self.tr("Every paper tells people in the dark to ring this number: it must not be empty."))
        inside = QWidget()
        columns = QHBoxLayout(inside)
        columns.setSpacing(16)
        columns.setContentsMargins(2, 8, 8, 8)
        for boxes in ((self._season_box(), self._coordinator_box(), self._notes_box()), self._right_boxes()):
            column = QVBoxLayout()
            column.setSpacing(12)
            for box in boxes:
                column.addWidget(box)
            column.addStretch(1)
            columns.addLayout(column, 1)
        self.setWidgetResizable(True)
        self.setWidget(inside)

    def _season_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("The season"))
        form = _form(box)
        form.addRow(self.tr("Name"), self.name)
        form.addRow(self.tr("Time zone"), self.zone)
        form.addRow(self.tr("Road map"), self.roads)
        return box

    def _coordinator_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("Whom everybody rings"))
        form = _form(box)
        form.addRow(self.tr("Name"), self.coordinator)
        form.addRow(self.tr("Telephone"), self.telephone)
        form.addRow(self.tr("Email"), self.email)
        form.addRow(self.trouble)
        form.addRow(quiet(self.tr("This name and number stand on every paper.")))
        return box

    def _notes_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("Notes"))
        column = QVBoxLayout(box)
        self.notes.setMinimumHeight(self.notes.fontMetrics().height() * 5)
        column.addWidget(self.notes)
        row = QHBoxLayout()
        row.addWidget(self.keep_notes)
        row.addStretch(1)
        column.addLayout(row)
        return box

    def _right_boxes(self) -> tuple[QGroupBox, QGroupBox]:
        dates, weather = QGroupBox(self.tr("Dates")), QGroupBox(self.tr("Lost evenings"))
        for box, inside in ((dates, self.dates), (weather, self.weather)):
            QVBoxLayout(box).addWidget(inside)
        return dates, weather


def _form(box: QGroupBox) -> QFormLayout:
    form = QFormLayout(box)
    form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
    form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
    return form
