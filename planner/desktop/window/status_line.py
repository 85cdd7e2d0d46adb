"""The foot of the window: what stands and what to do next, in words; and what is being done, with a Stop."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QToolButton, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.look.words import quiet, statement
from planner.desktop.session import SeasonSession
from planner.desktop.worker import Job

SHOWN_AFTER_MS = 500
"""What is over sooner needs no sign of it."""
SAID_FOR_MS = 8_000


class StatusLine(QFrame):
    """Two things side by side: how the season stands, and what is going on."""

    def __init__(self, session: SeasonSession, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("status")
        self._stands = statement()
        self._stands.setObjectName("stands")
        self._doing: QLabel = quiet()
        self._doing.setWordWrap(False)
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setFixedWidth(110)
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName(self.tr("Work going on"))
        self._stop = QToolButton()
        self._stop.setObjectName("stop")
        self._stop.setText(self.tr("Stop"))
        self._stop.setIconSize(QSize(14, 14))
        self._stop.clicked.connect(self._stop_newest)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 14, 6)
        row.addWidget(self._stands, 1)
        for widget in (self._doing, self._bar, self._stop):
            row.addWidget(widget)
            widget.hide()
        self._jobs: list[Job] = []
        self._standing = ""
        self._wait = _once(self, SHOWN_AFTER_MS, self._show_work)
        self._said = _once(self, SAID_FOR_MS, self._show_standing)
        session.busy.connect(self._began)
        session.idle.connect(self._ended)
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._stop.setIcon(icon("stop", colours))
        self.setStyleSheet(f"#status {{ background: {colours.raised}; border-top: 1px solid {colours.line}; }}")

    def show_stands(self, text: str) -> None:
        """Say how the season stands and what to do next."""
        self._standing = text
        if not self._said.isActive():
            self._show_standing()

    def say(self, text: str) -> None:
        """Say something for a while, then how the season stands again."""
        self._stands.setText(text)
        self._said.start()

    @property
    def text(self) -> str:
        """What it says now."""
        return self._stands.text()

    def _show_standing(self) -> None:
        self._stands.setText(self._standing)

    def _began(self, job: Job) -> None:
        if job.words:
            self._jobs.append(job)
            self._wait.start()

    def _ended(self, job: Job) -> None:
        if job in self._jobs:
            self._jobs.remove(job)
            if not self._jobs:
                self._wait.stop()
            if not self._wait.isActive():
                self._show_work()

    def _show_work(self) -> None:
        newest = self._jobs[-1] if self._jobs else None
        self._doing.setText(newest.words if newest else "")
        self._doing.setVisible(newest is not None)
        self._bar.setVisible(newest is not None)
        stoppable = newest is not None and newest.stop is not None
        self._stop.setVisible(stoppable)
        self._stop.setEnabled(True)
        self._stop.setToolTip(self.tr("Stop, and keep what has been found"))

    def _stop_newest(self) -> None:
        for job in reversed(self._jobs):
            if job.stop is not None:
                job.stop.set()
                self._stop.setEnabled(False)
                self._stop.setToolTip(self.tr("Stopping as soon as the step that runs is over"))
                return


def _once(owner: QWidget, milliseconds: int, call: Callable[[], None]) -> QTimer:
    timer = QTimer(owner)
    timer.setSingleShot(True)
    timer.setInterval(milliseconds)
    timer.timeout.connect(call)
    return timer
