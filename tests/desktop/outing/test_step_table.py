"""The timeline as a table: an item model that keeps its promises, rows in time order, the sky where it decides."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import DARK, LIGHT
from planner.desktop.outing.step_table import Column, StepTable
from planner.desktop.outing.trial import Trial
from planner.domain.outing import StepKind
from planner.usecases.evening.outing_view import Occasion
from tests.desktop.outing.sights import evening, sight


@pytest.fixture
def table() -> StepTable:
    """An empty table under the eye of Qt's own tester."""
    found = StepTable(LIGHT)
    QAbstractItemModelTester(found, QAbstractItemModelTester.FailureReportingMode.Fatal, found)
    return found


def text(table: StepTable, row: int, column: Column) -> str:
    return str(table.data(table.index(row, column)))


def test_that_each_step_is_a_row_with_its_time_place_and_minutes(table: StepTable) -> None:
    shown = evening(sight())
    table.show_evening(shown)
    steps = shown.lanes[0].outing.steps
    assert table.rowCount() == len(steps)
    assert table.columnCount() == 4
    assert [text(table, 0, column) for column in list(Column)[:4]] == [
        "20:50–21:00",
        "Drive from home to point 1",
        "1",
        "10.0",
    ]
    assert text(table, 1, Column.WHAT) == "Count at point 1"
    assert text(table, len(steps) - 1, Column.POINT) == ""
    heads = [table.headerData(column, Qt.Orientation.Horizontal) for column in range(5)]
    assert heads == ["Time", "What", "Point", "Minutes", "Sky"]


def test_that_a_count_that_is_too_late_has_a_mark_and_says_so(table: StepTable) -> None:
    shown = evening(sight(), Trial(offset=3))
    table.show_evening(shown)
    late = shown.lanes[0].run.late_counts[0]
    row = table.row_of(late)
    assert row is not None
    assert text(table, row, Column.WHAT) == f"Count at point {late.point}, too late"
    marked = [
        at
        for at in range(table.rowCount())
        if table.data(table.index(at, Column.TIME), Qt.ItemDataRole.DecorationRole) is not None
    ]
    assert marked == [row]


def test_that_both_skies_are_told_apart_by_a_column(table: StepTable) -> None:
    table.show_evening(evening(sight(overcast=True)))
    assert table.columnCount() == 5
    skies = [text(table, row, Column.SKY) for row in range(table.rowCount())]
    assert skies == sorted(skies)
    assert set(skies) == {"clear", "overcast"}
    table.show_evening(evening(sight()))
    assert table.columnCount() == 4


def test_that_a_change_of_figures_keeps_the_rows_and_one_of_steps_does_not(table: StepTable, qtbot: QtBot) -> None:
    of = sight(habitat=True, minutes=120.0)
    table.show_evening(evening(of))
    with qtbot.waitSignal(table.dataChanged), qtbot.assertNotEmitted(table.modelReset):
        table.show_evening(evening(of, Trial(offset=5)))
    with qtbot.waitSignal(table.modelReset):
        table.show_evening(evening(of, Trial(offset=25)))
    with qtbot.waitSignal(table.dataChanged):
        table.set_colours(DARK)
    table.show_evening(evening(sight(Occasion.SETUP)))
    assert text(table, 1, Column.WHAT).startswith("Set-up at point")


def test_that_a_point_leads_to_its_count_before_anything_else(table: StepTable) -> None:
    table.show_evening(evening(sight(habitat=True, minutes=120.0)))
    row = table.row_at_point(2)
    assert row is not None
    assert table.step_at(row).kind is StepKind.COUNT
    assert table.row_at_point(99) is None
    table.show_evening(evening(sight(Occasion.SETUP)))
    row = table.row_at_point(2)
    assert row is not None
    assert table.step_at(row).kind is StepKind.SETUP
