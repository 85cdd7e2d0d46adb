"""What follows from the record, and what can be done about it: find ways on, or let the visit stand."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.fault_line import MarkedLine
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.visits.words import follows_words
from planner.desktop.sheets.words import tr
from planner.domain.disruption import Disruption, Remains
from planner.domain.field.visit_record import RecordState
from planner.domain.finding import Severity
from planner.usecases.records import breaks


class FollowsBanner(QFrame):
    """Says it in one line; where something is asked for, what can be done stands beside it."""

    ways_wanted = Signal(object)
    """The Disruption whose ways on are wanted."""
    stands = Signal(str)
    """Why the coordinator lets the visit stand; empty: that is taken back."""

    def __init__(self, desk: Desk, entry: RecordEntry, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._entry = entry
        self.line = MarkedLine(desk.colours)
        self.ways = QPushButton(tr("Find ways on …"))
        self.reason = QLineEdit()
        self.stand = QPushButton(tr("Let it stand"))
        self.back = QPushButton(tr("Ask for it again"))
        self._decide = QWidget()
        self._lay_out()
        self.ways.clicked.connect(self._find_ways)
        self.stand.clicked.connect(self._let_stand)
        self.reason.returnPressed.connect(self._let_stand)
        self.reason.textChanged.connect(lambda _text: self._enable())
        self.back.clicked.connect(lambda: self.stands.emit(""))
        desk.look_changed.connect(lambda: self.line.set_colours(desk.colours))

    @property
    def disruption(self) -> Disruption | None:
        """What the record breaks in the plan; None: nothing, or it is not handed in."""
        judged = self._entry.judged
        if judged is None or self._entry.record.state is not RecordState.FINAL:
            return None
        return breaks(judged)

    def refresh(self) -> None:
        """Say what follows from the record as it stands."""
        if self._entry.key is None:
            return
        judged, record = self._entry.judged, self._entry.record
        if judged is None:
            self.line.say(tr("Light and drives are being computed; then the record is judged."), Severity.NOTE)
        else:
            self.line.say(*follows_words(record, judged))
        asked = judged is not None and judged.known and judged.follows is not Remains.NOTHING
        decided = bool(record.let_stand)
        self._decide.setVisible((asked and record.state is RecordState.FINAL) or decided)
        for part in (self.ways, self.reason, self.stand):
            part.setVisible(not decided)
        self.back.setVisible(decided)
        self._enable()

    def _enable(self) -> None:
        read_only = self._desk.session.snapshot.read_only_reason
        none = tr("The plan has the visit on a later date already, or does not have it.")
        why_not = read_only or ("" if self._entry.key is not None and self.disruption is not None else none)
        self.ways.setEnabled(not why_not)
        self.ways.setToolTip(why_not or tr("See in the Today room what can be done; nothing is changed yet"))
        lacking = "" if self.reason.text().strip() else tr("Say first why it stands.")
        self.stand.setEnabled(not (read_only or lacking))
        self.stand.setToolTip(read_only or lacking or tr("The visit counts as done, and nothing more is asked of it"))
        self.reason.setReadOnly(bool(read_only))
        self.reason.setToolTip(read_only or tr("Why the visit stands although the protocol asks for more"))
        self.back.setEnabled(not read_only)
        self.back.setToolTip(read_only or tr("What the protocol asks is asked again"))

    def _find_ways(self) -> None:
        if self.disruption is not None:
            self.ways_wanted.emit(self.disruption)

    def _let_stand(self) -> None:
        because = " ".join(self.reason.text().split())
        if because and self.stand.isEnabled():
            self.reason.clear()
            self.stands.emit(because)

    def _lay_out(self) -> None:
        self.setAccessibleName(tr("What follows from the record"))
        self.ways.setProperty("main", "true")
        self.reason.setAccessibleName(tr("Why the visit stands"))
        self.reason.setPlaceholderText(tr("or say why it stands as it is"))
        row = QHBoxLayout(self._decide)
        row.setContentsMargins(24, 0, 0, 4)
        row.addWidget(self.ways)
        row.addWidget(self.reason, 1)
        row.addWidget(self.stand)
        row.addWidget(self.back)
        row.setStretch(3, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.line)
        column.addWidget(self._decide)
