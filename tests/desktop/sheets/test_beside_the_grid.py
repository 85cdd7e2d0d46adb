"""What stands under the grid: sheets side by side and what to do about them, photos, the class key."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, QEvent, QObject, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.season.findings_model import FINDING_ROLE
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.pair_model import PairColumn
from planner.desktop.sheets.pair_view import names_apart
from planner.desktop.sheets.photo_images import read_small
from planner.desktop.sheets.room import SheetsRoom
from planner.desktop.sheets.route_model import RouteFilter, RouteModel, Which
from planner.desktop.sheets.sheet_model import MARK_ROLE
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, Photo, SheetState
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.geo import Place
from planner.usecases.sheets import mark_absent
from planner.usecases.sheets.standing import sheet_standings
from tests.desktop.sheets.conftest import Hands, sheet
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.unit.usecases.sheet_seasons import draft, final, key, picture

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
Settled = Callable[[], None]
Keep = Callable[..., None]


def by_key(desk: Desk) -> dict[tuple[int, int], HabitatSheet]:
    """Return the sheets of R1 that are kept, by visit and point."""
    return {(one.key.visit, one.key.point): one for one in desk.session.snapshot.sheets}


def ground(one: HabitatSheet) -> dict[str, int]:
    return dict(one.covers[0].percents)


def absent(desk: Desk) -> list[AbsentClass]:
    return sorted(desk.session.snapshot.season.absent_classes)


def choose(page: HabitatPage, rule: Rule) -> Finding:
    """Choose the first finding of a rule in the list."""
    panel = page.beside.findings
    for row in range(panel.model.rowCount()):
        found = panel.model.index(row, 0)
        if found.data(FINDING_ROLE).rule is rule:
            panel.list.setCurrentIndex(found)
            finding: Finding = found.data(FINDING_ROLE)
            return finding
    raise AssertionError(f"no {rule} among {[one.rule for one in panel.model.findings]}")


def test_that_the_class_key_leads_by_yes_and_no_to_a_class_that_takes_the_rest(page: HabitatPage, hands: Hands) -> None:
    hands.row("20")
    hands.types("k")
    panel = page.beside.key
    assert page.beside.currentIndex() == 2
    assert panel.ask.text() == "1. Is it open water?"
    hands.types("nnnny")
    assert panel.ask.text() == "6. Do most of these shrubs reach above your knee?"
    assert "Are living shrubs spread over it regularly, not only here and there? yes." in panel.path.text()
    hands.presses(Qt.Key.Key_Backspace)
    assert panel.ask.text().startswith("5.")
    hands.types("yn")
    assert panel.ask.text() == "SH: short heath"
    assert "no higher than the knee" in panel.hint.text()
    hands.presses(Qt.Key.Key_Return)
    assert ground(page.pane.model.rows.sheet(0)) == {"SH": 80, "TH": 20}
    assert page.pane.grid.hasFocus()
    assert page.pane.grid.currentIndex().column() == page.pane.model.rows.column_of("SH")


def test_that_a_class_found_by_the_key_may_also_be_gone_to(page: HabitatPage, hands: Hands) -> None:
    hands.types("ky")
    QTest.mouseClick(page.beside.key.open_cell, Qt.MouseButton.LeftButton)
    assert page.pane.grid.currentIndex().column() == page.pane.model.rows.column_of("WA")
    assert page.pane.model.rows.sheet(0).empty
    hands.types("k")
    assert page.beside.key.ask.text().startswith("1.")
    hands.presses(Qt.Key.Key_Escape)
    assert page.pane.grid.hasFocus()


def test_that_a_moved_class_shows_both_sheets_and_correcting_reopens_the_later_one(
    page: HabitatPage, desk: Desk, keep: Keep, settled: Settled
) -> None:
    keep(final(key(1), {"TH": 60, "GR": 40}), final(key(1, visit=2), {"TH": 20, "GR": 80}))
    panel = page.beside.findings
    tester = QAbstractItemModelTester(panel.pair.model, FATAL)
    finding = choose(page, Rule.SHEET_MOVED)
    settled()
    assert finding.subject.route == "R1"
    model = panel.pair.model
    rows = [[model.index(row, column).data() for column in PairColumn] for row in range(model.rowCount())]
    assert rows == [["tall heath ▪", "60", "20", "-40"], ["grass and bracken", "40", "80", "+40"]]
    assert "They share 60 %." in panel.pair.said.text()
    assert not panel._buttons["swap"].isVisible()
    panel.mend.trigger()
    settled()
    assert by_key(desk)[2, 1].state is SheetState.DRAFT
    assert (page.pane.visit, page.pane.sheet and page.pane.sheet.key.point) == (2, 1)
    assert tester.model() is model


def test_that_a_sheet_is_corrected_by_the_first_key_on_though_it_is_only_being_reopened(
    page: HabitatPage, desk: Desk, hands: Hands, keep: Keep, settled: Settled
) -> None:
    keep(final(key(1), {"TH": 60, "GR": 40}), final(key(1, visit=2), {"TH": 20, "GR": 80}))
    choose(page, Rule.SHEET_MOVED)
    settled()
    page.beside.findings.mend.trigger()
    page.pane.grid.go_to(0, page.pane.model.rows.column_of("TH"))
    hands.types("65")
    hands.presses(Qt.Key.Key_Tab)
    page.pane.keep()
    settled()
    mended = by_key(desk)[2, 1]
    assert (mended.state, ground(mended)["TH"]) == (SheetState.DRAFT, 65)


def test_that_a_sheet_that_cannot_be_reopened_stays_handed_in(
    page: HabitatPage, desk: Desk, keep: Keep, settled: Settled
) -> None:
    keep(final(key(1), {"TH": 60, "GR": 40}))
    page.pane.keeping.reopen([key(1), key(9)])
    assert page.pane.model.rows.locked(0) == ""
    settled()
    assert by_key(desk)[1, 1].state is SheetState.FINAL
    assert page.pane.model.rows.locked(0) == "Point 1 is handed in. Reopen it to change it."


def test_that_swapped_sheets_are_put_right_in_one_step(
    page: HabitatPage, desk: Desk, keep: Keep, settled: Settled
) -> None:
    one, other = {"TH": 100}, {"WA": 100}
    keep(draft(key(1), one), draft(key(2), other), draft(key(1, visit=2), other), draft(key(2, visit=2), one))
    choose(page, Rule.SHEET_SWAPPED)
    settled()
    steps = len(desk.session.snapshot.steps)
    page.beside.findings.swap.trigger()
    settled()
    assert (ground(by_key(desk)[2, 1]), ground(by_key(desk)[2, 2])) == (one, other)
    assert len(desk.session.snapshot.steps) == steps + 1
    assert page.beside.findings.model.rowCount() == 0


def test_that_a_finding_is_answered_by_it_is_so_with_who_says_so_and_may_be_asked_again(
    page: HabitatPage, hands: Hands, keep: Keep, settled: Settled
) -> None:
    keep(final(key(1)), final(key(1, visit=2), {"TH": 20, "GR": 80}))
    panel = page.beside.findings
    bar, shown = panel.so, [panel.so.note, *panel.so._buttons.values(), panel.so.said]
    choose(page, Rule.SHEET_MOVED)
    settled()
    assert [one.isVisible() for one in shown] == [True, True, False, False]
    bar.note.setFocus()
    hands.types("Ada")
    hands.presses(Qt.Key.Key_Return)
    settled()
    assert panel.model.rowCount() == 0
    page.pane.show_route("R1", 2)
    page.pane.go_to(1)
    settled()
    assert [one.isVisible() for one in shown] == [False, False, True, True]
    assert bar.said.text() == "Confirmed: Ada."
    column = page.pane.model.rows.column_of("TH")
    assert page.pane.model.index(0, column).data(MARK_ROLE) is None
    bar.again.trigger()
    settled()
    assert choose(page, Rule.SHEET_MOVED).subject.visit == 2
    assert page.pane.model.index(0, column).data(MARK_ROLE) is Severity.DOUBT


def test_that_photos_are_said_to_belong_without_a_word_who_says_so(
    page: HabitatPage, keep: Keep, settled: Settled
) -> None:
    keep(replace(final(key(1)), photos=(Photo("ab" * 32, "north.jpg", Place(53.9, -1.6)),)))
    panel = page.beside.findings
    choose(page, Rule.PHOTO_FAR)
    settled()
    assert not panel.so.note.isVisible()
    panel.so.so.trigger()
    settled()
    assert [one.rule for one in panel.model.findings] == [Rule.PHOTO_LOST]
    assert panel.so.said.text() == "Its photos were said to show the point."


def test_that_a_class_said_to_be_absent_may_be_said_to_be_there_after_all(
    page: HabitatPage, desk: Desk, keep: Keep, settled: Settled
) -> None:
    others = [AbsentClass("R1", "WA"), AbsentClass("R2", "TH")]
    desk.session.do(lambda file: mark_absent(file, [AbsentClass("R1", "TH"), *others]))
    keep(draft(key(1), {"TH": 100}))
    choose(page, Rule.SHEET_ABSENT_CLASS)
    settled()
    page.beside.findings.can_be.trigger()
    settled()
    assert absent(desk) == sorted(others)


def test_that_the_class_of_a_cell_is_said_to_be_absent_at_a_point_or_on_a_route_and_taken_back(
    page: HabitatPage, desk: Desk, settled: Settled
) -> None:
    actions = page.pane.actions_here
    page.pane.grid.go_to(2, page.pane.model.rows.column_of("WA"))
    for action in actions.absent:
        action.trigger()
        settled()
    assert absent(desk) == [AbsentClass("R1", "WA"), AbsentClass("R1", "WA", 3)]
    page.pane.grid.go_to(1, page.pane.model.rows.column_of("WA"))
    assert [action.isChecked() for action in actions.absent] == [False, True]
    actions.absent_route.trigger()
    settled()
    assert absent(desk) == [AbsentClass("R1", "WA", 3)]
    page.pane.grid.go_to(1, page.pane.model.rows.column_of("note"))
    assert not actions.absent_point.isEnabled()
    assert actions.absent_point.toolTip() == "Stand on a class first."


def test_that_two_people_at_one_point_are_held_side_by_side_and_their_agreement_is_said(
    page: HabitatPage, keep: Keep, settled: Settled
) -> None:
    keep(draft(key(1), {"TH": 60, "GR": 40}), draft(key(1, who="V2"), {"TH": 50, "GR": 50}))
    page.pane.show_route("R1", 1, "V1")
    page.pane.grid.go_to(0)
    settled()
    panel = page.beside.findings
    assert panel.pair.isVisible()
    # Worked by hand: the smaller of 60 and 50, and of 40 and 50.
    assert "They share 90 %." in panel.pair.said.text()
    assert panel.agreed.text() == (
        "1 point was estimated twice: they share 90 % in the mean, and differ most on tall heath."
    )


def test_that_photos_are_attached_small_and_large_and_say_how_far_from_the_point_they_were_taken(
    page: HabitatPage, hands: Hands, desk: Desk, tmp_path: Path, settled: Settled, qtbot: QtBot
) -> None:
    spot = desk.session.snapshot.season.route("R1").points[0].place
    near = picture(tmp_path / "near.jpg", Place(spot.latitude + 0.001, spot.longitude))
    page.take_pictures([near, picture(tmp_path / "nowhere.jpg", colour="navy")])
    settled()
    photos = page.beside.photos
    rows = photos.view.model()
    assert rows.rowCount() == 2
    qtbot.waitUntil(lambda: not rows.index(1, 0).data(Qt.ItemDataRole.DecorationRole).isNull(), timeout=5000)
    assert [rows.index(row, 0).data() for row in range(2)] == [
        "near.jpg\n111 m from the point",
        "nowhere.jpg\nno position",
    ]
    assert page.beside.tabText(1) == "Photos of point 1 (2)"
    photos.view.setCurrentIndex(rows.index(0, 0))
    photos.view.setFocus()
    hands.presses(Qt.Key.Key_Return)
    assert page.large.isVisible()
    assert page.large.title.text() == "1 of 2: near.jpg, 111 m from the point"
    hands.presses(Qt.Key.Key_Right)
    assert page.large.title.text() == "2 of 2: nowhere.jpg"
    hands.presses(Qt.Key.Key_Escape)
    assert page.pane.isVisible()
    photos.view.setCurrentIndex(rows.index(1, 0))
    photos.detach.trigger()
    settled()
    assert [photo.name for photo in desk.session.snapshot.sheets[0].photos] == ["near.jpg"]


def test_that_pictures_are_read_in_no_more_pixels_than_wanted_and_broken_ones_are_none(tmp_path: Path) -> None:
    wide = picture(tmp_path / "wide.jpg")
    assert (read_small(wide, 32).width(), read_small(wide, 32).height()) == (32, 24)
    assert read_small(wide, 500).width() == 64
    broken = tmp_path / "broken.png"
    broken.write_bytes(b"no picture")
    assert read_small(broken, 32).isNull()


def test_that_a_broken_picture_is_refused_in_words_and_nothing_is_attached(
    page: HabitatPage, desk: Desk, tmp_path: Path, settled: Settled
) -> None:
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"\xff\xd8\xff\xe0 no picture")
    page.take_pictures([broken])
    settled()
    assert "broken.jpg" in page.beside.photos.said.text()
    assert desk.session.snapshot.sheets == ()


def test_that_routes_show_what_came_in_and_are_filtered_by_what_is_missing(
    page: HabitatPage, desk: Desk, keep: Keep
) -> None:
    keep(*(final(key(point)) for point in range(1, 5)), draft(key(1, route="R2")))
    model, shown = RouteModel(2), RouteFilter()
    shown.setSourceModel(model)
    testers = [QAbstractItemModelTester(one, FATAL) for one in (model, shown)]
    found = desk.session.snapshot
    model.show(sheet_standings(found.season, found.sheets))
    assert [[model.index(row, column).data() for column in (1, 2)] for row in range(2)] == [
        ["4/4 ✓", "–"],
        ["1/4 ✎", "–"],
    ]
    shown.want(Which.DRAFT, "")
    assert [shown.index(row, 0).data()[:2] for row in range(shown.rowCount())] == ["R2"]
    shown.want(Which.LOOK, "R1")
    assert [shown.index(row, 0).data()[:2] for row in range(shown.rowCount())] == ["R1"]
    model.show(())
    assert len(testers) == 2
    page.routes.choose("R2")
    assert page.pane.head.title.text().startswith("R2")


def test_that_the_code_of_a_route_is_seen_however_much_came_in_beside_it(page: HabitatPage, keep: Keep) -> None:
    keep(*(final(key(point, visit=visit)) for point in range(1, 5) for visit in (1, 2)))
    page.resize(500, 500)
    view = page.routes.view
    header = view.horizontalHeader()
    assert header.length() <= view.viewport().width()
    assert header.sectionSize(0) >= view.fontMetrics().horizontalAdvance("R1") + 2 * 4


def test_that_a_long_name_of_a_route_gives_way_before_the_year_of_a_date_does(page: HabitatPage, qtbot: QtBot) -> None:
    head, long = page.pane.head, "R1 Upper and Lower Fernhythe Common by the Old Drovers' Road and the Long Meadow"
    head.title.name(long)
    head.date.setDate(QDate(2027, 9, 22))
    qtbot.waitUntil(lambda: head.title.text().endswith("…"), timeout=3000)
    assert head.title.toolTip() == long
    line = head.date.lineEdit()
    # A line of text keeps two pixels clear at either side of its words.
    assert line.width() - 4 >= line.fontMetrics().horizontalAdvance("Wed 22 Sep 2027")
    head.title.name("R1")
    assert (head.title.text(), head.title.toolTip()) == ("R1", "")


def test_that_the_grid_stays_where_it_is_when_two_lines_are_said_under_it(page: HabitatPage, qtbot: QtBot) -> None:
    pane = page.pane
    pane.say("One line.")
    qtbot.wait(20)
    before, line = pane.grid.geometry(), pane.line.words
    pane.say("A sentence of several words. " * 6)
    qtbot.wait(20)
    assert line.heightForWidth(line.width()) > line.fontMetrics().lineSpacing() + 4
    assert pane.grid.geometry() == before


def test_that_no_page_makes_the_window_higher_than_it_is(room: SheetsRoom, qtbot: QtBot) -> None:
    for number in (1, 2, 0, 1):
        room.tabs.setCurrentIndex(number)
        qtbot.wait(50)
        assert not room.page(number).hasHeightForWidth()
        assert room.height() == 700


def test_that_two_sheets_are_headed_by_what_tells_them_apart() -> None:
    assert names_apart(key(3), key(3, visit=2)) == ("Visit 1", "Visit 2")
    assert names_apart(key(3), key(4)) == ("Point 3", "Point 4")
    assert names_apart(key(3, visit=2), key(3, visit=2, who="")) == ("V1", "Nobody named")
    assert names_apart(key(3), key(4, visit=2)) == ("Visit 1, Point 3", "Visit 2, Point 4")


class Windows(QObject):
    """Writes down every window that is opened."""

    def __init__(self) -> None:
        super().__init__()
        self.opened: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.opened.append(f"{type(watched).__name__} {watched.accessibleName()}")
        return False


def test_that_no_panel_opens_a_window_while_it_is_made_and_takes_the_keyboard_away(
    room: SheetsRoom, qapp: QApplication, settled: Settled
) -> None:
    windows = Windows()
    qapp.installEventFilter(windows)
    page = room.page(0)
    assert isinstance(page, HabitatPage)
    for tab in range(page.beside.count()):
        page.beside.setCurrentIndex(tab)
        settled()
    page.beside.ask_key()
    qapp.removeEventFilter(windows)
    assert windows.opened == []
    assert qapp.focusWidget() is page.beside.key


@pytest.mark.parametrize("tab", [0, 1, 2])
def test_that_every_panel_has_names_keys_and_reasons_and_nothing_is_cut_in_a_longer_language(
    desk: Desk, keep: Keep, qtbot: QtBot, qapp: QApplication, tab: int
) -> None:
    keep(sheet(1), sheet(1, {"SH": 100}, visit=2))
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    room = SheetsRoom(desk)
    qtbot.addWidget(room)
    room.resize(1120, 720)
    page = room.page(0)
    assert isinstance(page, HabitatPage)
    page.beside.setCurrentIndex(tab)
    room.show()
    QApplication.processEvents()
    assert (nameless(room), without_keys(room), disabled_without_reason(room), clipped(room)) == ([], [], [], [])
    qapp.removeTranslator(language)
