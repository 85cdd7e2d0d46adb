"""Rows of figures that can be ordered by a column, and remember which they were: the picture shows the same drives."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.reports.figures_model import Figure
from planner.desktop.sheets.drives.rows import Heading, Row, route_headings, route_row
from planner.desktop.sheets.drives.said import route_sentences
from planner.domain.finding import Severity
from planner.usecases.calibrating import RouteChange

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_MARK = 14


class RowsModel(QAbstractTableModel):
    """A table whose headings are given once, and its rows again and again."""

    def __init__(self, headings: Sequence[Heading], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headings = tuple(headings)
        self._rows: Sequence[Row] = ()
        self._told: Callable[[int], str] | None = None
        self._places: list[int] = []
        self._by: tuple[int, Qt.SortOrder] = (-1, Qt.SortOrder.AscendingOrder)

    def show_rows(self, rows: Sequence[Row], told: Callable[[int], str] | None = None) -> None:
        """Show other rows, ordered as those before.

        Args:
            rows: as they are ordered without a column.
            told: returns what one of them says in whole sentences; None where the figures say all.
        """
        self.beginResetModel()
        self._rows, self._told = rows, told
        self._places = self._ordered()
        self.endResetModel()

    def place(self, row: int) -> int:
        """Return which of the rows that were given stands in a row of the table."""
        return self._places[row]

    def row(self, place: int) -> int:
        """Return in which row of the table one of the rows that were given stands."""
        return self._places.index(place)

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:  # Qt's name
        """Order the rows by a column; a column below 0: as they were given. What is current stays so."""
        self.layoutAboutToBeChanged.emit()
        before, self._by = self._places, (column, order)
        self._places = self._ordered()
        rows = {place: row for row, place in enumerate(self._places)}
        kept = self.persistentIndexList()
        self.changePersistentIndexList(kept, [self.index(rows[before[one.row()]], one.column()) for one in kept])
        self.layoutChanged.emit()

    def rowCount(self, parent: Index = _NOWHERE) -> int:  # Qt's name
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:  # Qt's name
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._headings)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the heading of a column, or what it means."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._headings):
            return super().headerData(section, orientation, role)
        words, meaning = self._headings[section]
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            return meaning or None
        return words if role == Qt.ItemDataRole.DisplayRole else super().headerData(section, orientation, role)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; figures stand at the right."""
        if not index.isValid():
            return None
        place = self.place(index.row())
        cell = self._rows[place][index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            return self._told(place) if self._told is not None else cell.text
        if role == Qt.ItemDataRole.TextAlignmentRole and isinstance(cell.order, float):
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def _ordered(self) -> list[int]:
        column, order = self._by
        places = list(range(len(self._rows)))
        if 0 <= column < len(self._headings):
            falling = order is Qt.SortOrder.DescendingOrder
            places.sort(key=lambda place: _order_of(self._rows[place][column]), reverse=falling)
        return places


class RoutesModel(RowsModel):
    """Routes before and after; one with a visit that would no longer fit is marked, and says so in words."""

    def __init__(self, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(route_headings(), parent)
        self._colours = colours
        self._routes: Sequence[RouteChange] = ()

    def show_routes(self, routes: Sequence[RouteChange]) -> None:
        """Show other routes."""
        self._routes = routes
        self.show_rows([route_row(one) for one in routes], lambda place: route_sentences(routes[place]))

    def route(self, row: int) -> RouteChange:
        """Return the route that stands in a row."""
        return self._routes[self.place(row)]

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        last = self.columnCount() - 1
        if self._routes:
            self.dataChanged.emit(self.index(0, last), self.index(len(self._routes) - 1, last))

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a figure, or the mark of a route; what is to spare is said in words, so it stands at the left."""
        if not index.isValid() or index.column() < self.columnCount() - 1:
            return super().data(index, role)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return None
        if role == Qt.ItemDataRole.DecorationRole and any(one.no_longer_fits for one in self.route(index.row()).visits):
            return mark_pixmap(Severity.TROUBLE, self._colours, _MARK, 2.0)
        return super().data(index, role)


def _order_of(cell: Figure) -> tuple[float, str]:
    """Return what orders figures by size and words by their letters, also where a column has both."""
    if isinstance(cell.order, float):
        return cell.order, ""
    return 0.0, cell.text if cell.order is None else cell.order
