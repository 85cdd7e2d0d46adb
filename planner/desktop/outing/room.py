"""The Outing room: one date of one team, the sky above, the ground below, and what would happen if."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import QPushButton, QStackedWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.icons import drawn_icon, icon
from planner.desktop.look.words import heading, statement
from planner.desktop.outing import icons
from planner.desktop.outing.choosing import ChoiceBar
from planner.desktop.outing.evening import MINUTE
from planner.desktop.outing.page import OutingPage
from planner.desktop.outing.rule_list import Line, RuleList, finding_lines
from planner.desktop.outing.showing import evening_of, lanes_of
from planner.desktop.outing.trial import Trial
from planner.desktop.outing.words import estimate_words, sentence, squeeze_words, troubles
from planner.desktop.room import Room, RoomName
from planner.domain.errors import DimpsyError
from planner.domain.finding import Finding, Severity, Subject
from planner.domain.plan import VisitKey
from planner.scheduling import OutingRun
from planner.usecases.evening.outing_view import OutingSight, findings_on, findings_on_visit, outing_sight, try_out


class OutingRoom(Room):
    """Shows an outing of the plan, and tries it out otherwise; nothing here is ever saved."""

    name: ClassVar[RoomName] = RoomName.OUTING

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._sight: OutingSight | None = None
        self._run: OutingRun | None = None
        self._trial = Trial()
        self._waiting = False
        """Whether a trial is being computed; the newest wish is computed after it, those between are skipped."""
        self._shown_trial: Trial | None = None
        self.choice = ChoiceBar()
        self.page = OutingPage(desk)
        self.copy = QAction(self.tr("Copy the picture of the outing"), self)
        self.on_board = QAction(self.tr("Show the visit on the board"), self)
        self.on_map = QAction(self.tr("Show the route with all its points"), self)
        self._message, self._hint, self.to_board = heading(), statement(), QPushButton()
        self.reasons = RuleList(desk.colours)
        self._stack = QStackedWidget()
        self._lay_out()
        self._dress()
        self._connect()
        self._plan_changed()

    def show_subject(self, subject: Subject) -> None:
        """Show the outing that a subject speaks of."""
        self.choice.choose(subject)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return (self.choice.previous, self.choice.following, self.on_board, self.on_map, self.copy)

    def _connect(self) -> None:
        self.copy.triggered.connect(self._copy_picture)
        self.on_board.triggered.connect(lambda: self._go(RoomName.BOARD))
        self.on_map.triggered.connect(lambda: self._go(RoomName.ROUTES))
        self.to_board.clicked.connect(self.on_board.trigger)
        session = self.desk.session
        session.snapshot_changed.connect(self._plan_changed)
        session.problem_changed.connect(self._look_again)
        session.checked_changed.connect(self._show_rules)
        self.desk.look_changed.connect(self._dress)
        self.choice.chosen.connect(self._look_again)
        self.page.try_bar.tried.connect(self._try)
        view = self.page.view
        view.departure_wished.connect(lambda offset: self._try(self._trial.leaving(offset)))
        view.departure_nudged.connect(self._nudge)
        view.count_wished.connect(self._count)
        view.count_nudged.connect(lambda by: self._count(self._counting() + by))
        view.reset_wished.connect(lambda: self._try(Trial()))

    def _plan_changed(self) -> None:
        found = self.desk.session.snapshot
        self.choice.show_plan(found.season, found.plan, self.desk.today())

    def _look_again(self) -> None:
        """Look at the outing that is chosen, as the plan has it."""
        session, dated, visit = self.desk.session, self.choice.dated, self.choice.visit
        problem, plan = session.problem, session.snapshot.plan
        if dated is None:
            self._say_unfilled(visit)
            return
        if problem is None:
            self._say(self.tr("Light and drives are being computed."), self.tr("The outing is shown in a moment."))
            return
        person, planned = self.choice.person, plan.by_key[dated.key]
        session.think(
            lambda: outing_sight(problem, planned, dated, person),
            self._took_sight,
            topic="outing",
            owner=self,
            failed=self._cannot,
        )

    def _took_sight(self, sight: OutingSight) -> None:
        same = self._sight is not None and (self._sight.dated, self._sight.person) == (sight.dated, sight.person)
        self._sight, self._run = sight, sight.planned
        trial = self._trial if same else Trial()
        self._trial = self._shown_trial = Trial()
        self.page.show_sight(sight)
        self._show()
        self._stack.setCurrentIndex(0)
        if not trial.nothing:
            self._try(trial)

    def _try(self, trial: Trial) -> None:
        """Try something: computed at once, or as soon as what is being computed is there."""
        self._trial = trial
        sight = self._sight
        if sight is None or self._waiting:
            return
        self._waiting = True
        what_if = trial.what_if(sight.planned.outing.leave_home_utc)
        self.desk.session.think(
            lambda: try_out(sight, what_if),
            lambda run: self._tried(sight, trial, run),
            owner=self,
            failed=self._refused,
        )

    def _tried(self, sight: OutingSight, trial: Trial, run: OutingRun) -> None:
        self._waiting = False
        if sight is self._sight:
            self._run, self._shown_trial = run, trial
            self._show()
        if trial != self._trial:
            self._try(self._trial)

    def _refused(self, error: DimpsyError) -> None:
        """Say why a trial cannot be, and show again what could."""
        self._waiting = False
        self.desk.say(str(error))
        self._trial = self._shown_trial or Trial()
        self._show()

    def _nudge(self, minutes: int) -> None:
        offset = self._trial.offset if self._trial.offset is not None else self._offset()
        self._try(self._trial.leaving(offset + minutes))

    def _count(self, minutes: float) -> None:
        if self._sight is not None and self._sight.planned.outing.order:
            self._try(self._trial.counting(minutes, self._sight.count_minutes))

    def _counting(self) -> float:
        usual = self._sight.count_minutes if self._sight is not None else 0.0
        return self._trial.count_minutes or usual

    def _offset(self) -> int:
        """Minutes by which what is shown leaves after the latest departure as planned."""
        if self._sight is None or self._run is None:
            return 0
        return round((self._run.outing.leave_home_utc - self._sight.planned.outing.leave_home_utc) / MINUTE)

    def _show(self) -> None:
        if self._sight is None or self._run is None:
            return
        shown = self._shown_trial or Trial()
        self.page.show_evening(evening_of(self._sight, self._run, shown), between=shown.between)
        self.page.try_bar.show_trial(self._trial if self._waiting else shown, self._offset())
        self._show_rules()

    def _show_rules(self) -> None:
        if self._sight is not None and self._run is not None:
            self.page.show_rules(tuple(self._lines(self._sight, self._run)))
        elif self.choice.dated is None:
            self._say_unfilled(self.choice.visit)

    def _lines(self, sight: OutingSight, run: OutingRun) -> Iterator[Line]:
        """Yield what is broken as it is tried, then what the checks say of the plan, then why habitat lies apart."""
        lines: list[Line] = []
        for lane, planned in zip(lanes_of(sight, run), lanes_of(sight, sight.planned), strict=False):
            sky = f"{lane.name}: " if lane.name else ""
            lines += [(severity, f"{sky}{words}") for severity, words in troubles(lane, planned)]
        checked = self.desk.session.checked
        found = findings_on(checked, sight.dated) if checked is not None else ()
        lines += finding_lines(found)
        if not lines:
            counts = self.tr("Every count lies inside its light.") if sight.window is not None else ""
            known = (None, f"{counts} {self.tr('The checks find nothing against this outing.')}".strip())
            lines.append(known if checked is not None else (Severity.NOTE, self.tr("Still being checked.")))
        yield from lines
        if sight.plan.squeeze is not None:
            yield Severity.NOTE, squeeze_words(sight.plan.squeeze)
        estimated = estimate_words(lanes_of(sight, run)[0])
        if estimated:
            yield Severity.NOTE, estimated

    def _say_unfilled(self, visit: VisitKey | None) -> None:
        if visit is None:
            self._say(
                self.tr("There are no outings yet."), self.tr("Import routes, then plan the season on the board.")
            )
            return
        checked = self.desk.session.checked
        found = findings_on_visit(checked, visit) if checked is not None else ()
        self._say(self.tr("This visit is not filled."), self.tr("The board shows what would fill it."))
        self._give_reasons(found)

    def _give_reasons(self, found: Sequence[Finding]) -> None:
        self.reasons.show_lines(finding_lines(found))
        self.reasons.setVisible(bool(found))

    def _cannot(self, error: DimpsyError) -> None:
        self._say(self.tr("This outing cannot be made as planned."), sentence(str(error)))
        checked, dated = self.desk.session.checked, self.choice.dated
        if checked is not None and dated is not None:
            self._give_reasons(findings_on(checked, dated))

    def _say(self, message: str, hint: str) -> None:
        """Show a message in place of an outing."""
        self._sight = self._run = None
        self._trial = Trial()
        self._message.setText(message)
        self._hint.setText(hint)
        self.reasons.setVisible(False)
        self._stack.setCurrentIndex(1)

    def _copy_picture(self) -> None:
        QGuiApplication.clipboard().setPixmap(self.page.view.grab())
        self.desk.say(self.tr("The picture is on the clipboard. It shows no names."))

    def _go(self, room: RoomName) -> None:
        """Go to another room and show there what is chosen here."""
        visit = self.choice.visit
        subject = Subject(route=visit.route, visit=visit.number) if visit is not None else Subject()
        self.desk.go(room, subject)

    def _dress(self) -> None:
        colours = self.desk.colours
        self.choice.set_icons(drawn_icon(icons.before, colours), drawn_icon(icons.after, colours))
        self.copy.setIcon(drawn_icon(icons.picture, colours))
        self.to_board.setIcon(icon("board", colours))
        self.on_board.setIcon(icon("board", colours))
        self.on_map.setIcon(icon("routes", colours))
        self.reasons.set_colours(colours)

    def _lay_out(self) -> None:
        for action in (self.on_board, self.on_map, self.copy):
            self.choice.add_button(action)
        self.to_board.setText(self.tr("To the &board"))
        empty = QWidget()
        words = QVBoxLayout(empty)
        words.setContentsMargins(0, 24, 0, 0)
        words.setSpacing(8)
        for widget in (self._message, self._hint):
            words.addWidget(widget)
        words.addWidget(self.to_board, 0, Qt.AlignmentFlag.AlignLeft)
        words.addSpacing(12)
        words.addWidget(self.reasons, 1)
        words.addStretch(1)
        self._stack.addWidget(FittedScroll(self.page))
        self._stack.addWidget(empty)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 10, 14, 10)
        column.setSpacing(8)
        column.addWidget(self.choice)
        column.addWidget(self._stack, 1)
