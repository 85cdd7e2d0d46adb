"""How a table of figures looks: bands instead of a grid, one line a row, the keyboard passes on by Tab."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractItemModel
from PySide6.QtWidgets import QHeaderView, QTableView

_ROW_PADDING = 6


def plain_table(model: QAbstractItemModel, name: str, stretched: int) -> QTableView:
    """Return a table of a model.

    Args:
        model: what it shows.
        name: its accessible name.
        stretched: the column that takes what room is left; the others are as wide as what stands in them.
    """
    view = QTableView()
    view.setModel(model)
    dress_table(view, name, stretched)
    return view


def dress_table(view: QTableView, name: str, stretched: int) -> None:
    """Give a table that has its model the look of ``plain_table``, which see."""
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
    for column in range(header.count()):
        modes = QHeaderView.ResizeMode
        header.setSectionResizeMode(column, modes.Stretch if column == stretched else modes.ResizeToContents)


def give_shares(view: QTableView, shares: Sequence[float], width: int) -> None:
    """Let the cells of a table be sentences of two lines, and give every column but the last its share of a width.

    By their words alone, what stands in the last would lie outside. Two lines for each row: thousands of rows would
    take long to be measured one by one.
    """
    header = view.horizontalHeader()
    header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
    header.setStretchLastSection(True)
    view.setWordWrap(True)
    view.verticalHeader().setDefaultSectionSize(2 * view.fontMetrics().lineSpacing() + _ROW_PADDING)
    for column, share in enumerate(shares):
        header.resizeSection(column, round(share * width))
