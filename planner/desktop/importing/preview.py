"""The preview of an import: file by file what was understood, and nothing changed until it is taken."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QPushButton,
    QSplitter,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.importing.how_read import HowRead
from planner.desktop.importing.incoming import Incoming
from planner.desktop.importing.source_tree import WORDS_ROLE, SourceTree
from planner.desktop.importing.words import few, tr
from planner.desktop.look.words import quiet, statement, title
from planner.domain.errors import DimpsyError
from planner.exchange import Choices
from planner.usecases.importing.choices import with_source
from planner.usecases.importing.preview import Held, Understood, accept, understand
from planner.usecases.importing.reading_sources import SourceRead, SourcesRead

_WIDTH, _HEIGHT = 1120, 640
_SHARES = [660, 440]
"""Widths of the files, and of what is said of one of them."""
_NAME_SHARE = 0.26
"""Of the width: what the names of files and rows get."""
_MARGIN = 40
"""Pixels of the screen that are left free."""
_MOST_NOTES = 4
_FEW_ROWS = 12
"""Files with no more in them than that are shown opened."""


class ImportPreview(QDialog):
    """Shows what files would bring, and brings it in once a person says so.

    Open it with ``open()``; it reads the files in the background and lets go of itself when it is closed.
    """

    taken = Signal()
    """The files have been brought in."""

    def __init__(self, desk: Desk, incoming: Incoming | Sequence[Path], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._incoming = incoming if isinstance(incoming, Incoming) else Incoming(tuple(incoming))
        self._read: SourcesRead | None = None
        self.understood: Understood | None = None
        """What the files come to; None while they are being read."""
        self._trouble = ""
        self._is_filling = False
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Bring files in"))
        room = self.screen().availableSize()
        self.resize(min(_WIDTH, room.width() - _MARGIN), min(_HEIGHT, room.height() - _MARGIN))
        self.stands = statement(tr("Reading the files …"))
        self.tree = SourceTree(desk.colours, self)
        self.view = self._made_view()
        self.how = HowRead(desk.colours)
        self.how.decided.connect(self._read_again)
        self.words, self.notes = statement(), quiet()
        self.buttons = QDialogButtonBox()
        self.take = QPushButton(tr("Bring in"))
        self._lay_out()
        self._say_take(tr("The files are still being read."))
        season_path = desk.session.snapshot.path
        desk.session.think_long(
            lambda: self._incoming.read(season_path),
            self._has_read,
            words=tr("Reading files"),
            owner=self,
            failed=self._failed,
        )

    def _has_read(self, read: SourcesRead) -> None:
        self._read = read
        self._understand(frozenset())

    def _read_again(self, path: Path, choices: Choices) -> None:
        """Read one file as a person chose, and show what it comes to then."""
        self._say_take(tr("The files are still being read."))
        self._desk.session.think_long(
            lambda: self._incoming.read_again(path, choices),
            self._has_read_again,
            words=tr("Reading %1 again", path.name),
            owner=self,
            failed=self._failed,
        )

    def _has_read_again(self, again: SourceRead) -> None:
        if self._read is not None:
            self._read = with_source(self._read, again)
            self._understand(self.tree.paths_out)

    def _understand(self, out: frozenset[Path]) -> None:
        """Hold the files against the season as it stands."""
        read = self._read
        if read is not None:
            self._desk.session.ask(
                lambda file: understand(Held.of(file), read, out),
                lambda understood: self._show(read, understood, out),
                topic="import",
                owner=self,
                failed=self._failed,
            )

    def _show(self, read: SourcesRead, understood: Understood, out: frozenset[Path]) -> None:
        first = self.understood is None
        self.understood = understood
        row_before = _row_to_look_at(read) if first else max(0, _file_row(self.view.currentIndex()))
        self._is_filling = True
        self.tree.show_sources(read.sources, understood.sources, out)
        self._is_filling = False
        for row, source in enumerate(read.sources):
            index = self.tree.index(row, 0)
            faulty = any(one.path == source.path and one.faults for one in understood.sources)
            self.view.setExpanded(index, faulty or self.tree.rowCount(index) <= _FEW_ROWS)
        self.notes.setText(few(understood.notes, _MOST_NOTES))
        self.notes.setToolTip("\n".join(understood.notes[_MOST_NOTES:]))
        self.notes.setVisible(bool(understood.notes))
        self._say_stands(understood)
        self.view.setCurrentIndex(self.tree.index(row_before, 0))

    def _say_stands(self, understood: Understood) -> None:
        faults = len(understood.faults)
        if faults:
            said = tr("1 fault stands in the way.") if faults == 1 else tr("%1 faults stand in the way.", faults)
            said += " " + _way_out(understood)
            self._say_take(tr("Leave out what is faulty first."))
        elif not understood.sources:
            said = tr("Every file is left out.")
            self._say_take(said)
        elif not understood.changes:
            said = tr("All of it stands in the season already: there is nothing to bring in.")
            self._say_take(said)
        else:
            said = tr("Nothing is changed yet. Bringing it in is one step, and Ctrl+Z takes it back.")
            said = f"{said} {_doubt_words(understood)}".rstrip()
            self._say_take(self._desk.session.snapshot.read_only_reason)
        self.stands.setText(f"{self._trouble}{said}")
        self._trouble = ""

    def _say_take(self, why_not: str) -> None:
        """Let the files be brought in; or not, and why."""
        self.take.setEnabled(not why_not)
        self.take.setToolTip(why_not)

    def _take(self) -> None:
        understood = self.understood
        if understood is None:
            return
        self._say_take(tr("The files are being brought in."))
        self._desk.session.do(
            lambda file: accept(file, understood), self._has_taken, self._failed, words=tr("Bringing files in")
        )

    def _has_taken(self, _changed: bool) -> None:
        self.taken.emit()
        self.accept()
        self.close()

    def _failed(self, error: DimpsyError) -> None:
        self._trouble = f"{error}\n"
        self.stands.setText(str(error))
        self._understand(self.tree.paths_out)

    def _tell(self, index: QModelIndex) -> None:
        if self._is_filling:
            # Rows that go are not looked at: were their file hidden at the right, the keyboard would go to a button.
            return
        words, row = index.data(WORDS_ROLE), _file_row(index)
        self.words.setText(words if isinstance(words, str) else "")
        sources = self._read.sources if self._read is not None else ()
        source = sources[row] if 0 <= row < len(sources) else None
        held = self.understood.sources if self.understood is not None else ()
        self.how.show_source(source, next((one for one in held if source and one.path == source.path), None))

    def _made_view(self) -> QTreeView:
        view = QTreeView()
        view.setModel(self.tree)
        view.setAccessibleName(tr("Files and what is in them"))
        view.setUniformRowHeights(True)
        view.setStyleSheet("QTreeView::item { padding: 2px 0; }")
        view.setAlternatingRowColors(True)
        header = view.header()
        header.setStretchLastSection(True)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        header.resizeSection(0, round(self.width() * _NAME_SHARE))
        view.selectionModel().currentChanged.connect(lambda now, _before: self._tell(now))
        self.tree.left_out.connect(self._understand)
        return view

    def _lay_out(self) -> None:
        self.take.setProperty("main", True)
        self.take.clicked.connect(lambda _checked: self._take())
        self.buttons.addButton(self.take, QDialogButtonBox.ButtonRole.ActionRole)
        leave = self.buttons.addButton(tr("Leave it"), QDialogButtonBox.ButtonRole.RejectRole)
        leave.setToolTip(tr("Close without changing anything"))
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        column.setSpacing(10)
        column.addWidget(title(tr("What the files would bring")))
        column.addWidget(self.stands)
        parts = QSplitter(Qt.Orientation.Horizontal)
        parts.addWidget(self.view)
        parts.addWidget(self.how)
        parts.setChildrenCollapsible(False)
        parts.setSizes(_SHARES)
        column.addWidget(parts, 1)
        column.addWidget(self.words)
        column.addWidget(self.notes)
        column.addWidget(self.buttons)


def _file_row(index: QModelIndex) -> int:
    """Return the row of the file that an index belongs to; -1 for none."""
    return index.parent().row() if index.parent().isValid() else index.row()


def _row_to_look_at(read: SourcesRead) -> int:
    """Return the first file that a person must look at, else the first."""
    return next((row for row, source in enumerate(read.sources) if source.faults), 0)


def _way_out(understood: Understood) -> str:
    if any(one.faults and one.understood.offers for one in understood.sources):
        return tr("Take what is on offer at the right, or mend the file, or leave it out by its box.")
    return tr("Mend the file and bring it in again, or leave it out by its box.")


def _doubt_words(understood: Understood) -> str:
    count = sum(len(one.understood.doubts) for one in understood.sources)
    if not count:
        return ""
    return (
        tr("1 thing is doubtful; it is marked.")
        if count == 1
        else tr("%1 things are doubtful; they are marked.", count)
    )
