"""Something breaks: weather, somebody drops out, a road is closed, or a visit was only partly done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QFormLayout,
    QGroupBox,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet, statement
from planner.desktop.today.watch import Watch
from planner.desktop.today.words import short_day, what_word
from planner.domain.calendar import DateRange
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
)
from planner.domain.plan import Status
from planner.domain.season import Season
from planner.usecases.evening.watch import OutingNow


class DisruptionPanel(QWidget):
    """Each kind with what has to be known of it, and a button that asks for the ways on; nothing is changed by it."""

    broke = Signal(object)
    """The Disruption whose ways on are wanted."""
    choose = Signal(object)
    """Outings (of OutingNow) that are to be chosen in the table."""

    def __init__(self, desk: Desk, watch: Watch) -> None:
        super().__init__()
        self._desk, self._watch = desk, watch
        self._chosen: tuple[OutingNow, ...] = ()
        self._setup: OutingNow | None = None
        self._looked_at: OutingNow | None = None
        self._season: Season | None = None
        self.no_go = QPushButton()
        self.weather = QPushButton()
        self.evening = QPushButton()
        self.who, self.since, self.leaves = QComboBox(), QDateEdit(), QPushButton(self.tr("Drops out …"))
        self.road, self.first, self.last = QComboBox(), QDateEdit(), QDateEdit()
        self.closed = QPushButton(self.tr("Is closed …"))
        self.visit, self.points = statement(), QSpinBox()
        self.partly = QPushButton(self.tr("Was partly done …"))
        self._lay_out()
        self._connect()
        self.refresh()

    def set_chosen(self, chosen: Sequence[OutingNow]) -> None:
        """Take the outings that are chosen in the table or on the map; a set-up day only where it is chosen alone."""
        self._chosen = tuple(one for one in chosen if one.outing.counts)
        self._setup = chosen[0] if len(chosen) == 1 and not self._chosen else None
        self._enable()

    def look_at(self, now: OutingNow | None) -> None:
        """Take the outing that is looked at."""
        self._looked_at = now
        if now is not None:
            self.who.setCurrentIndex(max(self.who.findData(now.outing.people[0].code), 0))
            self.road.setCurrentIndex(max(self.road.findData(now.outing.key.route), 0))
        self._enable()

    def refresh(self) -> None:
        """Offer the people and routes of the season, and the date that is shown."""
        self._offer_names()
        season = self._desk.session.snapshot.season
        for edit in (self.since, self.first, self.last):
            edit.setDateRange(_qt(season.dates.first), _qt(season.dates.last))
            edit.setDate(_qt(self._watch.date))
        self._enable()

    def _offer_names(self) -> None:
        season = self._season = self._desk.session.snapshot.season
        _offer(self.who, [(f"{one.code} {one.name}", one.code) for one in season.volunteers])
        _offer(self.road, [(one.title, one.code) for one in season.routes])

    @property
    def against_weather(self) -> tuple[OutingNow, ...]:
        """The outings of the evening that stand although the protocol says no-go."""
        return tuple(one for one in self._watch.shown if one.stands_against_weather)

    def _names_may_differ(self) -> None:
        """Offer the people and routes anew where the season has changed; the dates that are set stay."""
        if self._desk.session.snapshot.season is not self._season:
            self._offer_names()
            self._enable()

    def _weather_chosen(self) -> None:
        if self._setup is not None:
            self.broke.emit(SetupCancelled(self._setup.outing.key))
            return
        keys = tuple(one.outing.key for one in self._chosen)
        self.broke.emit(VisitCancelled(keys[0]) if len(keys) == 1 else VisitsCancelled(keys))

    def _road_closed(self) -> None:
        first, last = sorted((_day(self.first), _day(self.last)))
        self._ask(RoadClosed(self.road.currentData(), DateRange(first, last)))

    def _partly(self) -> None:
        if self._looked_at is not None:
            self._ask(PartlyDone(self._looked_at.outing.key, self.points.value()))

    def _ask(self, disruption: Disruption) -> None:
        self.broke.emit(disruption)

    def _enable(self) -> None:
        why_not = self._desk.session.snapshot.read_only_reason
        past = self.tr("This date is past.") if self._watch.date < self._desk.today() else ""
        self._enable_weather(why_not or past)
        against = str(len(self.against_weather))
        self.no_go.setText(self.tr("Choose the %1 with no-go").replace("%1", against))
        _allow(
            self.no_go,
            "" if self.against_weather else self.tr("No outing of this evening stands against the weather."),
            self.tr("Select them in the table"),
        )
        counting = [one for one in self._watch.shown if one.outing.counts]
        self.evening.setText(self.tr("Cancel all of %1 …").replace("%1", short_day(self._watch.date)))
        _allow(
            self.evening,
            why_not or past or ("" if counting else self.tr("No visit is on this date.")),
            self._nothing_yet,
        )
        nobody = "" if self.who.count() else self.tr("The season has no volunteers yet.")
        _allow(self.leaves, why_not or nobody, self._nothing_yet)
        nowhere = "" if self.road.count() else self.tr("The season has no routes yet.")
        _allow(self.closed, why_not or nowhere, self._nothing_yet)
        self._enable_partly(why_not)

    def _enable_weather(self, why_not: str) -> None:
        done = any(one.outing.status is Status.DONE for one in self._chosen)
        none = self.tr("Choose outings in the table or, with Shift and the mouse, on the map.")
        some = bool(self._chosen) or self._setup is not None
        self.weather.setText(self._cancel)
        whose = self.tr("Some of them are done already.") if done else ""
        _allow(self.weather, why_not or ("" if some else none) or whose, self._nothing_yet)

    def _enable_partly(self, why_not: str) -> None:
        now = self._looked_at
        visit = now if now is not None and now.outing.counts else None
        self.visit.setText(
            f"{visit.outing.title}, {what_word(visit.outing)}" if visit else self.tr("no visit is looked at")
        )
        early = self._watch.date > self._desk.today()
        if visit is not None:
            points = len(self._desk.session.snapshot.season.route(visit.outing.key.route).points)
            self.points.setRange(0, max(points - 1, 0))
        reason = why_not or ("" if visit else self.tr("Choose a visit in the table."))
        reason = reason or (self.tr("It is still to come: nothing of it can be done yet.") if early else "")
        _allow(self.partly, reason, self._nothing_yet)

    @property
    def _cancel(self) -> str:
        if self._setup is not None:
            return self.tr("Cancel the set-up day of %1 …").replace("%1", self._setup.outing.key.route)
        if self._chosen:
            return self.tr("Cancel the %1 chosen …").replace("%1", str(len(self._chosen)))
        return self.tr("Cancel the chosen …")

    @property
    def _nothing_yet(self) -> str:
        return self.tr("See the ways on first; nothing is changed yet")

    def _connect(self) -> None:
        self.weather.clicked.connect(self._weather_chosen)
        self.no_go.clicked.connect(lambda: self.choose.emit(self.against_weather))
        self.evening.clicked.connect(lambda: self._ask(EveningCancelled(self._watch.date)))
        self.leaves.clicked.connect(lambda: self._ask(VolunteerLeaves(self.who.currentData(), _day(self.since))))
        self.closed.clicked.connect(self._road_closed)
        self.partly.clicked.connect(self._partly)
        self._watch.changed.connect(self._enable)
        self._watch.date_changed.connect(lambda _date: self.refresh())
        self._desk.session.snapshot_changed.connect(lambda _snapshot: self._names_may_differ())

    def _lay_out(self) -> None:
        self.who.setAccessibleName(self.tr("Who drops out"))
        self.since.setAccessibleName(self.tr("Drops out from"))
        self.road.setAccessibleName(self.tr("Route whose road is closed"))
        self.first.setAccessibleName(self.tr("Closed from"))
        self.last.setAccessibleName(self.tr("Closed to"))
        self.points.setAccessibleName(self.tr("Points counted"))
        for edit in (self.since, self.first, self.last):
            edit.setCalendarPopup(True)
            edit.setDisplayFormat("d MMM yyyy")
        for box in (self.who, self.road):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)
        self.visit.setMinimumHeight(self.visit.fontMetrics().height())
        column = QVBoxLayout(self)
        column.setSpacing(8)
        column.addWidget(quiet(self.tr("Each button shows the ways on, side by side. Nothing is changed before that.")))
        column.addWidget(self._weather_box())
        column.addWidget(
            _box(
                self.tr("Somebody drops out"),
                [(self.tr("Who"), self.who), (self.tr("From"), self.since), ("", self.leaves)],
            )
        )
        column.addWidget(
            _box(
                self.tr("A road is closed"),
                [
                    (self.tr("Route"), self.road),
                    (self.tr("From"), self.first),
                    (self.tr("To"), self.last),
                    ("", self.closed),
                ],
            )
        )
        column.addWidget(
            _box(
                self.tr("A visit was partly done"),
                [("", self.visit), (self.tr("Points counted"), self.points), ("", self.partly)],
            )
        )
        column.addStretch(1)

    def _weather_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("Weather"))
        column = QVBoxLayout(box)
        for button in (self.no_go, self.weather, self.evening):
            column.addWidget(button)
        return box


def _box(title: str, rows: Sequence[tuple[str, QWidget]]) -> QGroupBox:
    box = QGroupBox(title)
    form = QFormLayout(box)
    form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
    for words, widget in rows:
        if words:
            form.addRow(words, widget)
        else:
            form.addRow(widget)
    return box


def _offer(box: QComboBox, offered: Sequence[tuple[str, str]]) -> None:
    chosen = box.currentData()
    box.clear()
    for words, code in offered:
        box.addItem(words, code)
    box.setCurrentIndex(max(box.findData(chosen), 0))


def _allow(button: QPushButton, why_not: str, words: str) -> None:
    button.setEnabled(not why_not)
    button.setToolTip(why_not or words)


def _qt(day: dt.date) -> QDate:
    return QDate(day.year, day.month, day.day)


def _day(edit: QDateEdit) -> dt.date:
    day = edit.date()
    return dt.date(day.year(), day.month(), day.day())
