"""The ways on after something broke, side by side, and what each would do, before anything is changed."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.board.view import BoardView
from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, statement, title
from planner.desktop.today.moves_model import MoveColumn, MovesModel
from planner.desktop.today.way_card import WayCard
from planner.domain.disruption import Disruption
from planner.domain.errors import DimpsyError, ImpossibleError
from planner.scheduling import WayOn
from planner.usecases.evening.cancelling import WaysOn


class WaysPage(QWidget):
    """Up to three cards; below them the visits that the card in view changes, as a list and on the board."""

    left = Signal()
    """Nothing is to be changed."""
    accepted = Signal(object, int)
    """The WaysOn, and the number of the way that is taken, from 1."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.offer: WaysOn | None = None
        self.cards: list[WayCard] = []
        self._what = title()
        self._told = statement()
        self.back = QPushButton(self.tr("Back, change nothing"))
        self._row = QHBoxLayout()
        self.moves = MovesModel(self)
        self.table = QTableView()
        self.board = BoardView(desk)
        self._waiting = QProgressBar()
        self._area = QScrollArea()
        self._below = QSplitter(Qt.Orientation.Horizontal)
        self._lay_out()
        self.back.clicked.connect(self.left.emit)
        desk.look_changed.connect(self._dress)
        desk.session.snapshot_changed.connect(lambda _snapshot: self._check_offer())

    @property
    def told(self) -> str:
        """What is said above the cards."""
        return self._told.text()

    def show_computing(self, disruption: Disruption) -> None:
        """Say that the ways are being looked for."""
        self._clear()
        self._what.setText(_capital(str(disruption)))
        self._told.setText(self.tr("Looking for ways on … this takes some seconds. Nothing is changed meanwhile."))
        self._hide_parts()
        self._waiting.show()

    def show_failure(self, error: DimpsyError) -> None:
        """Say why there is no way on."""
        self._told.setText(_words(error))
        self._hide_parts()

    def show_offer(self, offer: WaysOn) -> None:
        """Show the ways side by side."""
        self._clear()
        self._waiting.hide()
        self.offer = offer
        self._what.setText(_capital(str(offer.disruption)))
        self._told.setText(self._words_above(offer))
        why_not = self._desk.session.snapshot.read_only_reason
        for number, way in enumerate(offer.ways, start=1):
            card = WayCard(number, way, offer.season, self._desk.colours, why_not)
            card.looked_at.connect(self.look_at)
            card.accepted.connect(self._accept)
            self.cards.append(card)
            self._row.addWidget(card, 1)
        there = bool(offer.ways)
        self._area.setVisible(there)
        self._below.setVisible(there)
        if there:
            self.look_at(1)
            self.cards[0].look.setFocus()

    def look_at(self, number: int) -> None:
        """Show below what one way changes."""
        if self.offer is None:
            return
        way = self.offer.ways[number - 1]
        for card in self.cards:
            card.show_looked_at(self._desk.colours, on=card.number == number)
        self.moves.show(way, self.offer.season)
        self.board.show_preview(way.plan)
        # Once more when the page has its size: the board brings the first change into sight.
        QTimer.singleShot(0, self.board, lambda: self._preview(way))

    def _preview(self, way: WayOn) -> None:
        if self.offer is not None and any(one is way for one in self.offer.ways):
            self.board.show_preview(way.plan)

    def put_away(self) -> None:
        """Forget the ways: they have been taken, or left."""
        self._clear()
        self.board.show_preview(None)

    def _accept(self, number: int) -> None:
        if self.offer is not None:
            for card in self.cards:
                card.accept.setEnabled(False)
            self.accepted.emit(self.offer, number)

    def refuse(self, error: DimpsyError) -> None:
        """Say why a way could not be taken; the others may be."""
        self._told.setText(_words(error))
        for card in self.cards:
            card.accept.setEnabled(True)

    def _check_offer(self) -> None:
        """Bar the ways where the season is no longer the one that they were computed for."""
        snapshot = self._desk.session.snapshot
        if self.offer is None or (snapshot.season == self.offer.season and snapshot.plan == self.offer.before):
            return
        stale = self.tr("The season has changed since these ways were computed: go back and ask for them again.")
        self._told.setText(stale)
        for card in self.cards:
            card.accept.setEnabled(False)
            card.accept.setToolTip(stale)

    def _words_above(self, offer: WaysOn) -> str:
        if not offer.ways:
            return self.tr("No way on was found: every plan that was tried breaks a rule that was kept before.")
        if not offer.possible:
            words = self.tr(
                "No way fills everything. Nothing is changed yet; if you accept it, what cannot be filled is"
            )
            return words + self.tr(" taken out of the plan and the rest is kept.")
        return self.tr("Nothing is changed yet. The first way disturbs least; look at each, and accept one.")

    def _dress(self) -> None:
        chosen = next((card.number for card in self.cards if card.look.isChecked()), 0)
        for card in self.cards:
            card.show_looked_at(self._desk.colours, on=card.number == chosen)

    def _clear(self) -> None:
        self.offer = None
        for card in self.cards:
            self._row.removeWidget(card)
            card.hide()
            card.deleteLater()
        self.cards = []
        self.moves.show(None, self._desk.session.snapshot.season)

    def _hide_parts(self) -> None:
        self._waiting.hide()
        self._area.hide()
        self._below.hide()

    def _lay_out(self) -> None:
        self._waiting.setRange(0, 0)
        self._waiting.setAccessibleName(self.tr("Looking for ways on"))
        head = QHBoxLayout()
        head.addWidget(self._what, 1)
        head.addWidget(self.back, 0, Qt.AlignmentFlag.AlignTop)
        cards = QWidget()
        cards.setLayout(self._row)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(10)
        self._area.setWidget(cards)
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setAccessibleName(self.tr("Ways on"))
        self._lay_out_table()
        self._below.addWidget(_titled(self.tr("Visit by visit"), self.table))
        self._below.addWidget(_titled(self.tr("On the board"), self.board))
        self._below.setSizes([500, 500])
        self._below.setChildrenCollapsible(False)
        both = QSplitter(Qt.Orientation.Vertical)
        both.addWidget(self._area)
        both.addWidget(self._below)
        both.setSizes([310, 320])
        both.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 10)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self._told)
        column.addWidget(self._waiting)
        column.addWidget(both, 1)

    def _lay_out_table(self) -> None:
        self.table.setModel(self.moves)
        self.table.setAccessibleName(self.tr("Visits that change"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.setAlternatingRowColors(True)
        self.table.verticalHeader().hide()
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(MoveColumn.VISIT, QHeaderView.ResizeMode.ResizeToContents)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)


def _titled(words: str, widget: QWidget) -> QWidget:
    part = QWidget()
    column = QVBoxLayout(part)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(4)
    column.addWidget(heading(words))
    column.addWidget(widget, 1)
    return part


def _words(error: DimpsyError) -> str:
    if isinstance(error, ImpossibleError):
        return "\n".join([error.asked, *error.reasons])
    return str(error)


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
