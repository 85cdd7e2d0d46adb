"""The page under other protocols: two sides of the road, no habitat at all, routes without points."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.room import SheetsRoom
from planner.domain.field.habitat_sheet import Side
from planner.domain.habitat import HabitatRule
from planner.domain.season import Season
from tests.desktop.sheets.conftest import Hands
from tests.unit.usecases.sheet_seasons import SEASON

DeskWith = Callable[[Season], Desk]
assert SEASON.protocol.habitat is not None
SIDES = replace(SEASON.protocol.habitat, sides_of_road=True, grazed_share=False, livestock=False)


def under(habitat: HabitatRule | None) -> Season:
    visits = tuple(replace(visit, habitat=habitat is not None) for visit in SEASON.protocol.visits)
    return replace(SEASON, protocol=replace(SEASON.protocol, habitat=habitat, visits=visits, setup=None))


def page_of(desk: Desk, qtbot: QtBot) -> HabitatPage:
    room = SheetsRoom(desk)
    qtbot.addWidget(room)
    page = room.page(0)
    assert isinstance(page, HabitatPage)
    with qtbot.waitExposed(room):
        room.show()
    room.activateWindow()
    qtbot.waitUntil(room.isActiveWindow, timeout=5000)
    return page


def words(page: HabitatPage) -> list[str]:
    return [label.text() for label in page.pane.findChildren(QLabel) if label.isVisible()]


def test_that_left_and_right_of_the_road_are_typed_and_summed_apart(desk_with: DeskWith, qtbot: QtBot) -> None:
    page = page_of(desk_with(under(SIDES)), qtbot)
    model, classes = page.pane.model, len(SIDES.classes)
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    heads = [model.headerData(at, Qt.Orientation.Horizontal) for at in range(model.columnCount())]
    names = [str(head).replace("\n", " ") for head in heads]
    assert names[2] == "left TH▪"
    assert names[3 + classes] == "right TH▪"
    assert "Grazed" not in names
    page.pane.grid.setFocus()
    hands = Hands(page)
    hands.row("60")
    hands.types("r")
    page.pane.grid.go_to(0, 3 + classes)
    hands.row("30")
    covers = {cover.side: dict(cover.percents) for cover in model.rows.sheet(0).covers}
    assert covers == {Side.LEFT: {"SH": 40, "TH": 60}, Side.RIGHT: {"TH": 30}}
    rests = [at for at, name in enumerate(names) if name in ("left Rest", "right Rest")]
    assert [model.index(0, at).data() for at in rests] == ["0", "70"]
    page.pane.grid.go_to(0, 5 + classes)
    page.pane.go_to(1, "TH")
    assert page.pane.grid.currentIndex().column() == 3 + classes
    assert tester.model() is model


def test_that_one_side_of_the_road_is_shown_at_a_time_and_fits_with_both_rests(
    desk_with: DeskWith, qtbot: QtBot
) -> None:
    widest = replace(SIDES, grazed_share=True, livestock=True)
    page = page_of(desk_with(under(widest)), qtbot)
    page.window().resize(1110, 700)
    grid, head, classes = page.pane.grid, page.pane.head, len(widest.classes)
    qtbot.waitUntil(lambda: page.window().width() == 1110)

    def shown() -> list[bool]:
        return [not grid.isColumnHidden(at) for at in range(2, 4 + 2 * classes)]

    left = [*[True] * (classes + 1), *[False] * classes, True]
    right = [*[False] * classes, True, *[True] * (classes + 1)]
    assert shown() == left
    assert grid.horizontalHeader().length() <= grid.viewport().width()
    grid.setFocus()
    Hands(page).row(*([""] * classes))
    assert grid.currentIndex().column() == 3 + classes, "Tab goes over to the right of the road"
    assert (shown(), head.sides[Side.RIGHT].isChecked()) == (right, True)
    assert grid.horizontalHeader().length() <= grid.viewport().width()
    head.sides[Side.LEFT].click()
    assert (shown(), grid.currentIndex().column(), grid.hasFocus()) == (left, 2, True)


@pytest.mark.parametrize(
    ("season", "said"),
    [
        (under(None), "The protocol asks for no habitat: there are no sheets to fill in."),
        (replace(SEASON, routes=()), "There are no routes yet. Bring in their files in the Season room."),
        (
            replace(SEASON, routes=tuple(replace(route, points=()) for route in SEASON.routes)),
            "has no points yet. Give it points in the Routes room.",
        ),
    ],
)
def test_that_an_empty_page_says_what_to_do_next(desk_with: DeskWith, qtbot: QtBot, season: Season, said: str) -> None:
    page = page_of(desk_with(season), qtbot)
    assert any(said in text for text in words(page))
    page.pane.keep()
    assert page.pane.model.rowCount() == 0
    assert all(not action.isEnabled() and action.toolTip() for action in page.commands())
