"""What can be done on an evening: weather, check-in, what may break, and the cautions, each made when first wanted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import IntEnum
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QTabWidget, QWidget

from planner.desktop.desk import Desk
from planner.desktop.today.care_panel import CarePanel
from planner.desktop.today.check_in_panel import CheckInPanel
from planner.desktop.today.conditions_panel import ConditionsPanel
from planner.desktop.today.disruption_panel import DisruptionPanel
from planner.desktop.today.watch import Watch
from planner.usecases.evening.watch import OutingNow

WIDTH = 384
_Panel = TypeVar("_Panel", bound=QWidget)


class PanelName(IntEnum):
    """The panels, in the order of the evening."""

    WEATHER = 0
    CHECK_IN = 1
    BREAKS = 2
    CARE = 3


class Panels(QTabWidget):
    """The panels at the right: the room must be there at once, so each is made when it is first wanted."""

    broke = Signal(object)
    """A Disruption whose ways on are wanted."""
    table_chosen = Signal(object)
    """Path of a table of conditions to import."""
    choose = Signal(object)
    """Outings (of OutingNow) that are to be chosen in the table."""

    def __init__(self, desk: Desk, watch: Watch) -> None:
        super().__init__()
        self._desk, self._watch = desk, watch
        self._looked_at: OutingNow | None = None
        self._chosen: tuple[OutingNow, ...] = ()
        self._made: dict[PanelName, QWidget] = {}
        titles = {
            PanelName.WEATHER: self.tr("Weather"),
            PanelName.CHECK_IN: self.tr("Check-in"),
            PanelName.BREAKS: self.tr("Something breaks"),
            PanelName.CARE: self.tr("Care"),
        }
        self._areas = {name: _scroll_area() for name in PanelName}
        for name, area in self._areas.items():
            self.addTab(area, titles[name])
        self.setMinimumWidth(WIDTH)
        self.setAccessibleName(self.tr("What can be done"))
        self.currentChanged.connect(self._make)

    def show_panel(self, name: PanelName) -> None:
        """Bring a panel to the front."""
        self.setCurrentIndex(name)

    def look_at(self, now: OutingNow | None) -> None:
        """Take the outing that is looked at."""
        self._looked_at = now
        for panel in self._made.values():
            if isinstance(panel, ConditionsPanel | CheckInPanel | DisruptionPanel):
                panel.look_at(now)

    def set_chosen(self, chosen: Sequence[OutingNow]) -> None:
        """Take the outings that are chosen in the table or on the map."""
        self._chosen = tuple(chosen)
        for panel in self._made.values():
            if isinstance(panel, ConditionsPanel | DisruptionPanel):
                panel.set_chosen(self._chosen)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the panel in front when it is first seen."""
        super().showEvent(event)
        self._make(self.currentIndex())

    @property
    def conditions(self) -> ConditionsPanel:
        """The weather of the evening."""
        return self._panel(PanelName.WEATHER, ConditionsPanel, self._new_conditions)

    @property
    def check_in(self) -> CheckInPanel:
        """Who has rung in."""
        return self._panel(PanelName.CHECK_IN, CheckInPanel, lambda: CheckInPanel(self._desk, self._watch))

    @property
    def disruption(self) -> DisruptionPanel:
        """What may break."""
        return self._panel(PanelName.BREAKS, DisruptionPanel, self._new_disruption)

    @property
    def care(self) -> CarePanel:
        """The cautions."""
        return self._panel(PanelName.CARE, CarePanel, lambda: CarePanel(self._desk))

    def _panel(self, name: PanelName, kind: type[_Panel], make: Callable[[], _Panel]) -> _Panel:
        made = self._made.get(name)
        if not isinstance(made, kind):
            made = make()
            self._made[name] = made
            self._areas[name].setWidget(made)
            self.look_at(self._looked_at)
            self.set_chosen(self._chosen)
        return made

    def _new_conditions(self) -> ConditionsPanel:
        panel = ConditionsPanel(self._desk, self._watch)
        panel.table_chosen.connect(lambda path: self.table_chosen.emit(Path(path)))
        return panel

    def _new_disruption(self) -> DisruptionPanel:
        panel = DisruptionPanel(self._desk, self._watch)
        panel.broke.connect(self.broke.emit)
        panel.choose.connect(self.choose.emit)
        return panel

    def _make(self, at: int) -> QWidget:
        """Make what is brought to the front."""
        match PanelName(at):
            case PanelName.WEATHER:
                return self.conditions
            case PanelName.CHECK_IN:
                return self.check_in
            case PanelName.BREAKS:
                return self.disruption
            case PanelName.CARE:
                return self.care


def _scroll_area() -> QScrollArea:
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setFrameShape(QFrame.Shape.NoFrame)
    return area
