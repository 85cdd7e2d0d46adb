"""First step of a new season: which survey it is."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QVBoxLayout, QWizardPage

from planner.desktop.look.words import heading, quiet, statement
from planner.domain.protocol import Protocol
from planner.usecases.protocols import ProtocolOffer


class ProtocolPage(QWizardPage):
    """Which survey it is."""

    def __init__(self, offers: Sequence[ProtocolOffer]) -> None:
        super().__init__()
        self._offers = offers
        self.setTitle(self.tr("Which protocol does the survey follow?"))
        self.setSubTitle(self.tr("A season keeps the protocol it was made with."))
        self._list = QListWidget()
        self._list.setAccessibleName(self.tr("Protocols"))
        self._list.setWordWrap(True)
        self._list.setSpacing(3)
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.addItems([offer.protocol.name for offer in offers])
        self._name = heading()
        self._summary, self._rules, self._marks = statement(), statement(), quiet()
        beside = QVBoxLayout()
        for words in (self._name, self._summary, self._rules, self._marks):
            beside.addWidget(words)
        beside.addStretch(1)
        row = QHBoxLayout(self)
        row.addWidget(self._list, 2)
        row.addLayout(beside, 3)
        self._list.currentRowChanged.connect(lambda _row: self._show())
        self._list.setCurrentRow(0)

    @property
    def offer(self) -> ProtocolOffer:
        """The protocol chosen."""
        return self._offers[self._list.currentRow()]

    def _show(self) -> None:
        protocol = self.offer.protocol
        self._name.setText(protocol.name)
        self._summary.setText(protocol.summary)
        self._rules.setText(self._said(protocol))
        invented = (
            self.tr("Invented for the demonstration; no survey of that name exists.") if protocol.invented else ""
        )
        keys = "; ".join(dict.fromkeys(figure.words for figure in protocol.from_memory))
        memory = self.tr("From memory, compare with the survey's own instructions: %1.").replace("%1", keys)
        self._marks.setText("\n".join(part for part in (invented, memory if keys else "") if part))

    def _said(self, protocol: Protocol) -> str:
        windows = "; ".join(
            f"{window.name}: {run.open.words} – {run.close.words if run.close else self.tr('timed from its start')}"
            for window in protocol.windows
            for run in window.passes
        )
        visits = self.tr("Visits: %1").replace("%1", str(len(protocol.visits)))
        count = self.tr("Count: %1 minutes a point").replace("%1", f"{protocol.count.minutes:g}")
        light = self.tr("Light window, %1").replace("%1", windows)
        return f"{visits}\n{count}\n{light}"
