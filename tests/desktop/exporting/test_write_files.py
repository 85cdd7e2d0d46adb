"""Routes are written as files from the window: which, how, where to; what stands there is not replaced unasked."""

from __future__ import annotations

from pathlib import Path

import gpxpy
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.exporting import WriteFiles
from planner.usecases.exporting import RouteFormat
from tests.desktop.walking import clipped, disabled_without_reason, nameless, without_keys


@pytest.fixture
def dialog(desk: Desk, tmp_path: Path) -> WriteFiles:
    made = WriteFiles(desk)
    made.open()
    made.folder.setText(str(tmp_path / "files"))
    return made


def test_that_chosen_routes_are_written_and_said_and_nothing_is_replaced_unasked(
    dialog: WriteFiles, desk: Desk, qtbot: QtBot, tmp_path: Path
) -> None:
    steps = desk.session.snapshot.steps
    folder = tmp_path / "files"
    for kind, box in dialog.formats.items():
        box.setChecked(kind is RouteFormat.GPX)
    QTest.mouseClick(dialog.routes.none, Qt.MouseButton.LeftButton)
    assert not dialog.write.isEnabled()
    assert dialog.write.toolTip() == "Tick a route first."
    for row in (4, 6):
        dialog.routes.list.item(row).setCheckState(Qt.CheckState.Checked)
    assert dialog.routes.codes == ("R05", "R07")
    QTest.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(dialog.outcome.text), timeout=5_000)
    (written,) = folder.iterdir()
    read = gpxpy.parse(written.read_text(encoding="utf-8"))
    assert [(route.name or "").split()[0] for route in read.routes] == ["R05", "R07"]
    assert dialog.outcome.text.startswith(f"2 routes with {len(read.waypoints)} points lie in {folder}: {written.name}")
    assert "no telephone number" in dialog.outcome.text
    assert nameless(dialog) == without_keys(dialog) == disabled_without_reason(dialog) == clipped(dialog) == []

    written.write_text("somebody else's", encoding="utf-8")
    QTest.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: dialog.outcome.text.startswith("Nothing was written"), timeout=5_000)
    assert written.name in dialog.outcome.text
    assert written.read_text(encoding="utf-8") == "somebody else's"
    QTest.mouseClick(dialog.outcome.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: dialog.outcome.text.startswith("2 routes"), timeout=5_000)
    assert len(gpxpy.parse(written.read_text(encoding="utf-8")).routes) == 2
    assert desk.session.snapshot.steps == steps, "writing files is no step of the season"

    again = WriteFiles(desk)
    assert again.chosen_formats == (RouteFormat.GPX,), "what was chosen last is remembered"
    assert again.folder.text() == str(folder)
    again.close()
    dialog.close()


def test_that_a_folder_that_cannot_be_made_is_said_and_another_can_be_named(
    dialog: WriteFiles, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    dialog.folder.setText(str(tmp_path / "file" / "below"))
    dialog.write.click()
    qtbot.waitUntil(lambda: bool(dialog.outcome.text), timeout=5_000)
    assert str(tmp_path / "file") in dialog.outcome.text
    assert dialog.write.isEnabled()
    dialog.folder.setText("")
    assert dialog.write.toolTip() == "Say into which folder."
    dialog.close()
