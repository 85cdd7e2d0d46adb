"""A folder or many photos dropped on the Sheets room are shown with their points before anything is attached."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.sheets.bring_back import BringBack
from planner.desktop.sheets.bring_photos import BringPhotos
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.room import SheetsRoom
from planner.domain.plan import VisitKey
from planner.domain.protocol import VisitRule
from planner.domain.season import Season
from tests.desktop.sheets.test_files_back import count, drop
from tests.unit.usecases.edited_seasons import PLAN
from tests.unit.usecases.sheet_seasons import SEASON, picture

Settled = Callable[[], None]
FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
EVENING = dt.datetime.combine(PLAN.by_key[VisitKey("R1", 1)].date, dt.time(20), tzinfo=dt.UTC)


@pytest.fixture
def camera(tmp_path: Path) -> Path:
    """Two photos at points 2 and 3 of R1, one of nowhere, and a film."""
    folder = tmp_path / "camera" / "100"
    folder.mkdir(parents=True)
    for point, colour in ((2, "green"), (3, "tan")):
        picture(folder / f"IMG_{point}.jpg", SEASON.route("R1").point(point).place, taken=EVENING, colour=colour)
    picture(folder / "nowhere.jpg", colour="navy")
    (folder / "clip.mp4").write_bytes(b"a film")
    return folder.parent


def preview_of(room: SheetsRoom) -> BringPhotos:
    preview = room.findChild(BringPhotos)
    assert isinstance(preview, BringPhotos)
    return preview


def test_that_a_folder_is_shown_photo_by_photo_and_attached_in_one_step(
    room: SheetsRoom, desk: Desk, camera: Path, settled: Settled
) -> None:
    steps = len(desk.session.snapshot.steps)
    drop(room, camera)
    settled()
    preview = preview_of(room)
    testers = [QAbstractItemModelTester(model, FATAL) for model in (preview.placed, preview.left)]
    settled()
    rows = [[preview.placed.index(row, column).data() for column in (0, 1)] for row in range(2)]
    assert rows == [["IMG_2.jpg", "R1 visit 1 point 2 by V1"], ["IMG_3.jpg", "R1 visit 1 point 3 by V1"]]
    assert preview.left.index(0, 0).data() == "nowhere.jpg"
    assert "no position" in preview.left.index(0, 1).data()
    assert "2 photos for 2 sheets, 1 left out." in preview.stands.text()
    assert "no photos: 1" in preview.stands.text()
    assert preview.here is None
    assert count(desk) == 0
    preview.keep.click()
    settled()
    assert [(one.key.point, len(one.photos)) for one in desk.session.snapshot.sheets] == [(2, 1), (3, 1)]
    assert len(desk.session.snapshot.steps) == steps + 1
    desk.session.undo()
    settled()
    assert count(desk) == 0
    assert len(testers) == 2


def test_that_many_photos_may_all_go_to_the_point_that_is_stood_on(
    room: SheetsRoom, page: HabitatPage, desk: Desk, camera: Path, settled: Settled
) -> None:
    page.pane.grid.go_to(3)
    drop(room, *sorted(camera.glob("100/*.jpg")))
    preview = preview_of(room)
    assert preview.here is not None
    assert preview.here.text() == "All to R1 visit 1 point 4 by V1"
    preview.here.click()
    settled()
    assert [(one.key.point, len(one.photos)) for one in desk.session.snapshot.sheets] == [(4, 3)]


def test_that_the_visit_may_be_said(room: SheetsRoom, camera: Path, settled: Settled) -> None:
    preview = room.bring_photos([camera])
    settled()
    preview.visit.setCurrentIndex(preview.visit.findData(2))
    assert not preview.keep.isEnabled()
    assert preview.keep.toolTip()
    settled()
    sheets = {preview.placed.index(row, 1).data() for row in range(preview.placed.rowCount())}
    assert sheets == {"R1 visit 2 point 2 by V1", "R1 visit 2 point 3 by V1"}
    preview.close()


def test_that_a_folder_with_tables_and_photos_is_shown_as_both_one_after_the_other(
    room: SheetsRoom, desk: Desk, camera: Path, settled: Settled
) -> None:
    (camera / "back.csv").write_text("route,visit,point,TH,GR,grazed,livestock\nR1,1,2,60,40,0,0\n")
    (camera / "shopping.txt").write_text("bread and milk")
    drop(room, camera)
    settled()
    tables = room.findChild(BringBack)
    assert isinstance(tables, BringBack)
    assert room.findChild(BringPhotos) is None
    assert "Passed over, with nothing of them taken: shopping.txt." in tables.stands.text()
    assert tables.bad.index(0, 0).data() == "shopping.txt"
    assert tables.bad_view.isVisibleTo(tables)
    tables.keep.click()
    settled()
    assert [one.placed.rowCount() for one in room.findChildren(BringPhotos)] == [2]
    preview_of(room).keep.click()
    settled()
    assert [len(one.photos) for one in desk.session.snapshot.sheets] == [1, 1]


def test_that_pictures_of_no_sheet_are_listed_and_cleared_when_a_person_says_so(
    room: SheetsRoom, page: HabitatPage, desk: Desk, tmp_path: Path, settled: Settled, qtbot: QtBot
) -> None:
    page.pane.grid.go_to(1)
    drop(room, picture(tmp_path / "north.jpg"))
    settled()
    desk.session.undo()
    settled()
    with qtbot.waitSignal(desk.said, timeout=5000) as said:
        room.photos.ask_clearing()
    assert "is on a sheet, in the history, or in a backup copy" in said.args[0]
    drop(room, picture(tmp_path / "south.jpg", colour="tan"))
    settled()
    lying = sorted(tmp_path.glob("season.photos/*.jpg"))
    assert len(lying) == 2
    room.photos.ask_clearing()
    qtbot.waitUntil(lambda: any(box.isVisible() for box in room.findChildren(QMessageBox)), timeout=5000)
    box = next(box for box in room.findChildren(QMessageBox) if box.isVisible())
    assert "1 picture" in box.text()
    next(button for button in box.findChildren(QPushButton) if button.text() == "Delete them").click()
    settled()
    assert [path.stem for path in tmp_path.glob("season.photos/*.jpg")] == [
        desk.session.snapshot.sheets[0].photos[0].content_hash
    ]


def test_that_the_commands_lie_under_one_button_and_are_found_by_search(room: SheetsRoom) -> None:
    words = ["Bring a folder of photos in …", "Clear pictures of no sheet …"]
    assert {action.text() for action in room.commands()} >= set(words)
    menu = room.photos.button.menu()
    assert menu is not None
    assert [action.text() for action in menu.actions()] == words
    assert all(action.isEnabled() and action.toolTip() != action.text() for action in menu.actions())
    assert room.photos.button.focusPolicy() & Qt.FocusPolicy.TabFocus


def test_that_a_protocol_without_habitat_says_why_no_photos_are_taken(
    desk_with: Callable[[Season], Desk], qtbot: QtBot
) -> None:
    bare = replace(SEASON.protocol, habitat=None, visits=(VisitRule(1), VisitRule(2)))
    room = SheetsRoom(desk_with(replace(SEASON, protocol=bare)))
    qtbot.addWidget(room)
    assert not room.photos.bring.isEnabled()
    assert "asks for no habitat" in room.photos.bring.toolTip()
