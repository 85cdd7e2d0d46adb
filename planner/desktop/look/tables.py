"""How a table of figures looks: bands instead of a grid, one line a row, the keyboard passes on by Tab."""

from __future__ import annotations

from PySide6.QtCore import QAbstractItemModel
from PySide6.QtWidgets import QHeaderView, QTableView


def plain_table(model: QAbstractItemModel, name: str, stretched: int) -> QTableView:
    """Return a table of a model.

    Args:
        model: what it shows.
        name: its accessible name.
        stretched: the column that takes what room is left; the others are as wide as what stands in them.
    """
    view = QTableView()
    view.setModel(model)
    view.setAccessibleName(name)
    view.setAlternatingRowColors(True)
    view.setShowGrid(False)
    view.setWordWrap(False)
    view.setTabKeyNavigation(False)
    view.setStyleSheet("QTableView::item { padding: 0 6px; }")
    view.verticalHeader().hide()
    view.verticalHeader().setDefaultSectionSize(view.fontMetrics().height() + 10)
    header = view.horizontalHeader()
    header.setHighlightSections(False)
    for column in range(model.columnCount()):
        modes = QHeaderView.ResizeMode
        header.setSectionResizeMode(column, modes.Stretch if column == stretched else modes.ResizeToContents)
    return view
