"""Sheets are typed by keyboard alone; each row is kept as it is left, and nothing that was typed is lost."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.room import SheetsRoom
from planner.desktop.sheets.sheet_model import BEFORE_ROLE, MARK_ROLE
from planner.desktop.sheets.typed_sheets import TypedSheets
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.finding import Severity
from planner.store import SeasonFile
from tests.desktop.sheets.conftest import GROUND, Hands, sheet
from tests.unit.usecases.sheet_seasons import draft, final, key

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
WHOLE = ("20", "30", "", "50", "", "", "", "", "", "0", "0")
"""Figures of a whole row, class by class, then what is grazed and the livestock."""

Settled = Callable[[], None]
Keep = Callable[..., None]


def kept(desk: Desk) -> tuple[HabitatSheet, ...]:
    return desk.session.snapshot.sheets


def ground(one: HabitatSheet) -> dict[str, int]:
    return dict(one.covers[0].percents)


def column(page: HabitatPage, field: str) -> int:
    return page.pane.model.rows.column_of(field)


def rest(page: HabitatPage, row: int) -> str:
    model = page.pane.model
    name = Qt.ItemDataRole.DisplayRole
    at = next(n for n in range(model.columnCount()) if model.headerData(n, Qt.Orientation.Horizontal, name) == "Rest")
    return str(model.index(row, at).data())


def test_that_the_grid_is_a_sound_model_while_it_is_typed_in_and_turned(
    page: HabitatPage, hands: Hands, settled: Settled
) -> None:
    tester = QAbstractItemModelTester(page.pane.model, FATAL)
    hands.row(*WHOLE)
    page.pane.show_route("R2", 2)
    page.pane.show_route("R1", 1)
    settled()
    page.pane.model.show(None)
    assert page.pane.model.rowCount() == 0
    assert tester.model() is page.pane.model


def test_that_figures_and_tab_fill_a_row_and_leaving_it_is_one_step(
    page: HabitatPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    steps = len(desk.session.snapshot.steps)
    hands.row(*WHOLE)
    assert kept(desk) == ()
    hands.presses(Qt.Key.Key_Return)
    settled()
    (one,) = kept(desk)
    assert (str(one.key), ground(one), one.grazed_percent, one.livestock) == (
        "R1 visit 1 point 1 by V1",
        GROUND,
        0,
        0,
    )
    assert one.date is not None
    assert len(desk.session.snapshot.steps) == steps + 1
    assert page.pane.row == 1
    assert page.pane.grid.currentIndex().column() == column(page, "TH")


def test_that_the_rest_is_shown_while_a_figure_is_being_typed(page: HabitatPage, hands: Hands) -> None:
    hands.types("20")
    assert rest(page, 0) == "80"
    hands.presses(Qt.Key.Key_Tab)
    hands.types("3")
    assert rest(page, 0) == "77"
    hands.presses(Qt.Key.Key_Escape)
    assert rest(page, 0) == "80"


@pytest.mark.parametrize("letter", ["r", "R", "="])
def test_that_one_key_gives_a_class_the_rest(page: HabitatPage, hands: Hands, letter: str) -> None:
    hands.row("20", "30")
    hands.types(letter)
    assert ground(page.pane.model.rows.sheet(0)) == {"GR": 50, "SH": 30, "TH": 20}
    assert rest(page, 0) == "0"


def test_that_the_rest_takes_the_place_of_a_figure_half_typed(page: HabitatPage, hands: Hands) -> None:
    hands.row("20")
    hands.types("3r")
    assert ground(page.pane.model.rows.sheet(0)) == {"SH": 80, "TH": 20}


def test_that_letters_never_get_into_a_figure_and_words_take_every_letter(page: HabitatPage, hands: Hands) -> None:
    hands.types("x2y0z")
    hands.presses(Qt.Key.Key_Tab)
    assert ground(page.pane.model.rows.sheet(0)) == {"TH": 20}
    page.pane.grid.go_to(0, column(page, "note"))
    hands.types("rough k=2")
    hands.presses(Qt.Key.Key_Tab)
    assert page.pane.model.rows.sheet(0).note == "rough k=2"


def test_that_a_violation_is_said_in_sign_and_words_and_kept_as_a_draft_but_never_handed_in(
    page: HabitatPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    hands.row("20", "35", "", "50", "", "", "", "", "", "0", "0")
    cell = page.pane.model.index(0, column(page, "SH"))
    assert cell.data(MARK_ROLE) is Severity.BROKEN
    assert "Short heath 35: tens only. Write 30 or 40." in cell.data(Qt.ItemDataRole.ToolTipRole)
    assert "tens only" in cell.data(Qt.ItemDataRole.AccessibleTextRole)
    assert "Short heath 35: tens only. Write 30 or 40." in page.pane.line.words.text()
    hand_in = page.pane.actions_here.hand_in
    assert not hand_in.isEnabled()
    assert hand_in.toolTip() == "Point 1: short heath 35: tens only; adds up to 105: 5 too many"
    hands.presses(Qt.Key.Key_Return, CTRL)
    hands.presses(Qt.Key.Key_Return)
    settled()
    assert [(ground(one)["SH"], one.state) for one in kept(desk)] == [(35, SheetState.DRAFT)]
    page.pane.grid.go_to(0, column(page, "SH"))
    hands.types("30")
    hands.presses(Qt.Key.Key_Tab)
    assert hand_in.isEnabled()
    hands.presses(Qt.Key.Key_Return, CTRL)
    settled()
    assert [one.state for one in kept(desk)] == [SheetState.FINAL]


def test_that_what_only_lacks_is_not_marked_before_the_row_is_left(
    page: HabitatPage, hands: Hands, settled: Settled
) -> None:
    hands.row("20")
    grazed = page.pane.model.index(0, column(page, "grazed"))
    assert grazed.data(MARK_ROLE) is None
    assert "Still to do" in page.pane.line.words.text()
    hands.presses(Qt.Key.Key_Return)
    settled()
    assert grazed.data(MARK_ROLE) is Severity.BROKEN


def test_that_a_handed_in_row_is_not_written_in_until_it_is_reopened(
    page: HabitatPage, hands: Hands, desk: Desk, keep: Keep, settled: Settled
) -> None:
    keep(final(key(1), GROUND))
    hands.types("9")
    assert "handed in. Reopen it" in page.pane.line.words.text()
    hands.presses(Qt.Key.Key_Delete)
    hands.types("r")
    assert page.pane.model.rows.sheet(0) == final(key(1), GROUND)
    hands.presses(Qt.Key.Key_O, CTRL | SHIFT)
    settled()
    assert kept(desk)[0].state is SheetState.DRAFT
    hands.presses(Qt.Key.Key_Delete)
    assert "TH" not in ground(page.pane.model.rows.sheet(0))


def test_that_keys_copy_the_point_before_and_the_visit_before(
    page: HabitatPage, hands: Hands, keep: Keep, settled: Settled
) -> None:
    keep(sheet(1), sheet(1, {"GR": 100}, visit=2))
    page.pane.grid.go_to(1)
    hands.presses(Qt.Key.Key_D, CTRL)
    assert ground(page.pane.model.rows.sheet(1)) == GROUND
    page.pane.show_route("R1", 2)
    settled()
    page.pane.grid.go_to(1)
    hands.presses(Qt.Key.Key_D, CTRL | SHIFT)
    settled()
    assert ground(page.pane.model.rows.sheet(1)) == GROUND
    page.pane.grid.go_to(2)
    hands.presses(Qt.Key.Key_D, CTRL | SHIFT)
    assert page.pane.line.words.text() == "The visit before has nothing for point 3."


def test_that_the_visit_before_stands_beside_a_figure_and_a_stable_class_that_moved_is_marked_at_once(
    page: HabitatPage, hands: Hands, keep: Keep
) -> None:
    keep(sheet(1))
    page.pane.show_route("R1", 2)
    page.pane.grid.go_to(0)
    tall = page.pane.model.index(0, column(page, "TH"))
    assert (tall.data(BEFORE_ROLE), tall.data(MARK_ROLE)) == ("20", None)
    hands.types("50")
    hands.presses(Qt.Key.Key_Tab)
    assert tall.data(MARK_ROLE) is Severity.DOUBT
    assert "Visit 1: 20" in tall.data(Qt.ItemDataRole.ToolTipRole)
    assert page.pane.model.headerData(tall.column(), Qt.Orientation.Horizontal) == "TH▪"


def test_that_a_sheet_without_a_date_shows_none_and_may_be_given_one(
    page: HabitatPage, hands: Hands, desk: Desk, keep: Keep, settled: Settled
) -> None:
    keep(replace(sheet(1), date=dt.date(2025, 6, 2)), sheet(2))
    date = page.pane.head.date
    page.pane.go_to(1)
    assert date.text() == "Mon 2 Jun 2025"
    page.pane.go_to(2)
    assert date.text() == "no date"
    date.setFocus()
    hands.presses(Qt.Key.Key_Up)
    page.pane.keep()
    settled()
    assert [one.date for one in kept(desk)] == [dt.date(2025, 6, 2), dt.date(2027, 5, 2)]


def test_that_another_persons_estimate_of_the_same_point_stands_beside_the_first(
    page: HabitatPage, hands: Hands, desk: Desk, keep: Keep, settled: Settled
) -> None:
    keep(sheet(1))
    observer = page.pane.head.observer
    observer.setCurrentIndex(observer.findData("V2"))
    observer.activated.emit(observer.currentIndex())
    page.pane.grid.setFocus()
    hands.row(*WHOLE)
    hands.presses(Qt.Key.Key_Return)
    settled()
    assert [one.key.observer for one in kept(desk)] == ["V1", "V2"]
    offered = [observer.itemText(row) for row in range(observer.count())]
    assert [words.partition(" (")[2] for words in offered if "sheet" in words] == ["1 sheet)", "1 sheet)"]


def test_that_undo_takes_back_a_row_that_is_still_being_typed_and_redo_brings_it(
    page: HabitatPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    hands.row("20")
    hands.types("3")
    desk.session.undo()
    settled()
    assert kept(desk) == ()
    assert ground(page.pane.model.rows.sheet(0)) == {}
    desk.session.redo()
    settled()
    assert ground(page.pane.model.rows.sheet(0)) == {"SH": 3, "TH": 20}


def test_that_what_is_typed_is_kept_when_the_keyboard_or_the_room_goes_elsewhere(
    page: HabitatPage, hands: Hands, desk: Desk, room: SheetsRoom, settled: Settled
) -> None:
    hands.types("20")
    page.routes.which.setFocus()
    settled()
    assert [ground(one) for one in kept(desk)] == [{"TH": 20}]
    page.pane.grid.go_to(1)
    page.pane.grid.setFocus()
    hands.types("40")
    room.hide()
    settled()
    assert [ground(one) for one in kept(desk)] == [{"TH": 20}, {"TH": 40}]


def test_that_what_is_typed_stands_in_the_file_after_closing_in_the_middle_of_a_figure(
    page: HabitatPage, hands: Hands, desk: Desk
) -> None:
    path = desk.session.snapshot.path
    hands.row("20", "30")
    hands.types("5")
    desk.session.close()
    with SeasonFile.open(path) as file:
        assert [ground(one) for one in file.sheets()] == [{"GR": 5, "SH": 30, "TH": 20}]
    assert page.isVisible()


def test_that_closing_waits_for_the_steps_that_stand_in_line(page: HabitatPage, hands: Hands, desk: Desk) -> None:
    path, gate = desk.session.snapshot.path, threading.Event()
    desk.session.do(lambda _file: gate.wait(10))
    hands.row("20")
    page.pane.keep()
    hands.types("30")
    threading.Timer(0.2, gate.set).start()
    desk.session.close()
    with SeasonFile.open(path) as file:
        assert [ground(one) for one in file.sheets()] == [{"SH": 30, "TH": 20}]
        assert len(file.history()) == 1 + 2


def test_that_what_is_taken_back_while_it_is_on_its_way_to_the_file_does_not_stay_there(
    page: HabitatPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    gate = threading.Event()
    desk.session.do(lambda _file: gate.wait(10))
    hands.row("20")
    page.pane.keep()
    page.pane.grid.go_to(0)
    hands.presses(Qt.Key.Key_Delete)
    page.pane.keep()
    gate.set()
    settled()
    assert kept(desk) == ()


def test_that_tab_leaves_the_grid_at_its_end_and_escape_anywhere(page: HabitatPage, hands: Hands) -> None:
    grid, model = page.pane.grid, page.pane.model
    grid.go_to(model.rowCount() - 1, column(page, "note"))
    hands.presses(Qt.Key.Key_Tab)
    assert not grid.hasFocus()
    grid.setFocus()
    hands.presses(Qt.Key.Key_Escape)
    focused: QWidget | None = page.window().focusWidget()
    assert focused is page.pane.head.observer


def test_that_what_the_file_refused_stays_typed_and_is_sent_again() -> None:
    typed, kept_before, one = TypedSheets(), HabitatSheet(key(1)), draft(key(1), {"TH": 20})
    typed.put(one, kept_before)
    typed.send([one])
    assert typed.unsaved() == ()
    typed.settle([one], kept=False)
    assert (typed.unsaved(), typed.get(key(1))) == ((one,), one)
    later = draft(key(1), {"TH": 30})
    typed.send([one])
    typed.put(later, kept_before)
    typed.settle([one], kept=True)
    assert typed.unsaved() == (later,)
    typed.send([later])
    typed.settle([later], kept=True)
    assert (typed.unsaved(), typed.get(key(1))) == ((), None)
