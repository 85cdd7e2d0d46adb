"""What would mend a file or make more of it, each with a button."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QWidget

from planner.desktop.importing.words import cut, tr
from planner.desktop.look.words import quiet, statement
from planner.exchange import Offer

_MOST = 12
"""Offers that are shown; more than that nobody can weigh against each other."""


class OfferList(QWidget):
    """Offers one below the other."""

    taken = Signal(object)
    """The Choices of the Offer that a person took."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(8)
        self._grid.setColumnStretch(0, 1)
        self.buttons: list[QPushButton] = []
        """The button of each offer, in their order."""

    def show_offers(self, offers: Sequence[Offer]) -> None:
        """Show other offers."""
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.buttons = []
        for row, offer in enumerate(offers[:_MOST]):
            self._grid.addWidget(statement(cut(f"{offer.words}.")), row, 0)
            self._grid.addWidget(self._button(offer), row, 1, Qt.AlignmentFlag.AlignTop)
        if len(offers) > _MOST:
            self._grid.addWidget(quiet(tr("and %1 more", len(offers) - _MOST)), _MOST, 0)
        self.setVisible(bool(offers))

    def _button(self, offer: Offer) -> QPushButton:
        button = QPushButton(tr("Do that"))
        button.setAccessibleName(offer.words)
        button.setToolTip(tr("The file is read again that way; nothing is written"))
        # In a dialog Enter would press the first of them, which nobody looked at.
        button.setAutoDefault(False)
        button.clicked.connect(lambda _checked: self.taken.emit(offer.choices))
        self.buttons.append(button)
        return button
