"""The page of the road map: what it holds, speeds as steps, done without and taken back, replaced."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.season.roads_page import RoadsPage
from planner.desktop.season.room import SeasonRoom
from planner.desktop.season.speeds_model import Column
from planner.desktop.units import Units
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.finding import Rule
from planner.domain.road_speeds import RoadSpeeds
from planner.usecases.calibrating import use_calibration
from tests.desktop.season.conftest import Went
from tests.desktop.test_whole_window import longer_language
from tests.desktop.walking import clipped, disabled_without_reason, nameless, without_keys
from tests.desktop.windows import open_season, open_window

__all__ = ["longer_language"]


@pytest.fixture
def desk(small_desk: Desk) -> Desk:
    """Return the desk that the page and its rows stand on: a few routes and people do."""
    return small_desk


@pytest.fixture
def page(desk: Desk, qtbot: QtBot) -> RoadsPage:
    """Return the page alone, filled."""
    made = RoadsPage(desk)
    qtbot.addWidget(made)
    made.resize(1060, 560)
    made.show()
    rest(qtbot, desk)
    return made


def rest(qtbot: QtBot, desk: Desk) -> None:
    """Wait until all that follows a change is computed."""
    qtbot.waitUntil(lambda: not desk.session.working, timeout=15_000)


def row_of(page: RoadsPage, kind: str) -> int:
    (row,) = [row for row in range(page.model.rowCount()) if page.model.index(row, Column.KIND).data() == kind]
    return row


def speed(page: RoadsPage, kind: str) -> str:
    return str(page.model.index(row_of(page, kind), Column.SPEED).data())


def write(qtbot: QtBot, page: RoadsPage, desk: Desk, kind: str, text: str) -> None:
    """Write over a speed, as the cell's editor hands it over."""
    page.model.setData(page.model.index(row_of(page, kind), Column.SPEED), text)
    rest(qtbot, desk)


def type_in(qtbot: QtBot, page: RoadsPage, desk: Desk, kind: str, text: str) -> None:
    """Write over a speed with the keyboard."""
    page.view.setCurrentIndex(page.model.index(row_of(page, kind), Column.SPEED))
    page.view.edit(page.view.currentIndex())
    editor = page.view.viewport().findChild(QLineEdit)
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # the cell takes it over once the key is done
    rest(qtbot, desk)


def speeds(desk: Desk) -> RoadSpeeds:
    return desk.session.snapshot.season.road_speeds


def test_that_the_page_says_what_the_road_map_is_and_holds(page: RoadsPage) -> None:
    assert (page.source.text(), page.attribution.text()) == ("roads.osm", "Invented map, no real place")
    assert page.length.text() == "601.6 km"
    assert not page.state.isVisible()
    kinds = [page.model.index(row, Column.KIND).data() for row in range(page.model.rowCount())]
    assert kinds == ["primary", "secondary", "unclassified", "residential", "track"]
    assert page.model.index(4, Column.LENGTH).data() == "50.0 km"
    assert page.model.index(4, Column.SOURCE).data().startswith("assumption")


def test_that_a_speed_written_over_is_a_step_felt_by_drives_and_emptied_it_is_the_usual_one(
    desk: Desk, page: RoadsPage, qtbot: QtBot
) -> None:
    tester = QAbstractItemModelTester(page.model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    before = desk.session.problem
    assert before is not None
    usual = speed(page, "unclassified")
    type_in(qtbot, page, desk, "unclassified", "20")
    assert speeds(desk) == RoadSpeeds((("unclassified", 20.0),))
    assert speed(page, "unclassified") == "20 km/h"
    assert page.model.index(row_of(page, "unclassified"), Column.SOURCE).data() == "this season"
    after = desk.session.problem
    assert after is not None
    assert after.drives["R05"].legs.expected.sum() > 1.2 * before.drives["R05"].legs.expected.sum()
    write(qtbot, page, desk, "unclassified", "20")
    write(qtbot, page, desk, "track", "300")
    assert page.trouble.text() == "Nothing was changed: the speed on track lies between 5 and 130 km/h, found 300."
    write(qtbot, page, desk, "track", "fast")
    assert "found 'fast'" in page.trouble.text()
    write(qtbot, page, desk, "unclassified", "")
    assert (speed(page, "unclassified"), speeds(desk)) == (usual, RoadSpeeds())
    assert not page.trouble.isVisible()
    assert [step.label for step in desk.session.snapshot.steps[-2:]] == [
        "Drive at unclassified 20 km/h",
        "Drive at the speeds of the table",
    ]
    assert tester.model() is page.model


def test_that_all_speeds_and_the_way_back_are_steps_and_miles_are_read(
    desk: Desk, page: RoadsPage, qtbot: QtBot
) -> None:
    assert not page.reset.isEnabled()
    page.factor.setValue(80)
    rest(qtbot, desk)
    desk.count_in(Units.IMPERIAL)
    rest(qtbot, desk)
    assert page.length.text() == "373.8 mi"
    assert speed(page, "track") == "12 mph"  # 20 km/h before the factor
    write(qtbot, page, desk, "track", "10")
    assert speeds(desk) == RoadSpeeds((("track", 16.09344),), 0.8)
    page.reset.click()
    rest(qtbot, desk)
    assert speeds(desk) == RoadSpeeds()
    assert page.factor.value() == 100
    desk.session.undo()
    rest(qtbot, desk)
    assert page.factor.value() == 80


def test_that_the_map_is_done_without_and_taken_back_and_its_lack_leads_here(
    room: SeasonRoom, qtbot: QtBot, went: Went
) -> None:
    room.pages.turn_to_roads()
    page = room.pages.roads
    rest(qtbot, room.desk)
    page.leave.click()
    rest(qtbot, room.desk)
    assert room.desk.session.snapshot.season.roads is None
    assert page.source.text() == "none"
    assert page.state.text().startswith("Drives are estimated without roads")
    assert not page.leave.isEnabled()
    assert page.model.rowCount() > 10
    checked = room.desk.session.checked
    assert checked is not None
    (missing,) = [finding for finding in checked.findings if finding.rule is Rule.ROADS_MISSING]
    room.pages.turn_to_overview()
    room._mend(missing)
    assert page.isVisible()
    assert (went, room_of(Rule.ROADS_MISSING)) == ([], RoomName.SEASON)
    room.desk.session.undo()
    rest(qtbot, room.desk)
    assert page.length.text() == "601.6 km"


def test_that_a_map_whose_file_is_gone_says_so(desk: Desk, page: RoadsPage, qtbot: QtBot) -> None:
    desk.session.network = None
    page.show_season()
    rest(qtbot, desk)
    assert page.state.text().startswith("It is no longer beside the season file, or is damaged: bring in roads.osm")


def test_that_another_map_is_asked_for(page: RoadsPage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.map_wanted):
        page.bring.click()


@pytest.mark.usefixtures("longer_language")
def test_that_everything_on_the_page_is_named_reachable_and_whole(page: RoadsPage) -> None:
    assert nameless(page) == []
    assert without_keys(page) == []
    assert disabled_without_reason(page) == []
    assert clipped(page) == []


def test_that_the_menu_and_its_words_lead_to_the_page(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    assert not window.menus.roads.isEnabled()
    pane = open_season(qtbot, window, small_path, RoomName.ROUTES)
    window.menus.roads.trigger()
    assert pane.shown is RoomName.SEASON
    room = pane.room(RoomName.SEASON)
    assert isinstance(room, SeasonRoom)
    assert room.pages.roads.isVisible()


def test_that_the_page_says_what_recorded_drives_are_planned_with(qtbot: QtBot, page: RoadsPage, desk: Desk) -> None:
    assert "recorded" not in page.notes.text()
    before = page.model.index(row_of(page, "unclassified"), Column.DRIVEN).data()
    factors = DriveFactors(DriveFactor("", 1.25, 40), source="recorded drives of 6 visits")
    desk.session.do(lambda file: use_calibration(file, factors))
    rest(qtbot, desk)
    qtbot.waitUntil(lambda: "Drives are planned with recorded drives of 6 visits: 1.25 times" in page.notes.text())
    assert page.model.index(row_of(page, "unclassified"), Column.DRIVEN).data() != before
