"""The files of an import as a tree: each with what it was taken for, and below it what it would do, by name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QIcon, QStandardItem, QStandardItemModel

from planner.desktop.importing.words import change_words, fault_line, fault_words, few, tr
from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.domain.errors import Fault
from planner.domain.finding import Severity
from planner.exchange import Doubt
from planner.usecases.importing.differences import Change, Item
from planner.usecases.importing.preview import SourceUnderstood
from planner.usecases.importing.reading_sources import SourceRead

WORDS_ROLE = Qt.ItemDataRole.UserRole
"""A row in full, for the words below the tree."""
_PATH_ROLE = Qt.ItemDataRole.UserRole + 1

_MOST_LINES = 2
"""Said of one file below the tree; all faults stand in the tree."""
_ORDER = (Change.NEW, Change.CHANGED, Change.REFUSED, Change.SAME)


class SourceTree(QStandardItemModel):
    """Files with a box each: a file whose box is empty is left out."""

    left_out = Signal(object)
    """Paths of the files that are left out, a frozenset, after a person changed that."""

    def __init__(self, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self.setHorizontalHeaderLabels([tr("File, and what is in it"), tr("What it would do")])
        self.itemChanged.connect(self._changed)

    def show_sources(
        self, read: Sequence[SourceRead], understood: Sequence[SourceUnderstood], out: Collection[Path]
    ) -> None:
        """Show the files; those left out without what they hold."""
        known = {source.path: source for source in understood}
        self.removeRows(0, self.rowCount())
        for source in read:
            self.appendRow(self._file_row(source, known.get(source.path), taken=source.path not in out))

    @property
    def paths_out(self) -> frozenset[Path]:
        """The files whose box is empty."""
        heads = [self.item(row) for row in range(self.rowCount())]
        return frozenset(head.data(_PATH_ROLE) for head in heads if head.checkState() is Qt.CheckState.Unchecked)

    def _changed(self, item: QStandardItem) -> None:
        if item.parent() is None and item.column() == 0:
            self.left_out.emit(self.paths_out)

    def _file_row(self, source: SourceRead, found: SourceUnderstood | None, *, taken: bool) -> list[QStandardItem]:
        head = _item(source.path.name)
        head.setCheckable(True)
        head.setCheckState(Qt.CheckState.Checked if taken else Qt.CheckState.Unchecked)
        head.setData(source.path, _PATH_ROLE)
        faults = found.faults if found is not None else ()
        does = _item(_what_it_does(found) if found is not None else tr("left out"))
        words = [str(source.path)]
        words += [fault_words(fault) for fault in faults]
        for item in (head, does):
            item.setData(few(words, _MOST_LINES), WORDS_ROLE)
        head.setToolTip(str(source.path))
        doubts = found.understood.doubts if found is not None else ()
        if faults or doubts:
            head.setIcon(self._mark(Severity.TROUBLE if faults else Severity.DOUBT))
        for fault in faults:
            head.appendRow(self._fault_row(fault))
        for doubt in doubts:
            head.appendRow(self._doubt_row(doubt))
        for change in _ORDER:
            for one in found.items if found is not None else ():
                if one.change is change:
                    head.appendRow(_item_row(one))
        return [head, does]

    def _fault_row(self, fault: Fault) -> list[QStandardItem]:
        where, what = _item(fault.where or tr("the file")), _item(fault_line(fault))
        where.setIcon(self._mark(Severity.TROUBLE))
        for item in (where, what):
            item.setData(fault_words(fault), WORDS_ROLE)
            item.setToolTip(fault_words(fault))
        return [where, what]

    def _doubt_row(self, doubt: Doubt) -> list[QStandardItem]:
        place = doubt.where or tr("the file")
        where, what = _item(place), _item(tr("doubtful: %1", doubt.what))
        where.setIcon(self._mark(Severity.DOUBT))
        for item in (where, what):
            item.setData(f"{place}: {doubt.what}", WORDS_ROLE)
            item.setToolTip(f"{place}: {doubt.what}")
        return [where, what]

    def _mark(self, severity: Severity) -> QIcon:
        return QIcon(mark_pixmap(severity, self._colours, 16, 2.0))


def _item_row(one: Item) -> list[QStandardItem]:
    said = change_words(one.change) + (f": {one.what}" if one.what else "")
    row = [_item(one.title), _item(said)]
    for item in row:
        item.setData(f"{one.title}: {said}", WORDS_ROLE)
    return row


def _item(text: str) -> QStandardItem:
    item = QStandardItem(text)
    item.setEditable(False)
    return item


def _what_it_does(source: SourceUnderstood) -> str:
    """Return a file in a line: what it is, and how much of it is new, changed, as before, or faulty."""
    counts = Counter(item.change for item in source.items)
    parts = [f"{counts[change]} {change_words(change, counts[change])}" for change in _ORDER if counts[change]]
    if source.faults:
        count = len(source.faults)
        parts.insert(0, tr("1 fault") if count == 1 else tr("%1 faults", count))
    kind = source.kind or tr("not known here")
    return f"{kind}: {', '.join(parts)}" if parts else kind
