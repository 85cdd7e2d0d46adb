"""How one file was read: what was understood of it, and what a person may decide about it before it is taken."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.importing.column_table import ColumnTable
from planner.desktop.importing.offer_list import OfferList
from planner.desktop.importing.typed_choices import TypedChoices
from planner.desktop.importing.words import choices_words, cut, tr
from planner.desktop.look.colours import Colours
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.words import heading, quiet, statement
from planner.exchange import Choices, ColumnUse, Understanding
from planner.usecases.importing.choices import column_chosen
from planner.usecases.importing.preview import SourceUnderstood
from planner.usecases.importing.reading_sources import SourceRead

_LEAST_WIDTH = 360


class HowRead(QWidget):
    """The file that is looked at: its kind, places, offers and columns."""

    decided = Signal(object, object)
    """The path of a file, and the Choices to read it with."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._path: Path | None = None
        self._choices = Choices()
        self.name, self.kind, self.places = heading(), statement(), quiet()
        self.decisions = statement()
        self.undo = QPushButton(tr("Read it as it stands"))
        self.undo.setToolTip(tr("Take back everything that was decided about this file"))
        self.undo.setAutoDefault(False)
        self.offers = OfferList()
        self.offered = heading(tr("On offer"))
        self.typed = TypedChoices()
        self.columns = ColumnTable(colours)
        self.column_words = heading(tr("Columns"))
        self._lay_out()
        self.offers.taken.connect(self._decide)
        self.typed.typed.connect(self._decide)
        self.undo.clicked.connect(lambda _checked: self._decide(Choices()))
        self.columns.columns.chosen.connect(self._choose_column)
        self.show_source(None)

    def show_source(self, source: SourceRead | None, found: SourceUnderstood | None = None) -> None:
        """Show another file, or the same one as it was read anew.

        Args:
            source: the file as it was read; None: nothing is looked at.
            found: the same, held against the season; None where it is left out.
        """
        self.setVisible(source is not None)
        if source is None:
            self._path = None
            return
        self._path, self._choices = source.path, source.choices
        understood = source.understood if found is None else found.understood
        self.name.setText(cut(source.path.name))
        self.kind.setText(cut(_kind_words(source)))
        self.places.setText(_place_words(understood))
        self.places.setVisible(bool(self.places.text()))
        decided = choices_words(source.choices)
        self.decisions.setText(cut(tr("As you chose: %1.", "; ".join(decided))))
        _show(bool(decided), self.decisions, self.undo)
        self.offers.show_offers(understood.offers)
        self.offered.setVisible(bool(understood.offers))
        self.typed.show_choices(understood, source.choices)
        self.columns.show_columns(understood.columns, understood.meanings)
        _show(bool(understood.columns), self.columns, self.column_words)

    def _decide(self, choices: Choices) -> None:
        if self._path is not None:
            self.decided.emit(self._path, choices)

    def _choose_column(self, use: ColumnUse, meaning: str) -> None:
        self._decide(column_chosen(self._choices, use, meaning))

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(12, 0, 8, 0)
        column.setSpacing(8)
        again = QHBoxLayout()
        again.addWidget(self.undo)
        again.addStretch(1)
        for part in (self.name, self.kind, self.places, self.decisions):
            column.addWidget(part)
        column.addLayout(again)
        column.addWidget(self.offered)
        column.addWidget(self.offers)
        column.addWidget(self.typed)
        column.addWidget(self.column_words)
        column.addWidget(self.columns)
        column.addStretch(1)
        self.setMinimumWidth(_LEAST_WIDTH)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(FittedScroll(inside))


def _kind_words(source: SourceRead) -> str:
    if source.known is None and source.understood.offers:
        return tr("It cannot be read as it stands.")
    if source.known is None:
        return tr("It is nothing that is known here; what to do stands at the left.")
    return tr("It was taken for %1: %2.", source.known.words, source.reason)


def _place_words(understood: Understanding) -> str:
    said = []
    if understood.coordinates:
        said.append(tr("Places are written as %1.", understood.coordinates))
    if understood.zone:
        said.append(tr("They lie in the time zone %1.", understood.zone))
    return " ".join(said)


def _show(shown: bool, *parts: QWidget) -> None:
    for part in parts:
        part.setVisible(shown)
