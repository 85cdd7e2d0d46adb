"""The preview of an import says file by file what was understood; a faulty file can be left out and the rest taken."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview, choose_files
from planner.desktop.importing.column_model import Column
from planner.desktop.importing.source_tree import WORDS_ROLE
from planner.shipped import demo_routes
from planner.usecases.routes.editing import add_route
from tests.desktop.routes.conftest import Settle
from tests.desktop.windows import part

POINTS = "route,point,latitude,longitude,note\nR05,1,54.68789,2.3228,by the field gate\nR25,1,54.7,2.3,\n"
BAD = "route,point,latitude,longitude\nR26,1,95.0,2.3\n"
PEOPLE = "code,name,latitude,longitude,telephone\nV40,Nora Quill,54.75,2.2,07700 900140\n"


@pytest.fixture
def inbox(tmp_path: Path) -> Path:
    """A folder with two sound tables and a faulty one."""
    folder = tmp_path / "inbox"
    folder.mkdir()
    for name, text in (("points", POINTS), ("bad", BAD), ("people", PEOPLE)):
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def opened(desk: Desk, qtbot: QtBot, paths: list[Path]) -> ImportPreview:
    preview = ImportPreview(desk, paths)
    QAbstractItemModelTester(preview.tree, QAbstractItemModelTester.FailureReportingMode.Fatal, preview)
    preview.open()
    qtbot.waitUntil(lambda: preview.understood is not None, timeout=10_000)
    return preview


def said(preview: ImportPreview) -> dict[str, str]:
    """Each row of the tree, and what stands beside it."""
    rows: dict[str, str] = {}

    def walk(parent: QModelIndex) -> None:
        for row in range(preview.tree.rowCount(parent)):
            head = preview.tree.index(row, 0, parent)
            rows[head.data()] = preview.tree.index(row, 1, parent).data()
            walk(head)

    walk(QModelIndex())
    return rows


def leave_out(preview: ImportPreview, name: str) -> None:
    heads = [preview.tree.item(row) for row in range(preview.tree.rowCount())]
    next(head for head in heads if head.text() == name).setCheckState(Qt.CheckState.Unchecked)


def take_column(preview: ImportPreview, qtbot: QtBot, row: int, meaning: str) -> None:
    """Choose by keys what a column holds, and wait until its file has been read that way."""
    table, before = preview.how.columns, preview.understood
    table.setCurrentIndex(table.columns.index(row, Column.MEANING))
    QTest.keyClick(table, Qt.Key.Key_F2)
    box = part(table, QComboBox)
    qtbot.waitUntil(box.view().isVisible, timeout=5_000)
    box.view().setCurrentIndex(box.model().index(box.findData(meaning), 0))
    QTest.keyClick(box.view(), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: preview.understood is not before, timeout=10_000)


def test_that_each_file_says_its_kind_and_what_it_would_do_by_name(desk: Desk, qtbot: QtBot, inbox: Path) -> None:
    preview = opened(desk, qtbot, [inbox])
    rows = said(preview)
    assert rows["points.csv"] == "points of routes: 1 new, 1 changed"
    assert rows["R25"] == "new: 1 point"
    assert rows["R05 Candlewick Common"].startswith("changed: number of points")
    assert rows["people.csv"] == "volunteers: 1 new"
    assert rows["bad.csv"] == "points of routes: 1 fault"
    assert rows["line 2, column latitude"].startswith("expected a latitude")
    assert preview.stands.text().startswith("1 fault stands in the way.")
    assert not preview.take.isEnabled()
    assert preview.take.toolTip() == "Leave out what is faulty first."
    preview.close()


def test_that_a_faulty_file_is_left_out_by_its_box_and_the_rest_is_one_step(
    desk: Desk, qtbot: QtBot, inbox: Path, settle: Settle
) -> None:
    steps = len(desk.session.snapshot.steps)
    preview = opened(desk, qtbot, [inbox])
    leave_out(preview, "bad.csv")
    qtbot.waitUntil(preview.take.isEnabled, timeout=5_000)
    assert said(preview)["bad.csv"] == "left out"
    assert preview.stands.text().startswith("Nothing is changed yet.")
    assert len(desk.session.snapshot.steps) == steps
    with qtbot.waitSignal(preview.taken):
        QTest.mouseClick(preview.take, Qt.MouseButton.LeftButton)
    settle()
    assert [step.label for step in desk.session.snapshot.steps[steps:]] == ["Import people.csv, points.csv"]
    assert desk.session.snapshot.season.volunteer("V40").name == "Nora Quill"


def test_that_what_is_sound_is_said_to_wait_while_files_contradict_each_other(
    desk: Desk, qtbot: QtBot, inbox: Path
) -> None:
    (inbox / "bad.csv").write_text("volunteer,from,to,parts\nV77,2027-06-01,2027-06-02,dusk\n", encoding="utf-8")
    preview = opened(desk, qtbot, [inbox])
    rows = said(preview)
    assert rows["points.csv"] == "points of routes: 2 wait until the faults are mended"
    assert rows["people.csv"] == "volunteers: 1 waits until the faults are mended"
    assert rows["R25"] == rows["V40"] == "waits until the faults are mended"
    preview.reject()


def test_that_a_file_read_again_leaves_the_others_as_they_were_left(desk: Desk, qtbot: QtBot, inbox: Path) -> None:
    (inbox / "bad.csv").write_text("route,point,latitude,longitude\nR26,1,2.3228,54.68789\n", encoding="utf-8")
    preview = opened(desk, qtbot, [inbox])
    assert preview.how.name.text() == "bad.csv", "what must be looked at is shown first"
    leave_out(preview, "people.csv")
    qtbot.waitUntil(lambda: said(preview)["people.csv"] == "left out", timeout=5_000)
    assert preview.stands.text().startswith("1 fault stands in the way. Take what is on offer at the right")
    preview.how.offers.buttons[0].click()
    qtbot.waitUntil(preview.take.isEnabled, timeout=5_000)
    assert said(preview)["bad.csv"] == "points of routes: 1 new"
    assert said(preview)["people.csv"] == "left out"
    assert preview.how.name.text() == "bad.csv"
    assert preview.how.decisions.text() == "As you chose: latitude and longitude are swapped."
    preview.how.undo.click()
    qtbot.waitUntil(lambda: "fault" in said(preview)["bad.csv"], timeout=5_000)
    assert not preview.take.isEnabled()
    preview.close()


def test_that_the_keyboard_stays_with_the_columns_when_one_is_taken_for_something_else(
    desk: Desk, qtbot: QtBot, inbox: Path
) -> None:
    preview = opened(desk, qtbot, [inbox / "points.csv", inbox / "people.csv"])
    preview.activateWindow()
    qtbot.waitUntil(preview.isActiveWindow, timeout=5_000)
    table = preview.how.columns
    qtbot.waitUntil(table.isVisible, timeout=5_000)
    table.setFocus()
    for row, meaning in ((4, ""), (3, "note")):
        take_column(preview, qtbot, row, meaning)
        assert table.columns.index(row, Column.MEANING).data(Qt.ItemDataRole.EditRole) == meaning
        assert preview.focusWidget() is table
        assert table.currentIndex().row() == row, "the next column is one arrow away"
    preview.reject()


def test_that_leaving_it_changes_nothing(desk: Desk, qtbot: QtBot, inbox: Path, settle: Settle) -> None:
    before = desk.session.snapshot.steps
    preview = opened(desk, qtbot, [inbox / "people.csv"])
    QTest.keyClick(preview, Qt.Key.Key_Escape)
    settle()
    assert desk.session.snapshot.steps == before


def test_that_what_stands_already_says_so(desk: Desk, qtbot: QtBot) -> None:
    preview = opened(desk, qtbot, [demo_routes() / "heath" / "routes.csv"])
    assert "24 as before" in said(preview)["routes.csv"]
    assert preview.stands.text().startswith("All of it stands in the season already")
    assert not preview.take.isEnabled()
    preview.close()


def test_that_every_file_may_be_left_out_and_then_there_is_nothing_to_bring_in(
    desk: Desk, qtbot: QtBot, inbox: Path
) -> None:
    preview = opened(desk, qtbot, [inbox / "people.csv"])
    leave_out(preview, "people.csv")
    qtbot.waitUntil(lambda: preview.stands.text() == "Every file is left out.", timeout=5_000)
    assert not preview.take.isEnabled()
    preview.close()


def test_that_a_season_changed_meanwhile_is_looked_at_again(
    desk: Desk, qtbot: QtBot, inbox: Path, settle: Settle
) -> None:
    preview = opened(desk, qtbot, [inbox / "points.csv"])
    desk.session.do(lambda file: add_route(file, "R25", "Somebody else's"))
    settle()
    preview.take.click()
    qtbot.waitUntil(lambda: "R25 Somebody else's" in said(preview), timeout=5_000)
    assert said(preview)["R25 Somebody else's"].startswith("changed")
    assert "has changed since the files were read" in preview.stands.text()
    assert desk.session.snapshot.season.route("R25").points == ()
    preview.close()


def test_that_a_road_map_is_read_in_the_background_and_used_once_it_is_taken(
    desk: Desk, qtbot: QtBot, settle: Settle
) -> None:
    preview = opened(desk, qtbot, [demo_routes() / "reedhaven" / "roads.osm"])
    assert preview.notes.text().splitlines()[0] == "Roads of roads.osm will be used for every drive."
    before = desk.session.network
    with qtbot.waitSignal(preview.taken):
        preview.take.click()
    settle()
    assert desk.session.network is not None
    assert before is not None
    assert desk.session.network.content_hash != before.content_hash


def test_that_the_row_looked_at_is_told_in_full(desk: Desk, qtbot: QtBot, inbox: Path) -> None:
    preview = opened(desk, qtbot, [inbox / "bad.csv"])
    fault = preview.tree.index(0, 0, preview.tree.index(0, 0))
    preview.view.setCurrentIndex(fault)
    assert preview.words.text() == fault.data(WORDS_ROLE)
    assert "95.0" in preview.words.text()
    assert preview.words.text().startswith("line 2, column latitude: expected")
    preview.close()


def test_that_hundreds_of_faults_and_notes_do_not_burst_the_window(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    folder = tmp_path / "much"
    folder.mkdir()
    rows = [f"R26,{number},95.0,2.3" for number in range(1, 80)]
    (folder / "bad.csv").write_text("\n".join(["route,point,latitude,longitude", *rows]), encoding="utf-8")
    for number in range(40):
        (folder / f"photo{number}.jpg").write_bytes(b"no table")
    preview = opened(desk, qtbot, [folder])
    assert preview.tree.rowCount(preview.tree.index(0, 0)) == 79
    assert preview.words.text().endswith("and 78 more")
    assert preview.notes.text().endswith("and 36 more")
    assert preview.height() <= 700
    preview.close()


def test_that_its_controls_have_names(desk: Desk, qtbot: QtBot, inbox: Path) -> None:
    preview = opened(desk, qtbot, [inbox])
    assert preview.view.accessibleName()
    assert all(button.text() for button in preview.findChildren(QAbstractButton))
    preview.close()


def test_that_files_to_bring_in_are_offered_first_and_all_files_too(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def ask(_parent: QWidget, _title: str, _folder: str, kinds: str) -> tuple[list[str], str]:
        asked.extend(kinds.split(";;"))
        return ["/somewhere/points.csv"], kinds

    monkeypatch.setattr(QFileDialog, "getOpenFileNames", ask)
    over = QWidget()
    qtbot.addWidget(over)
    assert choose_files(over) == [Path("/somewhere/points.csv")]
    first, last = asked
    assert first.startswith("Files to bring in (*.gpx ")
    assert {"*.csv", "*.xlsx", "*.kml", "*.kmz", "*.geojson", "*.osm", "*.pbf"} <= set(first[:-1].split()[4:])
    assert last == "All files (*)"


def test_that_a_document_is_called_what_it_is_in_the_preview(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    document = tmp_path / "volunteers.pdf"
    document.write_bytes(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    preview = opened(desk, qtbot, [document])
    understood = preview.understood
    assert understood is not None
    (fault,) = understood.faults
    assert fault.found == "a PDF document"
    head = preview.tree.index(0, 0)
    row = preview.tree.index(0, 1, head)
    assert row.data().startswith("A PDF document. Ask for the table as CSV")
    assert str(row.data(WORDS_ROLE)).startswith("Expected a GPX file; ")
    preview.close()
