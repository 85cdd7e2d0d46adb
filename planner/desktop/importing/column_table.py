"""The table of a file's columns, in which a person says what a column holds."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt, QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
    QWidget,
)

from planner.desktop.importing.column_model import Column, ColumnModel
from planner.desktop.importing.words import meaning_words, tr
from planner.desktop.look.colours import Colours
from planner.exchange import ColumnUse
from planner.shipped import resources

_MOST_ROWS_SEEN = 9
"""As high as that many rows; more are scrolled."""
Index = QModelIndex | QPersistentModelIndex


class ColumnTable(QTreeView):
    """Columns one below the other, as they stand in the file."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.columns = ColumnModel(colours, self)
        self.setModel(self.columns)
        self.setAccessibleName(tr("Columns, and what each was taken for"))
        self.setItemDelegateForColumn(Column.MEANING, MeaningChoice(_arrow(colours), self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.SelectedClicked
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.clicked.connect(self._edit_at_once)
        self.activated.connect(self._edit_at_once)
        self.setTabKeyNavigation(False)
        self.setRootIsDecorated(False)
        self.setUniformRowHeights(True)
        self.setAlternatingRowColors(True)
        self.setStyleSheet("QTreeView::item { padding: 3px 0; }")
        header = self.header()
        header.setStretchLastSection(False)
        for column, mode in (
            (Column.NAME, QHeaderView.ResizeMode.Stretch),
            (Column.EXAMPLE, QHeaderView.ResizeMode.Stretch),
            (Column.MEANING, QHeaderView.ResizeMode.ResizeToContents),
        ):
            header.setSectionResizeMode(column, mode)
        self.columns.modelReset.connect(self._fit)

    def show_columns(self, uses: Sequence[ColumnUse], meanings: Sequence[str]) -> None:
        """Show other columns, or the same ones as they were read anew: then the one looked at stays that."""
        at = self.currentIndex()
        row, column, names = at.row(), at.column(), self.columns.names
        self.columns.show_columns(uses, meanings)
        if self.columns.names == names:
            self.setCurrentIndex(self.columns.index(row, column))

    def _edit_at_once(self, index: QModelIndex) -> None:
        """Open the choice on the first click; a second one would have to be guessed."""
        if index.flags() & Qt.ItemFlag.ItemIsEditable and self.state() is not QAbstractItemView.State.EditingState:
            self.edit(index)

    def _fit(self) -> None:
        """Be as high as the rows are, up to a few; leave out the examples where there are none."""
        rows = self.columns.rowCount()
        examples = any(self.columns.index(row, Column.EXAMPLE).data() for row in range(rows))
        self.setColumnHidden(Column.EXAMPLE, not examples)
        row_height = max(self.sizeHintForRow(0), self.fontMetrics().height() + 6)
        self.setFixedHeight(self.header().sizeHint().height() + min(rows, _MOST_ROWS_SEEN) * row_height + 6)


class MeaningChoice(QStyledItemDelegate):
    """Lets what a column holds be chosen from a list."""

    def __init__(self, arrow: QIcon, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._arrow = arrow

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:  # Qt's name
        """Return the list, opened."""
        model = index.model()
        box = QComboBox(parent)
        box.setAccessibleName(tr("What the column %1 holds", index.sibling(index.row(), Column.NAME).data()))
        for meaning in ("", *(model.meanings if isinstance(model, ColumnModel) else ())):
            box.addItem(meaning_words(meaning), meaning)
        box.activated.connect(lambda _row: self._take(box))
        QTimer.singleShot(0, box, box.showPopup)
        return box

    def setEditorData(self, editor: QWidget, index: Index) -> None:  # Qt's name
        """Show in the list what the column was taken for."""
        if isinstance(editor, QComboBox):
            editor.setCurrentIndex(editor.findData(index.data(Qt.ItemDataRole.EditRole)))

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:  # Qt's name
        """Take the column for what was chosen."""
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentData())

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:  # Qt's name
        """Show an arrow where there is something to choose."""
        super().initStyleOption(option, index)
        if index.flags() & Qt.ItemFlag.ItemIsEditable:
            option.features |= QStyleOptionViewItem.ViewItemFeature.HasDecoration
            option.icon = self._arrow
            option.decorationPosition = QStyleOptionViewItem.Position.Right
            option.decorationSize = QSize(12, 12)

    def _take(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box, QStyledItemDelegate.EndEditHint.NoHint)


def _arrow(colours: Colours) -> QIcon:
    picture: Path = resources() / "controls" / f"down-{colours.name}.svg"
    return QIcon(str(picture))
