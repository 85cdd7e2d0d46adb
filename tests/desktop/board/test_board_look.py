"""The board is read in both palettes, in a longer language, without routes, and with visits whose dates meet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.board.grid import BoardGrid
from planner.desktop.board.lines import BoardSources, Fold
from planner.desktop.board.model import BoardModel
from planner.desktop.board.room import BoardRoom
from planner.desktop.board.strokes import Strokes, mixed, width_of
from planner.desktop.board.view import BoardView
from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT, Colours, contrast
from planner.domain.finding import Subject
from planner.domain.plan import Plan, VisitKey
from planner.store import SeasonFile
from planner.usecases.plan.board_light import MoonNight
from tests.desktop.walking import PseudoLanguage, clipped
from tests.unit.scheduling.seasons import day, days, planned, problem, protocol, route, volunteer

Rest = Callable[[Desk], None]


def test_that_words_and_edges_on_the_board_stand_out_in_both_palettes(colours: Colours) -> None:
    """WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for what tells one state from another (1.4.11)."""
    strokes = Strokes.of(colours, QFont("B612", 10), 1.0)
    surface, weekend = strokes.surface.name(), strokes.weekend.name()
    veiled = [mixed(QColor(ground), strokes.veil, strokes.veil.alphaF()).name() for ground in (surface, weekend)]
    texts = [
        (strokes.ink, strokes.planned.color().name()),
        (strokes.on_accent, strokes.confirmed.color().name()),
        (strokes.ink, strokes.done.color().name()),
        (strokes.ink, strokes.band.name()),
        *((strokes.quiet, ground) for ground in (surface, weekend, strokes.group.name(), *veiled)),
    ]
    for pen, ground in texts:
        assert contrast(pen.color().name(), ground) >= 4.5, (pen.color().name(), ground)
    for pen in (strokes.accent, strokes.dashed, strokes.focus, strokes.edge):
        for ground in (surface, weekend, *veiled):
            assert contrast(pen.color().name(), ground) >= 3.0, (pen.color().name(), ground)


@pytest.fixture
def longer_language(qapp: QApplication) -> Iterator[None]:
    """Have everything said in the pseudo-language."""
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    yield
    qapp.removeTranslator(language)


@pytest.mark.usefixtures("longer_language")
def test_that_nothing_is_cut_in_a_language_40_percent_longer(room: BoardRoom, rest: Rest) -> None:
    room.resize(1088, 690)  # what a window of 1280 x 800 leaves for a room
    for key in (VisitKey("R09", 1), VisitKey("R22", 2)):
        room.show_subject(Subject(route=key.route, visit=key.number))
        rest(room.desk)
        QApplication.processEvents()
        assert clipped(room) == []
    assert (room.width(), room.height()) == (1088, 690)


def _grid(qtbot: QtBot, sources: BoardSources | None) -> tuple[BoardGrid, BoardModel]:
    model = BoardModel()
    grid = BoardGrid(model, LIGHT)
    if sources is not None:
        model.show(sources)
    qtbot.addWidget(grid)
    grid.resize(700, 400)
    with qtbot.waitExposed(grid):
        grid.show()
    return grid, model


def test_that_a_board_without_routes_says_what_to_do(qtbot: QtBot) -> None:
    season = replace(problem().season, routes=())
    empty, _ = _grid(qtbot, BoardSources(season, Plan()))
    inked = _colours_in(empty, empty.viewport().rect().center() - QPoint(150, 10), 300, 20)
    assert any(QColor(colour).lightness() < 140 for colour in inked)
    QTest.keyClick(empty, Qt.Key.Key_Down)
    assert not empty.currentIndex().isValid()


def _colours_in(grid: BoardGrid, corner: QPoint, width: int, height: int) -> set[str]:
    picture = grid.viewport().grab().toImage()
    return {
        picture.pixelColor(corner.x() + x, corner.y() + y).name() for x in range(0, width, 2) for y in range(height)
    }


def test_that_visits_whose_dates_meet_stand_in_lanes_of_their_own(qtbot: QtBot) -> None:
    season = problem(
        rules=protocol(visits=3), visits=(days(0, 6), days(4, 9), days(10, 13)), routes=[route("R1")]
    ).season
    plan = Plan((planned("R1/1", "V0", 5), planned("R1/2", "V0", 5), planned("R1/3", "V0", 11)))
    grid, _ = _grid(qtbot, BoardSources(season, plan))
    assert grid.board_geometry.lanes == (0, 1, 0)
    first, second = (grid.board_geometry.block(0, 5, visit) for visit in (1, 2))
    assert not first.intersects(second)
    planned_colour = QColor(LIGHT.selection).name()
    for block in (first, second):
        assert planned_colour in _colours_in(grid, block.topLeft().toPoint() + QPoint(3, 3), 8, 3)


def test_that_the_moon_takes_a_line_of_the_header_where_it_is_asked_for(qtbot: QtBot) -> None:
    season = problem(routes=[route("R1")], volunteers=[volunteer("V0")]).season
    grid, model = _grid(qtbot, BoardSources(season, Plan()))
    without = grid.viewport().geometry().top()
    plain = grid.grab().toImage()
    model.show_sky({one: MoonNight(0.5, waxing=True) for one in season.dates}, frozenset({day(3)}), {})
    QApplication.processEvents()
    assert grid.viewport().geometry().top() > without
    assert grid.grab().toImage() != plain


def test_that_dates_without_a_window_are_hatched(qtbot: QtBot) -> None:
    season = problem(routes=[route("R1"), route("R2")]).season
    grid, model = _grid(qtbot, BoardSources(season, Plan()))
    cell = grid.board_geometry.cell(1, 2).adjusted(2, 6, -2, -6)
    plain = _colours_in(grid, cell.topLeft(), cell.width(), cell.height())
    model.show(BoardSources(season, Plan(), without={"R2": frozenset({day(2)})}))
    QApplication.processEvents()
    assert _colours_in(grid, cell.topLeft(), cell.width(), cell.height()) > plain


def test_that_the_board_scrolls_while_a_visit_is_held_at_its_edge(
    board: BoardView, early_desk: Desk, qtbot: QtBot
) -> None:
    board.zoom_to(60)
    board.show_visit(VisitKey("R09", 1))
    board.carrying.lift(VisitKey("R09", 1), dt.date(2027, 5, 10), by_mouse=True)
    before = board.horizontalScrollBar().value()
    edge = QPoint(board.viewport().width() - 5, 50)
    board._edges.follow(edge)
    qtbot.waitUntil(lambda: board.horizontalScrollBar().value() >= before + 3 * 60, timeout=5_000)
    at_edge = board.board.day_at(board.board_geometry.column_at(edge.x()))
    assert board.carrying.day is not None
    assert abs((board.carrying.day - at_edge).days) <= 1
    board.carrying.put_back()
    stopped = board.horizontalScrollBar().value()
    qtbot.waitUntil(lambda: not early_desk.session.working)
    assert board.horizontalScrollBar().value() == stopped


def test_that_l_goes_to_the_people_of_the_current_visit(room: BoardRoom, rest: Rest) -> None:
    room.show_subject(Subject(route="R09", visit=1))
    rest(room.desk)
    QTest.keyClick(room.view, Qt.Key.Key_L)
    assert room.visit_pane.people.hasFocus()


def test_that_a_season_without_anything_opens_and_says_why_nothing_can_be_planned(
    early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    def empty(file: SeasonFile) -> None:
        with file.step("Take everything away"):
            file.save_plan(Plan())
            file.save_season(replace(file.season(), routes=(), volunteers=()))

    early_desk.session.do(empty)
    rest(early_desk)
    room = BoardRoom(early_desk)
    qtbot.addWidget(room)
    room.show()
    rest(early_desk)
    assert not room.actions_here.plan_all.isEnabled()
    assert "needs routes and volunteers" in room.actions_here.plan_all.toolTip()
    room.show_subject(Subject(date=dt.date(2027, 5, 10)))
    for fold in Fold:
        room.view.gather(fold)
    for action in room.commands():
        action.trigger()
    rest(early_desk)
    assert room.view.current_visit is None


def test_that_dates_are_wide_enough_for_long_codes_unless_somebody_has_zoomed(
    early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    def lengthen(file: SeasonFile) -> None:
        season = file.season()
        longer = tuple(replace(one, code=f"{one.code}-LONG") for one in season.volunteers)
        with file.step("Longer codes"):
            file.save_plan(Plan())
            file.save_season(
                replace(season, volunteers=longer, routes=tuple(replace(r, lead="") for r in season.routes))
            )

    early_desk.session.do(lengthen)
    rest(early_desk)
    room = BoardRoom(early_desk)
    qtbot.addWidget(room)
    wide = room.view.board_geometry.column_width
    assert wide > width_of(Strokes.of(LIGHT, room.view.font(), 1.0).small, "V28-LONG") > 30
    room.sight.narrower()
    again = BoardRoom(early_desk)
    qtbot.addWidget(again)
    assert again.view.board_geometry.column_width == room.view.board_geometry.column_width < wide
    rest(early_desk)
