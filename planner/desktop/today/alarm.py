"""The bar that says loudly who is overdue, and whom to ring: above everything else, whatever date is shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QGuiApplication
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, statement
from planner.desktop.today.words import clock, short_day
from planner.domain.finding import Severity
from planner.domain.season import Season
from planner.usecases.evening.watch import OutingNow, PersonNow, StillOut

MOST_LINES = 3
"""People named one by one; the others are counted, and stand in the table."""


@dataclass(frozen=True, slots=True)
class _Line:
    """Somebody who must be rung."""

    key: tuple[dt.date, str, str]
    words: str
    telephone: str
    safe: Callable[[], None]


class Alarm(QFrame):
    """Hidden while nobody is overdue."""

    safe = Signal(object, object)
    """The OutingNow and PersonNow of somebody who is home after all."""
    stray_safe = Signal(object)
    """The StillOut of somebody who is home after all."""
    outing_wanted = Signal(object, str)
    """Date and route of an outing to look at."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("alarm")
        self.setAccessibleName(self.tr("Overdue"))
        self._shown: tuple[_Line, ...] = ()
        self._labels: list[QLabel] = []
        self._mark = QLabel()
        self._mark.setFixedWidth(34)
        self._head = heading()
        self._todo = _slim(statement())
        self._lines = QGridLayout()
        self._lines.setHorizontalSpacing(10)
        self._lines.setColumnStretch(0, 1)
        column = QVBoxLayout()
        column.setSpacing(4)
        column.addWidget(self._head)
        column.addLayout(self._lines)
        column.addWidget(self._todo)
        row = QHBoxLayout(self)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(column, 1)
        self.set_colours(colours)
        self.hide()

    @property
    def said(self) -> str:
        """All that is said, in one text."""
        return "\n".join([self._head.text(), *(label.text() for label in self._labels), self._todo.text()])

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._mark.setPixmap(mark_pixmap(Severity.BROKEN, colours, 30, 2.0))
        self.setStyleSheet(
            f"#alarm {{ background: {colours.surface}; border: 3px solid {colours.broken}; border-radius: 6px; }}"
        )

    def show_overdue(
        self,
        overdue: Sequence[tuple[OutingNow, PersonNow]],
        strays: Sequence[StillOut],
        season: Season,
        now: dt.datetime,
    ) -> None:
        """Name those who must be rung; hide where there is nobody."""
        lines = [self._overdue_line(outing, person, season, now) for outing, person in overdue]
        lines += [self._stray_line(stray, season) for stray in strays]
        self.setVisible(bool(lines))
        if not lines:
            self._rebuild([])
            return
        self._head.setText(self._headline(overdue, strays))
        shown = lines[:MOST_LINES]
        if [line.key for line in shown] != [line.key for line in self._shown]:
            self._rebuild(shown)
        for line, label in zip(shown, self._labels, strict=True):
            label.setText(line.words)
        self._todo.setText(self._what_to_do(len(lines)))

    def _headline(self, overdue: Sequence[object], strays: Sequence[object]) -> str:
        parts = []
        if overdue:
            parts.append(self.tr("OVERDUE: %1").replace("%1", str(len(overdue))))
        if strays:
            parts.append(self.tr("OUT, BUT NOT IN THE PLAN ANY MORE: %1").replace("%1", str(len(strays))))
        return ".  ".join(parts)

    def _overdue_line(self, outing: OutingNow, person: PersonNow, season: Season, now: dt.datetime) -> _Line:
        return _Line(
            (outing.outing.date, outing.outing.key.route, person.goer.code),
            self._overdue_words(outing, person, season, now),
            person.goer.telephone,
            partial(self.safe.emit, outing, person),
        )

    def _overdue_words(self, outing: OutingNow, person: PersonNow, season: Season, now: dt.datetime) -> str:
        goer, due = person.goer, person.goer.due_utc
        role = self.tr("lead") if goer.leads else self.tr("second")
        words = self.tr("%1 (%2, %3), due back %4").replace("%1", goer.name).replace("%2", role)
        when = clock(due, season.tzinfo) if due is not None else "–"
        if due is not None and (now - due) > dt.timedelta(hours=20):
            when = f"{short_day(due.astimezone(season.tzinfo).date())} {when}"
        words = words.replace("%3", outing.outing.title).replace("%4", when)
        if due is not None:
            words += ", " + self.tr("%1 ago").replace("%1", _span(now - due))
        heard = max(person.heard, key=lambda stage: person.heard[stage], default=None)
        if heard is None:
            return words + ". " + self.tr("Nothing was heard all evening.")
        last = clock(person.heard[heard], season.tzinfo)
        return words + ". " + self.tr("Last heard %1: %2.").replace("%1", last).replace("%2", heard.value)

    def _stray_line(self, stray: StillOut, season: Season) -> _Line:
        known = {one.code: one for one in season.volunteers}
        person = known.get(stray.volunteer)
        words = self.tr("%1 left at %2 for %3 on %4. The plan has that outing no more: do they know?")
        name = person.name if person is not None else stray.volunteer
        values = (name, clock(stray.since_utc, season.tzinfo), stray.route, short_day(stray.date))
        for number, value in enumerate(values, start=1):
            words = words.replace(f"%{number}", value)
        return _Line(
            (stray.date, stray.route, stray.volunteer),
            words,
            person.telephone if person is not None else "",
            partial(self.stray_safe.emit, stray),
        )

    def _rebuild(self, lines: Sequence[_Line]) -> None:
        self._clear()
        self._shown = tuple(lines)
        self._labels = [self._add(line, row) for row, line in enumerate(lines)]
        if lines:
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def _add(self, line: _Line, row: int) -> QLabel:
        label = _slim(statement(line.words))
        self._lines.addWidget(label, row, 0)
        copy = QPushButton(self.tr("Ring %1").replace("%1", line.telephone or "–"))
        copy.setToolTip(self.tr("Copy the number") if line.telephone else self.tr("No number is known"))
        copy.setEnabled(bool(line.telephone))
        copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(line.telephone))
        home = QPushButton(self.tr("Is safe home"))
        home.clicked.connect(lambda _on: line.safe())
        show = QPushButton(self.tr("Show"))
        show.clicked.connect(lambda _on: self.outing_wanted.emit(*line.key[:2]))
        for column, button in enumerate((copy, home, show), start=1):
            button.setAccessibleDescription(line.words)
            self._lines.addWidget(button, row, column, Qt.AlignmentFlag.AlignTop)
        return label

    def _what_to_do(self, count: int) -> str:
        rest = count - MOST_LINES
        more = self.tr("And %1 more, see the table. ").replace("%1", str(rest)) if rest > 0 else ""
        return more + self.tr(
            "Ring them, then their partner, then whom they have named at home. If nobody answers and you fear for them,"
            " ring the emergency services and say where they were to stand."
        )

    def _clear(self) -> None:
        while (item := self._lines.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()


def _slim(label: QLabel) -> QLabel:
    """Return a label that asks for one line at least; Qt asks for many where a text could wrap."""
    label.setMinimumHeight(label.fontMetrics().height())
    return label


def _span(span: dt.timedelta) -> str:
    minutes = int(span.total_seconds() // 60)
    return f"{minutes} min" if minutes < 100 else f"{minutes // 60} h {minutes % 60:02d} min"
