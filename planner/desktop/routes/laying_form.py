"""The form at the right while points are laid out: along what, how, what it comes to, and what it is taken as."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet, statement, title
from planner.desktop.routes.chosen_places import ChosenPlaces
from planner.desktop.routes.laying import Laying
from planner.desktop.routes.laying_fields import LayingFields
from planner.desktop.routes.laying_target import LayingTarget
from planner.desktop.routes.laying_words import laid_words, line_words
from planner.desktop.routes.layout_wish import Way
from planner.desktop.routes.words import count_words, tr
from planner.usecases.laying_out import LINE_ENDINGS, FoundLine
from planner.usecases.roads.map_lines import map_lines


class LayingForm(QWidget):
    """Fields above, the proposal in words below them, and at the foot what takes it."""

    def __init__(self, desk: Desk, laying: Laying, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._laying = desk, laying
        self._lines: tuple[FoundLine, ...] = ()
        self.way = QComboBox()
        for way, words in _way_words().items():
            self.way.addItem(words, way)
        self.way.setAccessibleName(tr("Along what"))
        self.places = ChosenPlaces(desk)
        self.road = QLineEdit()
        self.road.setAccessibleName(tr("Name of the road"))
        self.road.setPlaceholderText(tr("Name of the road"))
        self.file = QPushButton(tr("Choose a file …"))
        self.line = QComboBox()
        self.line.setAccessibleName(tr("Line of the file"))
        for box in (self.way, self.line):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)
        self.turn = QPushButton(tr("From the other end"))
        self.fields = LayingFields(desk, laying)
        self.said, self.trouble, self.notes = statement(), statement(), quiet()
        self.target = LayingTarget()
        self.take, self.leave = QPushButton(), QPushButton(tr("Leave"))
        self.leave.setToolTip(tr("Nothing is changed; what was chosen is kept (Esc)"))
        self._lay_out()
        self._connect()
        self._show_wish()
        self._show_laid()

    def use_road_names(self) -> None:
        """Offer the names of the season's roads as they are typed."""
        network = self._desk.session.network
        names = sorted({name for name in map_lines(network).names if name}) if network is not None else []
        completer = QCompleter(names, self.road)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.road.setCompleter(completer)

    def _connect(self) -> None:
        laying = self._laying
        self.way.activated.connect(lambda _row: self._want_way())
        self.places.typed.connect(laying.add_place)
        self.places.dropped.connect(lambda number: laying.want(laying.wish.without_place(number)))
        self.road.editingFinished.connect(lambda: laying.want(replace(laying.wish, road=self.road.text().strip())))
        self.file.clicked.connect(lambda _checked: self._choose_file())
        self.line.activated.connect(self._want_line)
        self.turn.clicked.connect(lambda _checked: laying.want(laying.wish.turned()))
        self.take.clicked.connect(lambda _checked: laying.take(self.target.code, self.target.name))
        self.leave.clicked.connect(lambda _checked: laying.leave())
        laying.changed.connect(self._show_wish)
        laying.laid_changed.connect(self._show_laid)
        laying.lines_found.connect(self._show_lines)
        self._desk.units_changed.connect(self._show_laid)

    def _show_wish(self) -> None:
        wish = self._laying.wish
        with QSignalBlocker(self.way):
            self.way.setCurrentIndex(self.way.findData(wish.way))
        by_file = wish.way is Way.LINE
        self.places.setVisible(not by_file)
        self.places.show_places(wish.places)
        self.road.setVisible(wish.way is Way.ROAD)
        self.road.setText(wish.road)
        self.file.setVisible(by_file)
        self.line.setVisible(by_file and wish.line is not None)
        can_turn = wish.line is not None if by_file else len(wish.places) > 1
        self.turn.setEnabled(can_turn)
        self.turn.setToolTip("" if can_turn else tr("There is no line to turn round yet"))
        self.fields.show_wish()

    def _show_laid(self) -> None:
        laying, laid = self._laying, self._laying.laid
        said = laying.wish.lacks
        if laying.is_working:
            said = tr("Working out the points …")
        elif laid is not None:
            said = laid.why_fewer or laid_words(laid, self._desk.units)
        notes = "\n".join(laid.notes) if laid is not None else ""
        for label, text in ((self.trouble, laying.trouble), (self.said, said), (self.notes, notes)):
            label.setText(text)
            label.setVisible(bool(text))
        count = len(laid.points) if laid is not None else 0
        may = bool(count) and not laying.is_working
        self.take.setText(tr("Take %1", count_words(count)) if count else tr("Take the points"))
        self.take.setEnabled(may)
        self.take.setToolTip(tr("One step, which can be undone") if may else tr("There are no points to take yet"))

    def _want_way(self) -> None:
        self._laying.want(replace(self._laying.wish, way=self.way.currentData()))

    def _choose_file(self) -> None:
        patterns = " ".join(f"*{ending}" for ending in LINE_ENDINGS)
        kinds = tr("Files with a track or line (%1);;All files (*)", patterns)
        name, _ = QFileDialog.getOpenFileName(self, tr("A track or line"), str(Path.home()), kinds)
        if name:
            self._laying.read_lines(Path(name))

    def _show_lines(self, lines: tuple[FoundLine, ...]) -> None:
        self._lines = lines
        self.line.clear()
        self.line.addItems([line_words(line, self._desk.units) for line in lines])

    def _want_line(self, row: int) -> None:
        self._laying.want(replace(self._laying.wish, line=self._lines[row], avoid=()))

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(6, 12, 12, 8)
        column.setSpacing(8)
        column.addWidget(title(tr("Lay out points")))
        for widget in (self.way, self.road, self.places, self.file, self.line, self.turn, self.fields):
            column.addWidget(widget)
        column.addWidget(heading(tr("What it comes to")))
        for label in (self.trouble, self.said, self.notes):
            column.addWidget(label)
        column.addWidget(heading(tr("Take them as")))
        column.addWidget(self.target)
        column.addStretch(1)
        scrolled = QScrollArea()
        scrolled.setWidgetResizable(True)
        scrolled.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scrolled.setWidget(inside)
        foot = QHBoxLayout()
        foot.setContentsMargins(6, 0, 12, 12)
        foot.addWidget(self.take, 1)
        foot.addWidget(self.leave)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled, 1)
        whole.addLayout(foot)


def _way_words() -> dict[Way, str]:
    return {
        Way.PLACES: tr("The quickest way through places"),
        Way.ROAD: tr("A road by its name"),
        Way.LINE: tr("A track or line of a file"),
    }
