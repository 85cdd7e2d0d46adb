"""The places that a line goes through: lettered as on the map, typed in, taken away again."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QToolButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.icons import drawn_icon
from planner.desktop.look.words import quiet, statement
from planner.desktop.map import pin_name
from planner.desktop.routes import icons
from planner.desktop.routes.words import tr
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.usecases.routes.placing_points import read_place


class ChosenPlaces(QWidget):
    """A row for each place, and a line where the next can be typed."""

    typed = Signal(object)
    """The Place that was written."""
    dropped = Signal(int)
    """The place of that number is to go, 0 the first."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._places: tuple[Place, ...] = ()
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self.buttons: tuple[QToolButton, ...] = ()
        self.line = QLineEdit()
        self.line.setPlaceholderText(tr("Type a place: 51.0234, -3.1023"))
        self.line.setAccessibleName(tr("A place, latitude first"))
        self.line.setToolTip(tr("Type or paste a place, latitude first, and press Enter"))
        self._trouble = quiet()
        self._trouble.hide()
        self.line.returnPressed.connect(self._typed)
        self.line.textEdited.connect(lambda _text: self._trouble.hide())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(self._rows)
        column.addWidget(self.line)
        column.addWidget(self._trouble)
        desk.look_changed.connect(self._dress)

    def show_places(self, places: tuple[Place, ...]) -> None:
        """Show the places as they are in order."""
        if places == self._places:
            return
        self._places = places
        while (item := self._rows.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.setParent(None)
                old.deleteLater()
        self.buttons = ()
        for number, place in enumerate(places):
            self._rows.addWidget(self._row(number, place))
        self._dress()

    def _row(self, number: int, place: Place) -> QWidget:
        words = tr("%1   %2", pin_name(number), place)
        button = QToolButton()
        button.setAccessibleName(tr("Drop place %1", pin_name(number)))
        button.setToolTip(button.accessibleName())
        button.clicked.connect(lambda _checked: self.dropped.emit(number))
        self.buttons += (button,)
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(statement(words), 1)
        line.addWidget(button)
        return row

    def _typed(self) -> None:
        try:
            place = read_place(self.line.text())
        except RuleError as error:
            self._trouble.setText(str(error))
            self._trouble.show()
            return
        self.line.clear()
        self.typed.emit(place)

    def _dress(self) -> None:
        for button in self.buttons:
            button.setIcon(drawn_icon(icons.drop, self._desk.colours))
