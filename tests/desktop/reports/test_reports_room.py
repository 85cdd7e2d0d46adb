"""The Reports room: it shows the figures of the report, follows the season, and writes the files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK
from planner.desktop.reports.room import ReportsRoom
from planner.desktop.room import RoomName
from planner.desktop.units import Units
from planner.domain.finding import Subject
from planner.domain.plan import Plan
from planner.domain.reports.hours import Basis
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import SeasonReport
from planner.store import SeasonFile
from tests.field_returns import bring_back


@pytest.fixture
def room(desk: Desk, qtbot: QtBot) -> ReportsRoom:
    """Return the room on the demo season that things have come back to by 20 May, shown and settled."""
    with qtbot.waitSignal(desk.session.snapshot_changed):
        desk.session.do(lambda file: bring_back(file, desk.today()))
    return _shown(desk, qtbot)


def _shown(desk: Desk, qtbot: QtBot) -> ReportsRoom:
    room = ReportsRoom(desk)
    qtbot.addWidget(room)
    room.resize(1100, 700)
    room.show()
    _settle(qtbot, room)
    return room


def _settle(qtbot: QtBot, room: ReportsRoom) -> None:
    qtbot.waitUntil(lambda: not room.desk.session.working, timeout=20_000)


def _report(room: ReportsRoom) -> SeasonReport:
    assert room.report is not None
    return room.report


def test_that_every_page_says_the_figures_of_the_report_in_words_bars_to_scale_and_table(room: ReportsRoom) -> None:
    report = _report(room)
    whole = report.progress.whole
    assert f"{whole.count(VisitState.DONE)} of {whole.visits} visits are done" in room.progress.said.text()
    assert len(room.progress.sides.model.rows) == whole.visits
    assert (
        room.progress.sides.bars.plot.rows[0].bars[0].said
        == f"{report.progress.by_visit[0].count(VisitState.DONE)} of 24"
    )
    assert report.chances is not None
    assert [row[0].text for row in room.risk.sides.model.rows] == [one.title for one in report.chances.routes]
    assert f"{report.hours.hours(Basis.RECORDED):.0f} h recorded" in room.hours.said.text()
    assert len(room.hours.sides.model.rows) == len(report.hours.by_month)
    assert f"On the {report.saved.compared} visits that both fill" in room.driving.said.text()
    assert report.habitat is not None
    assert len(room.habitat.sides.bars.plot.rows) == len({one.route for one in report.habitat.routes}) + 1
    for page in (room.progress, room.risk, room.hours, room.driving, room.habitat):
        assert page.sides.bars.accessibleName()
        assert page.sides.bars.accessibleDescription()
        QAbstractItemModelTester(page.sides.model, QAbstractItemModelTester.FailureReportingMode.Fatal)

    for page in (room.progress, room.habitat):
        for row in page.sides.bars.plot.rows:
            for bar in row.bars:
                assert sum(part.share for part in bar.parts) == pytest.approx(1.0)
    longest = max(sum(part.share for part in row.bars[0].parts) for row in room.hours.sides.bars.plot.rows)
    assert longest == pytest.approx(1.0)
    assert len(room.hours.sides.bars.plot.rows) == report.hours.people


def test_that_the_room_follows_the_season(room: ReportsRoom, qtbot: QtBot) -> None:
    done = _report(room).progress.whole.count(VisitState.DONE)
    assert done > 0
    with qtbot.waitSignal(room.desk.session.snapshot_changed):
        room.desk.session.undo()
    _settle(qtbot, room)
    assert _report(room).progress.whole.count(VisitState.DONE) == 0
    assert "No habitat sheet is handed in yet" in room.habitat.said.text()
    assert room.habitat.sides.table.isHidden() or not room.habitat.sides.table.isVisible()


def test_that_it_answers_to_its_table_heads_to_units_palette_and_the_other_rooms(room: ReportsRoom) -> None:
    table = room.driving.sides.table
    table.sortByColumn(4, Qt.SortOrder.AscendingOrder)
    model = table.model()
    shown = [float(model.index(row, 4).data()) for row in range(model.rowCount())]
    assert shown == sorted(shown)
    assert shown[0] < 0 < shown[-1]
    assert " km driven" in room.hours.said.text()
    room.desk.count_in(Units.IMPERIAL)
    assert " mi driven" in room.hours.said.text()
    room.resize(900, 600)
    before = room.progress.sides.bars.grab().toImage()
    room.desk.show_in(DARK)
    after = room.progress.sides.bars.grab().toImage()
    assert before != after
    room.show_subject(Subject(volunteer="V01"))
    assert room.tabs.currentWidget() is room.hours
    room.show_subject(Subject(route="R01"))
    assert room.tabs.currentWidget() is room.progress
    (command,) = room.commands()
    command.trigger()
    assert room.tabs.currentWidget() is room.files


def test_that_the_report_is_written_where_it_is_wanted_unless_files_of_others_stand_there(
    room: ReportsRoom, qtbot: QtBot, tmp_path: Path
) -> None:
    room.tabs.setCurrentWidget(room.files)
    room.files.folder.setText(str(tmp_path / "out"))
    assert room.files.preview.image is not None
    room.files.write.click()
    _settle(qtbot, room)
    assert "files lie in" in room.files.outcome.text
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"board.pdf", "visits.csv", "dictionary.csv", "points.geojson"} <= names
    assert len(pypdf.PdfReader(tmp_path / "out" / "board.pdf").pages) == 1
    assert room.files.write.isEnabled()
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "visits.csv").write_text("mine", "utf-8")
    room.files.folder.setText(str(mine))
    room.files.ask()
    _settle(qtbot, room)
    assert "Nothing was written" in room.files.outcome.text
    assert (mine / "visits.csv").read_text("utf-8") == "mine"
    room.files.folder.setText("  ")
    assert not room.files.write.isEnabled()
    assert room.files.write.toolTip()
    room.files.tables.setChecked(False)
    assert room.files.wish.pdf_only
    assert not room.files.names.isEnabled()
    assert room.files.names.toolTip()


def _keep_nothing(file: SeasonFile, *, routes: bool) -> None:
    season = file.season()
    with file.step("Everything goes"):
        file.save_plan(Plan())
        if not routes:
            file.save_season(replace(season, routes=(), absent_classes=()))


def test_that_a_season_without_a_plan_says_so_on_every_page(desk: Desk, qtbot: QtBot) -> None:
    with qtbot.waitSignal(desk.session.problem_changed, timeout=10_000):
        desk.session.do(lambda file: _keep_nothing(file, routes=True))
    room = _shown(desk, qtbot)
    assert "0 of 48 visits are done" in room.progress.said.text()
    assert "nothing is planned" in room.risk.said.text()
    assert "is said in the Season room, under Name, dates, weather." in room.risk.said.text()
    assert "Nobody goes out yet" in room.hours.said.text()
    assert "nothing to compare" in room.driving.said.text()


def test_that_a_season_without_routes_has_nothing_to_report(desk: Desk, qtbot: QtBot) -> None:
    with qtbot.waitSignal(desk.session.problem_changed, timeout=10_000):
        desk.session.do(lambda file: _keep_nothing(file, routes=False))
    room = _shown(desk, qtbot)
    assert "no routes yet" in room.progress.said.text()
    assert not room.files.write.isEnabled()
    assert "no routes yet" in room.files.write.toolTip()


def test_that_the_room_stands_last_under_its_own_key() -> None:
    assert list(RoomName)[8] is RoomName.REPORTS
