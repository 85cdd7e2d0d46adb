"""What is to be said of one person's paper: what changed on it, how to reach them, and calling it back."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.words import quiet, statement
from planner.desktop.paper.words import state_sentence
from planner.domain.volunteer import Volunteer
from planner.usecases.paper.papers import PaperState, VolunteerPaper

MOST_LINES = 4
"""Changes listed; more are counted."""


class PersonNote(QWidget):
    """Stands below the table, for the row that is current."""

    call_back = Signal(str)
    """Code of the volunteer whose paper was called back."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._paper: VolunteerPaper | None = None
        self.said = statement()
        self.reached = quiet()
        self.called = QPushButton(self.tr("It is called back"))
        self.called.setToolTip(self.tr("They know that their paper is void; they leave this list"))
        self.called.clicked.connect(self._call_back)
        foot = QHBoxLayout()
        foot.addWidget(self.reached, 1)
        foot.addWidget(self.called)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.said)
        column.addLayout(foot)
        self.show_person(None, None, may_write=False)

    def show_person(self, paper: VolunteerPaper | None, person: Volunteer | None, *, may_write: bool) -> None:
        """Say what there is to say of somebody; ``person`` is None where they are no longer in the season."""
        self._paper = paper
        self.said.setText("" if paper is None else "\n".join(self._lines(paper)))
        ways = [] if person is None else [one for one in (person.telephone, person.email) if one]
        self.reached.setText("    ".join(ways))
        self.called.setVisible(paper is not None and paper.state is PaperState.WITHDRAW)
        self.called.setEnabled(may_write)

    def _lines(self, paper: VolunteerPaper) -> list[str]:
        lines = [state_sentence(paper.state), *paper.changes[:MOST_LINES]]
        more = len(paper.changes) - MOST_LINES
        if more > 0:
            lines.append(self.tr("… and %1 more changes.").replace("%1", str(more)))
        return lines

    def _call_back(self) -> None:
        if self._paper is not None:
            self.call_back.emit(self._paper.code)
