"""What a route is called and asks for: each field is one undoable step once it is left."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QDate, QEvent, QObject, QSignalBlocker, QStringListModel, Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QCompleter, QDateEdit, QFormLayout, QHBoxLayout, QLineEdit, QWidget

from planner.desktop.routes.words import tr
from planner.domain.calendar import DateRange
from planner.domain.errors import DimpsyError
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.routes.editing import RouteWish

_PARTING = "; "


class _NoStrayWheel(QObject):
    """Lets the wheel scroll the panel, not change a field that the mouse happens to rest on."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hand the wheel on unless the field has the focus."""
        if event.type() is QEvent.Type.Wheel and isinstance(watched, QWidget) and not watched.hasFocus():
            event.ignore()
            return True
        return False


class OwnDates(QWidget):
    """The dates of one visit: the season's, or this route's own."""

    changed = Signal()

    def __init__(self, number: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.number = number
        self.own = QCheckBox(tr("Own dates"))
        self.own.setAccessibleName(tr("Visit %1 has dates of its own", number))
        self.first, self.last = (
            self._edit(tr("First date of visit %1", number)),
            self._edit(tr("Last date of visit %1", number)),
        )
        self.own.toggled.connect(self._toggled)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for widget in (self.own, self.first, self.last):
            row.addWidget(widget)
        row.addStretch(1)

    def show_dates(self, own: DateRange | None, usual: DateRange, season: DateRange) -> None:
        """Show the route's own dates, else the usual ones of that visit."""
        shown = own or usual
        with QSignalBlocker(self.own):
            self.own.setChecked(own is not None)
        self.own.setToolTip(tr("Otherwise it lies in the season's dates for this visit: %1", usual))
        for edit, day in ((self.first, shown.first), (self.last, shown.last)):
            edit.setDateRange(_qdate(season.first), _qdate(season.last))
            edit.setDate(_qdate(day))
            edit.setVisible(own is not None)

    def dates(self) -> DateRange | None:
        """Return the route's own dates; None where it has none; raises RuleError for reversed ones."""
        if not self.own.isChecked():
            return None
        return DateRange(_date(self.first), _date(self.last))

    def _edit(self, name: str) -> QDateEdit:
        edit = QDateEdit()
        edit.setDisplayFormat("d MMM")
        edit.setCalendarPopup(True)
        edit.setAccessibleName(name)
        edit.setToolTip(name)
        edit.setKeyboardTracking(False)
        edit.editingFinished.connect(self.changed)
        return edit

    def _toggled(self, own: bool) -> None:
        self.first.setVisible(own)
        self.last.setVisible(own)
        if not own:
            self.changed.emit()


class RouteForm(QWidget):
    """The fields of the chosen route."""

    wished = Signal(object)
    """The RouteWish that a person made of it."""
    refused = Signal(object)
    """The DimpsyError of fields that do not go together."""

    def __init__(self, visits: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: RouteWish | None = None
        self._wheel = _NoStrayWheel(self)
        self.code, self.name, self.area, self.needs = QLineEdit(), QLineEdit(), QLineEdit(), QLineEdit()
        self.people, self.lead = QComboBox(), QComboBox()
        self.dates = tuple(OwnDates(number) for number in range(1, visits + 1))
        self.needs.setToolTip(tr("What the vehicle or the training must be, parted by semicolons"))
        self.needs.setPlaceholderText(tr("nothing of its own"))
        self.area.setToolTip(tr("The part of the survey it is counted to in reports, as you call it"))
        self.area.setPlaceholderText(tr("no area said"))
        self._known_areas = QStringListModel(self)
        self.area.setCompleter(self._completer())
        self._lay_out()
        for field in (self.code, self.name, self.area, self.needs):
            field.editingFinished.connect(self._left)
        for box in (self.people, self.lead):
            box.activated.connect(lambda _row: self._left())
        for own in self.dates:
            own.changed.connect(self._left)

    def show_route(self, season: Season, route: Route) -> None:
        """Show a route as it stands."""
        self._shown = RouteWish.of(route)
        self.code.setText(route.code)
        self.name.setText(route.name)
        self.area.setText(route.area)
        self._known_areas.setStringList(sorted({one.area for one in season.routes} - {""}))
        self.needs.setText(_PARTING.join(sorted(route.needs)))
        self._show_people(season, route)
        self._show_leads(season, route)
        own = dict(route.visit_dates)
        for field in self.dates:
            field.show_dates(own.get(field.number), season.visits[field.number - 1], season.dates)

    def allow(self, why_not: str) -> None:
        """Let the fields be written in; or not, and why."""
        self.setEnabled(not why_not)
        self.setToolTip(why_not)

    def _left(self) -> None:
        """Hand on what a person wished, if it differs from what stands."""
        if self._shown is None:
            return
        try:
            wish = self._wish()
        except DimpsyError as error:
            self.refused.emit(error)
            return
        if wish != self._shown:
            self.wished.emit(wish)

    def _wish(self) -> RouteWish:
        dates = [(field.number, field.dates()) for field in self.dates]
        needs = frozenset(word for part in self.needs.text().split(";") if (word := part.strip()))
        return RouteWish(
            code=self.code.text().strip(),
            name=self.name.text().strip(),
            people=self.people.currentData(),
            needs=needs,
            lead=self.lead.currentData(),
            visit_dates=tuple((number, own) for number, own in dates if own is not None),
            area=self.area.text().strip(),
        )

    def _completer(self) -> QCompleter:
        """Return what offers the areas that other routes have, so that one area keeps one spelling."""
        completer = QCompleter(self._known_areas, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        return completer

    def _show_people(self, season: Season, route: Route) -> None:
        fewest = season.protocol.people.fewest
        self.people.clear()
        self.people.addItem(tr("As the protocol has it (%1)", fewest), 1)
        self.people.addItem(tr("2 people"), 2)
        self.people.setCurrentIndex(route.people - 1)

    def _show_leads(self, season: Season, route: Route) -> None:
        self.lead.clear()
        self.lead.addItem(tr("Nobody has agreed yet"), "")
        for volunteer in season.volunteers:
            self.lead.addItem(f"{volunteer.code} {volunteer.name}", volunteer.code)
        if route.lead and self.lead.findData(route.lead) < 0:
            self.lead.addItem(tr("%1 (not in this season)", route.lead), route.lead)
        self.lead.setCurrentIndex(self.lead.findData(route.lead))

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        rows: list[tuple[str, QWidget]] = [
            (tr("Code"), self.code),
            (tr("Name"), self.name),
            (tr("Area"), self.area),
            (tr("Who goes"), self.people),
            (tr("Needs"), self.needs),
            (tr("Lead agreed"), self.lead),
        ]
        rows += [(tr("Visit %1", field.number), field) for field in self.dates]
        for text, field in rows:
            form.addRow(text, field)
            if not isinstance(field, OwnDates):
                field.setAccessibleName(text)
        for box in (self.people, self.lead, *(edit for field in self.dates for edit in (field.first, field.last))):
            box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            box.installEventFilter(self._wheel)
        for box in (self.people, self.lead):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)


def _qdate(day: dt.date) -> QDate:
    return QDate(day.year, day.month, day.day)


def _date(edit: QDateEdit) -> dt.date:
    day = edit.date()
    return dt.date(day.year(), day.month(), day.day())
