"""The strip that shows a planning run while it goes on, and what came of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from planner.desktop.board.planning import End, Planning, RunEnd
from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import RoomName
from planner.domain.finding import Severity, Subject
from planner.domain.plan import Plan

if TYPE_CHECKING:
    from planner.scheduling import Progress

PROVEN_BELOW_MINUTES = 900.0
"""A gap as large as this may hide a reserve date (1 000 in the plan's sum): then nothing is said in minutes."""

_MARKS = {End.FINISHED: None, End.STOPPED: Severity.NOTE, End.FAILED: Severity.BROKEN}


class PlanningStrip(QFrame):
    """Four figures and a Stop; afterwards the outcome in words, until the plan changes again."""

    def __init__(self, desk: Desk, planning: Planning, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._planning = planning
        self.setObjectName("planning")
        self._mark = QLabel()
        self._words = statement()
        self._figures = {name: heading("–") for name in ("filled", "reserve", "driving", "proven")}
        self._panel = self._figure_panel()
        self._stop = QPushButton(tr("Stop"))
        self._stop.setToolTip(tr("Ends the run and keeps the best plan found so far."))
        self._came_to: RunEnd | None = None
        """What is said; None while a run goes on."""
        self._ended_with = Plan()
        """The plan of which it is said."""
        self._turn = 0
        self._papers = PaperWatch.of(desk)
        self._show_broken = QPushButton(tr("Show broken"))
        self._show_broken.setToolTip(tr("Goes to the next visit that breaks a rule."))
        self._to_papers = QPushButton(tr("To the papers"))
        self._to_papers.setToolTip(tr("Goes to the Paper room, which says whose paper is no longer true."))
        self._close = QPushButton(tr("Close"))
        self._close.setToolTip(tr("Hides this line."))
        self._lay_out()
        self._stop.clicked.connect(self._ask_to_stop)
        self._close.clicked.connect(self.hide)
        self._show_broken.clicked.connect(self._go_to_broken)
        self._to_papers.clicked.connect(lambda: desk.go(RoomName.PAPER))
        self._papers.changed.connect(self._say)
        desk.session.snapshot_changed.connect(self._stepped)
        planning.began.connect(self._begin)
        planning.progressed.connect(self._show)
        planning.ended.connect(self._end)
        desk.look_changed.connect(self._look)
        self._look()
        self.hide()

    @property
    def text(self) -> str:
        """What it says of the run."""
        return self._words.text()

    @property
    def figures(self) -> dict[str, str]:
        """The figures that are shown."""
        return {name: label.text() for name, label in self._figures.items()}

    def _figure_panel(self) -> QWidget:
        names = {
            "filled": tr("visits filled"),
            "reserve": tr("with a reserve date"),
            "driving": tr("driving"),
            "proven": tr("from the best possible"),
        }
        panel = QWidget()
        row = QHBoxLayout(panel)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(22)
        for name, figure in self._figures.items():
            column = QVBoxLayout()
            column.setSpacing(0)
            figure.setWordWrap(False)
            figure.setAccessibleName(names[name])
            label = quiet(names[name])
            label.setWordWrap(False)
            column.addWidget(figure)
            column.addWidget(label)
            row.addLayout(column)
        return panel

    def _lay_out(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 8, 12, 8)
        row.setSpacing(12)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self._words, 1)
        row.addWidget(self._panel)
        for button in (self._stop, self._show_broken, self._to_papers, self._close):
            row.addWidget(button)

    def _begin(self) -> None:
        self._came_to = None
        for figure in self._figures.values():
            figure.setText("–")
        self._mark.clear()
        self._words.setText(tr("Planning …"))
        self._stop.setEnabled(True)
        self._shown(running=True)

    def _show(self, event: Progress) -> None:
        if not self._planning.runs:
            return
        self._words.setText(tr("Planning for %1 s. Stop keeps the best plan so far.", f"{event.seconds:.0f}"))
        self._figures["filled"].setText(str(event.filled))
        self._figures["reserve"].setText(str(event.reserved))
        self._figures["driving"].setText(tr("%1 min", f"{event.drive_minutes:.0f}"))
        self._figures["proven"].setText(proven_said(event.objective, event.bound))

    def _ask_to_stop(self) -> None:
        self._planning.stop()
        self._stop.setEnabled(False)
        self._stop.setToolTip(tr("It stops as soon as the step it is in is done."))
        self._words.setText(tr("Stopping …"))

    def _end(self, end: RunEnd) -> None:
        self._came_to, self._ended_with, self._turn = end, self._desk.session.snapshot.plan, 0
        severity = Severity.BROKEN if end.broken else _MARKS[end.end]
        self._mark.setPixmap(mark_pixmap(severity, self._desk.colours, 18, self.devicePixelRatioF()))
        self._mark.setAccessibleName(tr("broken") if end.broken else end.end.value)
        self._shown(running=False)
        self._say()
        self._desk.say(end.words)

    def _say(self) -> None:
        """Say what the run came to, and of the papers as soon as that is known."""
        end = self._came_to
        if end is None:
            return
        papers = self._papers.papers
        untrue = len(papers.wrong) if end.saved and papers is not None and self._papers.fresh else 0
        self._words.setText(f"{end.words} {_untrue_said(untrue)}".rstrip())
        self._to_papers.setVisible(untrue > 0)

    def _stepped(self) -> None:
        """Say no more of a plan that is not the plan any longer."""
        if self._came_to is not None and self._desk.session.snapshot.plan is not self._ended_with:
            self._came_to = None
            self.hide()

    def _go_to_broken(self) -> None:
        """Go to the visits that break a rule, one after another."""
        broken = self._came_to.broken if self._came_to is not None else ()
        if broken:
            key = broken[self._turn % len(broken)]
            self._turn += 1
            self._desk.go(RoomName.BOARD, Subject(route=key.route, visit=key.number))

    def _shown(self, *, running: bool) -> None:
        self._panel.setVisible(running)
        self._stop.setVisible(running)
        self._close.setVisible(not running)
        self._show_broken.setVisible(self._came_to is not None and bool(self._came_to.broken))
        self._to_papers.setVisible(False)
        self._mark.setVisible(not running)
        self.show()

    def _look(self) -> None:
        colours = self._desk.colours
        self.setStyleSheet(f"#planning {{ background: {colours.surface}; border: 1px solid {colours.line}; }}")


def _untrue_said(count: int) -> str:
    """Return how many printed papers a plan has made untrue, in words; empty where none."""
    if not count:
        return ""
    return (
        tr("1 printed paper is no longer true.") if count == 1 else tr("%1 printed papers are no longer true.", count)
    )


def proven_said(objective: float | None, bound: float | None) -> str:
    """Return how far a plan is at most from the best that there can be."""
    if objective is None or bound is None or objective - bound >= PROVEN_BELOW_MINUTES:
        return tr("not yet known")
    gap = max(0.0, objective - bound)
    return tr("none is better") if gap < 0.5 else tr("≤ %1 min", f"{gap:.0f}")
