"""First step of a new season: which survey it is."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
    QWizardPage,
)

from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.words import heading, quiet, statement
from planner.domain.errors import InputError
from planner.domain.protocol import Protocol
from planner.usecases.season.protocols import ENDING, ProtocolOffer, own_protocol, write_protocol

_MOST_FAULTS = 200
"""Faults of a file that are listed; of more, how many."""
_FAULT_LINES = 6
"""Lines of the list of faults that are seen at once."""


class ProtocolPage(QWizardPage):
    """Which survey it is."""

    def __init__(self, offers: Sequence[ProtocolOffer], folder: Path) -> None:
        super().__init__()
        self._offers = list(offers)
        self._folder = folder
        self.setTitle(self.tr("Which protocol does the survey follow?"))
        self.setSubTitle(self.tr("A season keeps the protocol it was made with."))
        self._list = QListWidget()
        self._list.setAccessibleName(self.tr("Protocols"))
        self._list.setWordWrap(True)
        self._list.setSpacing(3)
        # Room for the frame of the chosen line: without it one that wraps would be cut short.
        self._list.setStyleSheet("QListWidget::item { border: 1px solid transparent; }")
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.addItems([offer.protocol.name for offer in offers])
        self._name = heading()
        self._summary, self._rules, self._marks = statement(), statement(), quiet()
        self.said = statement()
        """What could not be done with a file, or where one was written."""
        self.faults = QPlainTextEdit()
        self.faults.setReadOnly(True)
        self.faults.setTabChangesFocus(True)
        self.faults.setAccessibleName(self.tr("What is wrong with the file"))
        self.faults.setFixedHeight(_FAULT_LINES * self.faults.fontMetrics().lineSpacing() + 14)
        self.another = QPushButton(self.tr("Another protocol …"))
        self.another.setToolTip(self.tr("Take one of your own, a file ending in %1").replace("%1", ENDING))
        self.write = QPushButton(self.tr("Write this one to a file …"))
        self._lay_out()
        self.another.clicked.connect(lambda _checked: self._choose_file())
        self.write.clicked.connect(lambda _checked: self._write())
        self._list.currentRowChanged.connect(lambda _row: self._show())
        self._list.setCurrentRow(0)

    @property
    def offer(self) -> ProtocolOffer:
        """The protocol chosen."""
        return self._offers[self._list.currentRow()]

    def _lay_out(self) -> None:
        inside = QWidget()
        beside = QVBoxLayout(inside)
        beside.setContentsMargins(8, 0, 8, 0)
        for words in (self._name, self._summary, self._rules, self._marks):
            beside.addWidget(words)
        beside.addStretch(1)
        row = QHBoxLayout()
        row.addWidget(self._list, 2)
        row.addWidget(FittedScroll(inside), 3)
        buttons = QHBoxLayout()
        for button in (self.another, self.write):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.addLayout(row, 1)
        column.addLayout(buttons)
        column.addWidget(self.said)
        column.addWidget(self.faults)

    def _choose_file(self) -> None:
        words = self.tr("Protocols (*%1)").replace("%1", ENDING)
        name, _ = QFileDialog.getOpenFileName(self, self.tr("Another protocol"), str(self._folder), words)
        if not name:
            return
        try:
            own = own_protocol(Path(name))
        except InputError as error:
            self._say_faults(self.tr("%1 cannot be taken:").replace("%1", Path(name).name), error)
            return
        self._folder = Path(name).parent
        self._take(own)

    def _take(self, own: ProtocolOffer) -> None:
        """Offer somebody's own protocol too, or as its file is now, and choose it."""
        names = [offer.name for offer in self._offers]
        words = f"{own.protocol.name} – {Path(own.name).name}"
        if own.name in names:
            row = names.index(own.name)
            self._offers[row] = own
            self._list.item(row).setText(words)
        else:
            row = len(names)
            self._offers.append(own)
            self._list.addItem(words)
        self._list.setCurrentRow(row)
        self._list.scrollToItem(self._list.item(row))
        self._list.setFocus()
        self._show()

    def _write(self) -> None:
        offer = self.offer
        beside = str(self._folder / f"{offer.name}{ENDING}")
        words = self.tr("Protocols (*%1)").replace("%1", ENDING)
        name, _ = QFileDialog.getSaveFileName(self, self.tr("Write the protocol to a file"), beside, words)
        if not name:
            return
        # A file is written over only by the name that the file dialog asked about.
        target = Path(name if name.endswith(ENDING) else f"{name}{ENDING}")
        try:
            write_protocol(offer.name, target, replace=name.endswith(ENDING))
        except InputError as error:
            self._say_faults(self.tr("Nothing was written:"), error)
            return
        self._folder = target.parent
        said = self.tr("It stands in %1. Change it in a text editor, then take it with 'Another protocol …'.")
        self._say(said.replace("%1", str(target)))

    def _say_faults(self, head: str, error: InputError) -> None:
        from planner.desktop.importing.words import fault_words, few

        self._say(head, few([f"• {fault_words(fault)}" for fault in error.faults], _MOST_FAULTS))

    def _say(self, words: str, faults: str = "") -> None:
        self.said.setText(words)
        self.said.setVisible(bool(words))
        self.faults.setPlainText(faults)
        self.faults.setVisible(bool(faults))

    def _show(self) -> None:
        self._say("")
        protocol, file = self.offer.protocol, self.offer.file
        self.write.setEnabled(file is None)
        start = self.tr("A copy to begin a protocol of your own with")
        self.write.setToolTip(start if file is None else self.tr("It stands in a file already"))
        self._name.setText(protocol.name)
        self._summary.setText(protocol.summary)
        self._rules.setText(self._said(protocol))
        invented = (
            self.tr("Invented for the demonstration; no survey of that name exists.") if protocol.invented else ""
        )
        keys = "; ".join(dict.fromkeys(figure.words for figure in protocol.from_memory))
        memory = self.tr("From memory, compare with the survey's own instructions: %1.").replace("%1", keys)
        own = self.tr("From your file %1.").replace("%1", str(file)) if file is not None else ""
        self._marks.setText("\n".join(part for part in (own, invented, memory if keys else "") if part))

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
