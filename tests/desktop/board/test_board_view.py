"""Visits are lifted, judged where they hang, dropped as one step or put back, by keys and by mouse."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.board.lines import Fold
from planner.desktop.board.said import named, names_of
from planner.desktop.board.verdict_card import verdict_lines
from planner.desktop.board.view import BoardView
from planner.desktop.desk import Desk
from planner.desktop.look.colours import Colours
from planner.domain.finding import Severity
from planner.domain.plan import PlannedVisit, VisitKey
from planner.scheduling import audit
from planner.store import SeasonFile
from planner.usecases.plan.placing import pin

KEY = VisitKey("R09", 1)
Rest = Callable[[Desk], None]


def _stands(desk: Desk, key: VisitKey = KEY) -> PlannedVisit:
    return desk.session.snapshot.plan.by_key[key]


def _judged(board: BoardView, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: board.carrying.verdict is not None, timeout=5_000)


def _lift(board: BoardView, qtbot: QtBot, key: VisitKey = KEY) -> None:
    board.show_visit(key)
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert board.carrying.holds
    _judged(board, qtbot)


def _middle(board: BoardView, code: str, day: dt.date) -> QPoint:
    index = board.board.index(board.board.row_of(code), board.board.column_of(day))
    return board.visualRect(index).center()


def test_that_a_visit_is_moved_by_keys_alone_as_one_step(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    before, steps = _stands(early_desk), len(early_desk.session.snapshot.steps)
    _lift(board, qtbot)
    QTest.keyClick(board, Qt.Key.Key_Right)
    _judged(board, qtbot)
    assert "fits" in board.card.text
    assert "Margin" in board.card.text
    QTest.keyClick(board, Qt.Key.Key_Return)
    rest(early_desk)
    assert not board.carrying.holds
    assert _stands(early_desk).date == before.date + dt.timedelta(days=1)
    assert [step.label for step in early_desk.session.snapshot.steps[steps:]] == ["Move R09 visit 1 to Tue 11 May"]
    assert board.current_visit == KEY
    early_desk.session.undo()
    rest(early_desk)
    assert _stands(early_desk) == before


def test_that_escape_puts_a_visit_back_and_changes_nothing(board: BoardView, early_desk: Desk, qtbot: QtBot) -> None:
    revision = early_desk.session.snapshot.revision
    _lift(board, qtbot)
    QTest.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert board.carrying.day == _stands(early_desk).date + dt.timedelta(days=7)
    QTest.keyClick(board, Qt.Key.Key_Escape)
    assert not board.carrying.holds
    assert not board.card.isVisible()
    assert early_desk.session.snapshot.revision == revision


def test_that_a_drop_that_breaks_a_rule_is_refused_with_the_rule_and_may_be_tried_again(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    revision = early_desk.session.snapshot.revision
    _lift(board, qtbot)
    for _ in range(3):
        QTest.keyClick(board, Qt.Key.Key_Right)
    _judged(board, qtbot)
    verdict = board.carrying.verdict
    assert verdict is not None
    assert not verdict.allowed
    assert "breaks a rule" in board.card.text
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert board.card.text.splitlines()[0] == "R09 visit 1 cannot be placed here"
    assert "has not given the evening of Thu 13 May" in board.card.text
    assert board.carrying.holds
    QTest.keyClick(board, Qt.Key.Key_Escape)
    rest(early_desk)
    assert early_desk.session.snapshot.revision == revision


def test_that_the_verdict_on_the_card_is_the_audits(board: BoardView, early_desk: Desk, qtbot: QtBot) -> None:
    _lift(board, qtbot)
    QTest.keyClick(board, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    _judged(board, qtbot)
    verdict, problem, plan = board.carrying.verdict, early_desk.session.problem, early_desk.session.snapshot.plan
    assert verdict is not None
    assert problem is not None
    stood = {str(one) for one in audit(problem, plan) if one.severity is Severity.BROKEN}
    broken = [one for one in audit(problem, plan.with_visit(verdict.visit)) if one.severity is Severity.BROKEN]
    assert {one.what for one in verdict.broken} == {one.what for one in broken if str(one) not in stood} != set()
    names = names_of(early_desk.session.snapshot.season)
    assert all(named(one.what, names) in board.card.text for one in verdict.broken[:3])
    assert "Driving as before" in verdict_lines(replace(verdict, drive_change_minutes=0.3))
    assert "Driving +4 min" in verdict_lines(replace(verdict, drive_change_minutes=4.2))


def test_that_a_refusal_names_the_person_and_goes_once_another_cell_is_chosen_or_the_plan_changes(
    board: BoardView, early_desk: Desk, rest: Rest
) -> None:
    def go_on() -> None:
        board.show_visit(VisitKey("R10", 1))

    def take_back() -> None:
        early_desk.session.undo()

    for leave in (go_on, take_back):
        early_desk.session.do(lambda file: pin(file, KEY))
        rest(early_desk)
        board.show_visit(KEY)
        QTest.keyClick(board, Qt.Key.Key_Return)
        assert board.card.text.startswith("R09 visit 1 cannot be moved")
        assert board.card.isVisible()
        leave()
        rest(early_desk)
        assert not board.card.isVisible()


def test_that_names_stand_beside_the_codes_of_people_only() -> None:
    names = {"V04": "Ada Fenwright", "R09": "Not Meant", "60": "Nor This"}
    assert named("V04 drives 61 min, limit 60.", names) == "V04 Ada Fenwright drives 61 min, limit 60."
    assert named("R09 visit 1 overruns; route R09 is long.", names) == "R09 visit 1 overruns; route R09 is long."
    assert named("V05 is unknown.", names) == "V05 is unknown."


def test_that_enter_pressed_before_the_verdict_is_there_drops_once_it_is(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    _lift(board, qtbot)
    QTest.keyClick(board, Qt.Key.Key_Right)
    QTest.keyClick(board, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: _stands(early_desk).date == dt.date(2027, 5, 11), timeout=10_000)
    rest(early_desk)


def test_that_up_and_down_give_the_visit_in_the_hand_to_the_next_person(
    board: BoardView, early_desk: Desk, qtbot: QtBot
) -> None:
    _lift(board, qtbot)
    lead = _stands(early_desk).lead
    QTest.keyClick(board, Qt.Key.Key_Down)
    _judged(board, qtbot)
    assert board.carrying.lead not in ("", lead)
    assert f"lead {board.carrying.lead}" in board.card.text
    QTest.keyClick(board, Qt.Key.Key_Up)
    _judged(board, qtbot)
    assert board.carrying.lead == lead
    with qtbot.waitSignal(board.people_asked):
        QTest.keyClick(board, Qt.Key.Key_L)


def test_that_a_visit_is_dragged_by_mouse_and_dropped_on_another_date(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    board.show_visit(KEY)
    date = _stands(early_desk).date
    port = board.viewport()
    QTest.mousePress(port, Qt.MouseButton.LeftButton, pos=_middle(board, "R09", date))
    _drag(board, _middle(board, "R09", date + dt.timedelta(days=1)))
    _judged(board, qtbot)
    assert board.card.isVisible()
    QTest.mouseRelease(port, Qt.MouseButton.LeftButton, pos=_middle(board, "R09", date + dt.timedelta(days=1)))
    qtbot.waitUntil(lambda: _stands(early_desk).date == date + dt.timedelta(days=1), timeout=10_000)
    rest(early_desk)


def test_that_a_visit_dropped_by_mouse_where_a_rule_breaks_goes_back_and_the_reason_stays(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    board.show_visit(KEY)
    date, revision = _stands(early_desk).date, early_desk.session.snapshot.revision
    there = _middle(board, "R09", date + dt.timedelta(days=3))
    QTest.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=_middle(board, "R09", date))
    _drag(board, there)
    QTest.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=there)
    qtbot.waitUntil(lambda: not board.carrying.holds, timeout=5_000)
    assert "cannot be placed here" in board.card.text
    assert board.card.isVisible()
    rest(early_desk)
    assert (_stands(early_desk).date, early_desk.session.snapshot.revision) == (date, revision)
    QTest.keyClick(board, Qt.Key.Key_Escape)
    assert not board.card.isVisible()


def _drag(board: BoardView, there: QPoint) -> None:
    """Move the mouse with the left button held: pytest-qt's own move holds none."""
    port = board.viewport()
    for place in (there - QPoint(3, 0), there):
        event = QMouseEvent(
            QEvent.Type.MouseMove,
            QPointF(place),
            QPointF(port.mapToGlobal(place)),
            Qt.MouseButton.NoButton,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        QApplication.sendEvent(port, event)


@pytest.mark.parametrize(("changes", "reason"), [({"pinned": True}, "is pinned"), ({}, "is past")])
def test_that_what_may_not_be_moved_says_why_when_it_is_lifted(
    changes: dict[str, object], reason: str, board: BoardView, early_desk: Desk, rest: Rest
) -> None:
    fixed = replace(_stands(early_desk), **changes)  # type: ignore[arg-type]  # fields by name

    def fix(file: SeasonFile) -> None:
        with file.step("Fix"):
            file.save_plan(file.plan().with_visit(fixed))

    early_desk.session.do(fix)
    rest(early_desk)
    if not changes:
        early_desk.now = lambda: dt.datetime(2027, 5, 20, 12, tzinfo=dt.UTC)
    board.show_visit(KEY)
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert not board.carrying.holds
    assert reason in board.card.text


def test_that_an_unfilled_visit_is_placed_by_lifting_it_from_a_date_it_may_have(
    board: BoardView, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    def empty(file: SeasonFile) -> None:
        with file.step("Take it out"):
            file.save_plan(file.plan().without(KEY))

    before = _stands(early_desk)
    early_desk.session.do(empty)
    rest(early_desk)
    board.show_route("R09", before.date)
    QTest.keyClick(board, Qt.Key.Key_Return)
    _judged(board, qtbot)
    QTest.keyClick(board, Qt.Key.Key_Return)
    rest(early_desk)
    placed = _stands(early_desk)
    assert (placed.date, placed.lead, placed.setup) == (before.date, before.lead, before.setup)
    assert placed.reserve is not None


def test_that_a_preview_shows_what_would_move_and_goes_again(board: BoardView, early_desk: Desk) -> None:
    plan = early_desk.session.snapshot.plan
    moved = replace(_stands(early_desk), date=dt.date(2027, 5, 18), reserve=None)
    plain = board.viewport().grab().toImage()
    board.show_preview(plan.with_visit(moved).without(VisitKey("R02", 2)))
    changed = [line.title[:3] for line in board.board.lines if line.after is not None]
    assert changed == ["R02", "R09"]
    board.show_visit(KEY)
    assert board.viewport().grab().toImage() != plain
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert not board.carrying.holds
    assert "is previewed" in board.card.text
    board.show_preview(None)
    assert not any(line.after for line in board.board.lines)


def test_that_groups_are_folded_by_key_and_click_and_the_current_route_is_kept(
    board: BoardView, early_desk: Desk
) -> None:
    board.show_visit(KEY)
    board.gather(Fold.AREA)
    assert board.current_visit == KEY
    rows = board.board.rowCount()
    board.setCurrentIndex(board.board.index(0, 5))
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert board.board.rowCount() < rows
    assert board.board.lines[0].folded
    board.setCurrentIndex(board.board.index(0, 5))
    QTest.keyClick(board, Qt.Key.Key_Right)
    assert board.board.rowCount() == rows
    group = next(line.group for line in board.board.lines if line.route is not None and line.route.code == "R09")
    board.feed.toggle(group)
    assert board.board.row_of("R09") == -1
    board.show_visit(KEY)
    assert board.current_visit == KEY
    assert early_desk.session.snapshot.plan is board.feed.sources.plan


def test_that_arrow_keys_walk_over_cells_and_pages_and_the_current_cell_is_seen(board: BoardView) -> None:
    board.setCurrentIndex(board.board.index(0, 0))
    for key, cell in (
        (Qt.Key.Key_Right, (0, 1)),
        (Qt.Key.Key_Down, (1, 1)),
        (Qt.Key.Key_End, (1, 60)),
        (Qt.Key.Key_PageDown, None),
        (Qt.Key.Key_Left, None),
    ):
        QTest.keyClick(board, key)
        current = board.currentIndex()
        assert cell is None or (current.row(), current.column()) == cell
        assert board.viewport().rect().contains(board.visualRect(current))
    assert board.currentIndex().column() == 59
    assert board.currentIndex().row() > 10


def test_that_zooming_keeps_the_date_under_the_pointer(board: BoardView) -> None:
    board.zoom_to(40)
    board.horizontalScrollBar().setValue(300)
    x = 200
    day = board.board.day_at(board.board_geometry.column_at(x))
    board.zoom_to(52, around=x)
    assert board.board.day_at(board.board_geometry.column_at(x)) == day
    board.zoom_to(1_000)
    assert board.board_geometry.column_width == 72


def test_that_dates_below_the_cursor_are_found_and_rows_are_chosen_together(board: BoardView) -> None:
    date = dt.date(2027, 5, 11)
    QTest.mouseClick(board.viewport(), Qt.MouseButton.LeftButton, pos=_middle(board, "R02", date))
    assert board.current_visit == VisitKey("R02", 1)
    QTest.mouseClick(
        board.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.ControlModifier,
        pos=_middle(board, "R05", date),
    )
    assert [line.title[:3] for line in board.selected_lines()] == ["R02", "R05"]


def test_that_a_double_click_asks_for_details(board: BoardView, qtbot: QtBot) -> None:
    place = _middle(board, "R02", dt.date(2027, 5, 11))
    QTest.mouseClick(board.viewport(), Qt.MouseButton.LeftButton, pos=place)
    with qtbot.waitSignal(board.opened) as told:
        QTest.mouseDClick(board.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert told.args == [VisitKey("R02", 1)]


def test_that_the_board_is_painted_in_its_palette(board: BoardView, early_desk: Desk, colours: Colours) -> None:
    early_desk.show_in(colours)
    picture = board.viewport().grab().toImage()
    shown = {picture.pixelColor(x, 5).name() for x in range(0, 60, 3)}
    assert colours.surface in shown


def test_that_titles_are_clicked_with_shift_in_either_direction(board: BoardView) -> None:
    titles = board._frozen.titles

    def click(code: str, held: Qt.KeyboardModifier) -> None:
        cell = board.board_geometry.cell(board.board.row_of(code), 0)
        QTest.mouseClick(titles, Qt.MouseButton.LeftButton, held, QPoint(30, cell.center().y()))

    click("R05", Qt.KeyboardModifier.NoModifier)
    click("R03", Qt.KeyboardModifier.ShiftModifier)
    assert [line.title[:3] for line in board.selected_lines()] == ["R03", "R04", "R05"]
    click("R07", Qt.KeyboardModifier.ShiftModifier)
    assert [line.title[:3] for line in board.selected_lines()] == ["R05", "R06", "R07"]
    click("R06", Qt.KeyboardModifier.ControlModifier)
    assert [line.title[:3] for line in board.selected_lines()] == ["R05", "R07"]
    assert titles.selected_rows == {4, 6}
