"""The chosen route at the right: its figures, the findings on it with their fixes, other orders, and its form."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import figure, heading, quiet, statement, title
from planner.desktop.room import RoomName
from planner.desktop.routes.chosen import ChosenRoute
from planner.desktop.routes.finding_card import FindingCard, FixRow
from planner.desktop.routes.route_form import RouteForm
from planner.desktop.routes.words import day_words, drive_words, length_words, minutes_words, tr
from planner.desktop.rule_rooms import room_of
from planner.domain.finding import Finding, Rule
from planner.usecases.route_fixes import Fix, RouteFigures


class RoutePanel(QScrollArea):
    """All that is said of the chosen route."""

    fix_wanted = Signal(object)
    """The Fix that a person asks for."""
    look_wanted = Signal(object)
    """The Finding that a person wants to see on the map."""
    layout_wanted = Signal()
    """The route has no points yet, and they are to be laid out."""
    drop_wanted = Signal()
    """The route itself is to be dropped."""

    def __init__(self, desk: Desk, chosen: ChosenRoute, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._chosen = desk, chosen
        self._why_not = ""
        self.cards: tuple[FindingCard, ...] = ()
        self.orders: tuple[FixRow, ...] = ()
        self._title, self._margin, self._margin_words, self._figures = title(), figure(), quiet(), statement()
        self._findings = QVBoxLayout()
        self._order_rows = QVBoxLayout()
        self._sound = statement(tr("The checks have nothing against this route."))
        self.form = RouteForm(len(desk.session.snapshot.season.visits))
        self.drop = QPushButton(tr("Drop the route"))
        self.drop.clicked.connect(lambda _checked: self.drop_wanted.emit())
        self._drop_words = quiet()
        self._body, self._empty = QWidget(), statement(tr("Choose a route at the left or on the map."))
        self._lay_out()
        chosen.changed.connect(self.refresh)
        chosen.weighed_changed.connect(self._show_figures)
        chosen.offers_changed.connect(self._show_offers)
        session = desk.session
        session.snapshot_changed.connect(lambda _found: self._show_form())
        session.checked_changed.connect(lambda _found: self._show_findings())
        desk.units_changed.connect(self._show_figures)
        self.refresh()

    def refresh(self) -> None:
        """Show another route, or the same as it stands now."""
        route = self._chosen.route
        self._body.setVisible(route is not None)
        self._empty.setVisible(route is None)
        if route is not None:
            self._title.setText(route.title)
        self._show_form()
        self._show_figures()
        self._show_findings()

    def allow(self, why_not: str) -> None:
        """Let the route be changed; or not, and why."""
        self._why_not = why_not
        self.form.allow(why_not)
        self.drop.setEnabled(not why_not)
        self.drop.setToolTip(why_not or tr("Takes it out of the season; can be undone"))

    def _show_form(self) -> None:
        route, found = self._chosen.route, self._desk.session.snapshot
        if route is None:
            return
        self.form.show_route(found.season, route)
        visits = len(found.plan.of_route(route.code))
        words = (
            tr("Its planned visit goes with it.") if visits == 1 else tr("Its %1 planned visits go with it.", visits)
        )
        self._drop_words.setText(words if visits else tr("It has no planned visits."))

    def _show_figures(self) -> None:
        weighed = self._chosen.weighed
        known = weighed.figures if weighed is not None else None
        if known is None or not known.points:
            self._margin.setText("")
            self._margin_words.setText(tr("Working out the figures …") if self._has_points() else tr("No points yet."))
            self._figures.setText("")
            return
        self._margin.setText(minutes_words(known.margin_minutes))
        self._margin_words.setText(self._margins(known))
        drive = tr("%1 to drive from the first point to the last", drive_words(known.drive_minutes))
        self._figures.setText(f"{length_words(known.length_m, self._desk.units)} · {drive}")

    def _margins(self, known: RouteFigures) -> str:
        """Return the margin of each visit on its best date."""
        parts = [
            tr("visit %1: %2 on %3", one.visit, minutes_words(one.minutes), day_words(one.day))
            if one.day is not None
            else tr("visit %1: no window on any date", one.visit)
            for one in known.margins
        ]
        return tr("Margin on the best date; %1", ", ".join(parts))

    def _has_points(self) -> bool:
        route = self._chosen.route
        return route is not None and bool(route.points)

    def _show_findings(self) -> None:
        """Show the findings; cards of findings that stay are kept, with what is offered on them."""
        wanted = tuple(self._chosen.findings) if self._chosen.route is not None else ()
        if wanted != tuple(card.finding for card in self.cards):
            _empty(self._findings)
            self.cards = tuple(FindingCard(self._desk, one, self.look_wanted.emit) for one in wanted)
            for card in self.cards:
                self._findings.addWidget(card)
        self._sound.setVisible(not wanted and self._desk.session.checked is not None)
        self._show_offers()

    def _show_offers(self) -> None:
        for card in self.cards:
            offers = self._chosen.offers.get(card.finding)
            elsewhere = room_of(card.finding.rule)
            if offers:
                card.offer(offers, self.fix_wanted.emit, self._why_not)
            elif elsewhere is not RoomName.ROUTES:
                card.lead_on(tr("Show on the board"), self._going(elsewhere, card.finding))
            elif card.finding.rule is Rule.ROUTE_POINTS and not self._has_points():
                card.lead_on(tr("Lay out its points …"), self.layout_wanted.emit, self._why_not)
            elif offers is None:
                card.wait()
            else:
                card.offer((), self.fix_wanted.emit, "")
        _empty(self._order_rows)
        self.orders = tuple(FixRow(self._desk, one, self._do, self._why_not) for one in self._chosen.orders)
        for row in self.orders:
            self._order_rows.addWidget(row)

    def _do(self, fix: Fix) -> None:
        self.fix_wanted.emit(fix)

    def _going(self, room: RoomName, finding: Finding) -> Callable[[], None]:
        return lambda: self._desk.go(room, finding.subject)

    def _lay_out(self) -> None:
        self.setWidgetResizable(True)
        self.setMinimumWidth(300)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column = QVBoxLayout(self._body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for widget in (self._title, self._margin, self._margin_words, self._figures, self._sound):
            column.addWidget(widget)
        column.addLayout(self._findings)
        column.addSpacing(6)
        column.addWidget(heading(tr("What the route asks for")))
        column.addWidget(self.form)
        column.addSpacing(6)
        column.addWidget(heading(tr("Order of the points")))
        column.addLayout(self._order_rows)
        column.addSpacing(6)
        dropping = QHBoxLayout()
        dropping.addWidget(self._drop_words, 1)
        dropping.addWidget(self.drop)
        column.addLayout(dropping)
        column.addStretch(1)
        whole = QWidget()
        outer = QVBoxLayout(whole)
        outer.setContentsMargins(6, 12, 12, 12)
        outer.addWidget(self._empty)
        outer.addWidget(self._body, 1)
        self.setWidget(whole)


def _empty(layout: QVBoxLayout) -> None:
    """Take everything out of a layout for good."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.setParent(None)
            widget.deleteLater()
