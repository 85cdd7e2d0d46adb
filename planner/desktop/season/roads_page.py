"""The season's road map: where it is from, what was read of it, how fast it is driven; replaced, or done without."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSpinBox,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.low import low
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet, statement
from planner.desktop.season.speeds_model import Column, SpeedsModel
from planner.domain.errors import DimpsyError
from planner.domain.road_speeds import LEAST_FACTOR, MOST_FACTOR
from planner.domain.travel import ESTIMATED_WORDS
from planner.store import SeasonFile

if TYPE_CHECKING:
    from planner.usecases.roads.road_maps import RoadMapFacts


class RoadsPage(QScrollArea):
    """What is known of the roads at the left, the speeds at the right; each change is one step."""

    map_wanted = Signal()
    """A person wants to bring in a road map."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName(self.tr("The road map"))
        self.source, self.attribution, self.length = statement(), statement(), statement()
        self.state, self.notes = low(statement()), low(quiet())
        self.bring = QPushButton()
        self.leave = QPushButton(self.tr("Do without it"))
        self.model = SpeedsModel(desk.units, self)
        self.view = self._made_view()
        self.factor = QSpinBox()
        self.factor.setRange(round(100 * LEAST_FACTOR), round(100 * MOST_FACTOR))
        self.factor.setSuffix(" %")
        self.factor.setKeyboardTracking(False)
        self.factor.setAccessibleName(self.tr("All speeds, of what the table gives"))
        self._factor = 1.0
        self.reset = QPushButton(self.tr("Back to the usual speeds"))
        self.trouble = low(statement())
        self._lay_out()
        self._connect()
        self.trouble.hide()
        self.show_season()

    def show_season(self) -> None:
        """Show the season's roads as they stand."""
        from planner.usecases.roads.road_maps import facts_of

        session = self._desk.session
        season, network = session.snapshot.season, session.network
        if (network and network.content_hash) != (season.roads and season.roads.content_hash):
            network = None
        session.think(lambda: facts_of(season, network), self._show, topic="road facts", owner=self)

    def _show(self, facts: RoadMapFacts) -> None:
        found, road_map = self._desk.session.snapshot, facts.road_map
        why_not = found.read_only_reason
        self.source.setText(road_map.source_name if road_map is not None else self.tr("none"))
        self.attribution.setText(road_map.attribution if road_map is not None else "–")
        metres = 1000 * sum(one.km for one in facts.classes)
        self.length.setText(self._desk.units.length(metres) if facts.found else "–")
        self._say(self.state, self._state(facts))
        notes = (*([facts.recorded] if facts.recorded else []), *facts.notes)
        self._say(self.notes, "\n".join(f"• {note}" for note in notes))
        self.bring.setText(self.tr("Another road map …") if road_map is not None else self.tr("Bring a road map in …"))
        self._allow(self.bring, why_not, self.tr("An OpenStreetMap extract: .osm, .osm.bz2 or .pbf"))
        none = "" if road_map is not None else self.tr("There is none.")
        self._allow(self.leave, why_not or none, self.tr("Drives are then estimated; can be undone"))
        self.model.is_editable = not why_not
        self.model.show_facts(facts, self._desk.units)
        self._factor = facts.speeds.factor
        self._show_factor()
        self.factor.setEnabled(not why_not)
        self.factor.setToolTip(why_not or self.tr("80 % makes every drive a quarter longer"))
        usual = "" if facts.speeds.said() else self.tr("They are the usual ones already.")
        self._allow(self.reset, why_not or usual, self.tr("For every class and for all roads; can be undone"))

    def _show_factor(self) -> None:
        with QSignalBlocker(self.factor):
            self.factor.setValue(round(100 * self._factor))

    def _state(self, facts: RoadMapFacts) -> str:
        """Return what is wrong with the road map; empty where nothing is."""
        if facts.road_map is None:
            return ESTIMATED_WORDS
        if facts.found:
            return ""
        if self._desk.session.problem is None:
            return self.tr("It is being read …")
        lost = self.tr("It is no longer beside the season file, or is damaged: bring in %1 again.")
        return f"{lost.replace('%1', facts.road_map.source_name)} {ESTIMATED_WORDS}"

    def _connect(self) -> None:
        session = self._desk.session
        session.problem_changed.connect(lambda _problem: self._refresh())
        self._desk.units_changed.connect(self._refresh)
        self.bring.clicked.connect(lambda _checked: self.map_wanted.emit())
        self.leave.clicked.connect(lambda _checked: self._leave())
        self.reset.clicked.connect(lambda _checked: self._reset())
        self.factor.valueChanged.connect(lambda percent: self._set_speeds({}, percent / 100))
        self.model.written.connect(lambda kind, kmh: self._set_speeds({kind: kmh}, None))
        self.model.refused.connect(self._refuse)

    def _refresh(self) -> None:
        if self.isVisible():
            self.show_season()

    def _set_speeds(self, class_kmh: dict[str, float | None], factor: float | None) -> None:
        from planner.usecases.roads.road_maps import set_road_speeds

        self._do(lambda file: set_road_speeds(file, class_kmh, factor=factor).label)

    def _reset(self) -> None:
        from planner.usecases.roads.road_maps import reset_road_speeds

        self._do(lambda file: reset_road_speeds(file).label)

    def _leave(self) -> None:
        from planner.usecases.roads.road_maps import without_roads

        self._do(without_roads)

    def _do(self, operation: Callable[[SeasonFile], str]) -> None:
        def done(label: str) -> None:
            self.trouble.hide()
            if label:
                self._desk.say(self.tr("%1. Ctrl+Z takes it back.").replace("%1", label))

        self._desk.session.do(operation, done, self._refuse)

    def _refuse(self, error: DimpsyError) -> None:
        """Say what cannot be, beside the speeds; they stay as they are."""
        self._show_factor()
        self._say(self.trouble, self.tr("Nothing was changed: %1.").replace("%1", str(error)))

    def _allow(self, button: QPushButton, why_not: str, tip: str) -> None:
        button.setEnabled(not why_not)
        button.setToolTip(why_not or tip)

    def _say(self, label: QLabel, text: str) -> None:
        label.setText(text)
        label.setVisible(bool(text))

    def _made_view(self) -> QTableView:
        view = plain_table(self.model, self.tr("Speeds by class of road"), Column.SOURCE)
        view.setMinimumHeight(11 * (view.fontMetrics().height() + 10))
        return view

    def _lay_out(self) -> None:
        inside = QWidget()
        columns = QHBoxLayout(inside)
        columns.setSpacing(16)
        columns.setContentsMargins(2, 8, 8, 8)
        left = QVBoxLayout()
        left.addWidget(self._map_box())
        left.addStretch(1)
        columns.addLayout(left, 2)
        columns.addWidget(self._speeds_box(), 3)
        self.setWidgetResizable(True)
        self.setWidget(inside)

    def _map_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("The road map"))
        column = QVBoxLayout(box)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(self.tr("Made from"), self.source)
        form.addRow(self.tr("Source"), self.attribution)
        form.addRow(self.tr("Roads"), self.length)
        column.addLayout(form)
        column.addWidget(self.state)
        column.addWidget(self.notes)
        row = QHBoxLayout()
        row.addWidget(self.bring)
        row.addWidget(self.leave)
        row.addStretch(1)
        column.addLayout(row)
        return box

    def _speeds_box(self) -> QGroupBox:
        box = QGroupBox(self.tr("How fast its roads are driven"))
        column = QVBoxLayout(box)
        column.addWidget(self.view, 1)
        column.addWidget(self.trouble)
        row = QHBoxLayout()
        row.addWidget(low(statement(self.tr("All speeds"))))
        row.addWidget(self.factor)
        row.addStretch(1)
        row.addWidget(self.reset)
        column.addLayout(row)
        how = self.tr("Free speeds hold where the map has no speed limit. Write over one to change it.")
        column.addWidget(low(quiet(how)))
        law = self.tr("Never plan to drive faster than the law, the road and the dark allow.")
        column.addWidget(low(quiet(law)))
        return box
