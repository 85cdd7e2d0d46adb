"""A table that figures are typed into, by the keyboard first: what its cells do when they are opened and closed."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QLineEdit, QTableView, QWidget


class TypingTable(QTableView):
    """Any key opens a cell; what closed it says where to go on: Tab along, Enter down."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.AnyKeyPressed | triggers.DoubleClicked | triggers.EditKeyPressed)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(True)
        self.setWordWrap(False)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setStyleSheet("QTableView::item { padding: 0 5px; }")
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)

    @property
    def is_typing(self) -> bool:
        """Whether a cell is open."""
        return self.state() is QAbstractItemView.State.EditingState

    def commit(self) -> None:
        """Take what is typed in a cell that is still open."""
        editor = self.focusWidget() if self.is_typing else None
        if isinstance(editor, QLineEdit):
            self.commitData(editor)
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Close a cell, and go on as the key said that closed it."""
        hints = QAbstractItemDelegate.EndEditHint
        super().closeEditor(editor, hints.NoHint)
        if hint is hints.EditNextItem:
            self.step(1)
        elif hint is hints.EditPreviousItem:
            self.step(-1)
        elif hint is hints.SubmitModelCache:
            self.go_down()

    def step(self, way: int) -> None:
        """Go to the cell that is written next (1), or before (-1)."""
        raise NotImplementedError

    def go_down(self) -> None:
        """Go on in the next row."""
        raise NotImplementedError

    def leave(self, *, onward: bool) -> None:
        """Give the keyboard to what stands behind the table, or before it."""
        self.setTabKeyNavigation(False)
        self.focusNextPrevChild(onward)
        self.setTabKeyNavigation(True)
