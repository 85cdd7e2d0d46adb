"""What the Routes room offers by name, and the units it shows."""

from __future__ import annotations

from PySide6.QtCore import Qt

from planner.desktop.routes.point_model import Column
from planner.desktop.routes.room import RoutesRoom
from planner.desktop.units import Units
from tests.desktop.routes.conftest import Settle


def test_that_commands_are_offered_by_name(room: RoutesRoom) -> None:
    texts = [action.text() for action in room.commands()]
    assert {"New route", "Bring files in …", "Search routes", "New point", "Drop the points"} <= set(texts)


def test_that_other_units_are_shown_everywhere(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R05")
    settle()
    room.desk.count_in(Units.IMPERIAL)
    assert room.table.model.index(5, Column.APART).data() == "678 yd"
    assert "5.2 mi" in room.panel._figures.text()
    assert "5.2 mi" in room.list.filter.index(4, 0).data(Qt.ItemDataRole.AccessibleTextRole)
