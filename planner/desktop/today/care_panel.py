"""The cautions: the survey's own, and the usual ones that every itinerary carries."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, statement
from planner.domain.season import Season
from planner.printing.wording import CARE


class CarePanel(QWidget):
    """Everything that a coordinator should have in mind before people drive in the dark."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._own = QVBoxLayout()
        self._shown: tuple[str, ...] = ()
        self._labels: list[QLabel] = []
        column = QVBoxLayout(self)
        column.setSpacing(8)
        column.addWidget(heading(self.tr("This survey's own cautions and limits")))
        column.addLayout(self._own)
        column.addWidget(heading(self.tr("On every outing")))
        for words in CARE:
            column.addWidget(statement(f"•  {words}"))
        column.addStretch(1)
        desk.session.snapshot_changed.connect(lambda snapshot: self._show(snapshot.season))
        self._show(desk.session.snapshot.season)

    def _show(self, season: Season) -> None:
        protocol = season.protocol
        roles = (protocol.people.roles,) if protocol.people.roles else ()
        limits = tuple(limit.said for limit in protocol.weather)
        words = (*protocol.safety.cautions, *roles, *limits) or (self.tr("The protocol names none."),)
        if words == self._shown:
            return
        self._shown = words
        for label in self._labels:
            self._own.removeWidget(label)
            label.deleteLater()
        self._labels = [statement(f"•  {one}") for one in words]
        for label in self._labels:
            self._own.addWidget(label)
