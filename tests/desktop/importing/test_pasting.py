"""Text from the clipboard, or dropped on the window, is looked at like a file before anything changes."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview, Incoming
from planner.desktop.room import RoomName
from planner.desktop.window.season_pane import SeasonPane
from planner.travel import RoadNetwork
from planner.usecases.season.kept_roads import kept_name
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm

SHEET = "route\tpoint\tlatitude\tlongitude\nR31\t1\t54.6947\t2.3231\nR31\t2\t54.7047\t2.3331\n"


def looked_at(pane: SeasonPane, qtbot: QtBot) -> ImportPreview:
    """Return the preview that is open, once the text has been read."""
    (preview,) = pane.findChildren(ImportPreview)
    qtbot.waitUntil(lambda: preview.understood is not None, timeout=10_000)
    return preview


def test_that_pasted_and_dropped_text_is_shown_first(desk: Desk, qtbot: QtBot) -> None:
    pane = SeasonPane(desk, RoomName.SEASON)
    qtbot.addWidget(pane)
    pane.show()
    clipboard = QGuiApplication.clipboard()
    clipboard.clear()
    pane.paste()
    assert pane.status.text == "There are no files and no text on the clipboard."
    clipboard.setText(SHEET)
    pane.paste()
    preview = looked_at(pane, qtbot)
    assert preview.tree.index(0, 1).data() == "points of routes: 1 new"
    assert preview.how.name.text() == "pasted text"
    preview.take.click()
    qtbot.waitUntil(lambda: desk.session.snapshot.undo_label == "Import pasted text", timeout=10_000)
    assert len(desk.session.snapshot.season.route("R31").points) == 2
    qtbot.waitUntil(lambda: not pane.findChildren(ImportPreview), timeout=5_000)

    data = QMimeData()
    data.setText("R32 1 54.6947 2.3231 by the gate\n")
    copy, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), copy, data, left, none)
    QApplication.sendEvent(pane, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(pane, QDropEvent(QPointF(5, 5), copy, data, left, none))
    dropped = looked_at(pane, qtbot)
    assert dropped.tree.index(0, 1).data() == "points of routes: 1 new"
    dropped.reject()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)


def test_that_files_go_before_text_and_nothing_is_nothing(tmp_path: Path) -> None:
    both = QMimeData()
    both.setUrls([QUrl.fromLocalFile(str(tmp_path / "a.csv"))])
    both.setText("file:///a.csv")
    assert Incoming.of(both) == Incoming((tmp_path / "a.csv",))
    blank = QMimeData()
    blank.setText(" \n ")
    assert not Incoming.of(blank)
    assert not Incoming.of(QMimeData())


def test_that_a_road_map_that_was_read_before_is_taken_from_beside_the_season(
    desk: Desk, qtbot: QtBot, tmp_path: Path
) -> None:
    source = write_osm(tmp_path / "lanes.osm", row(4), [([1, 2, 3, 4], RESIDENTIAL)])
    network = RoadNetwork.read(source)
    network.save(desk.session.snapshot.path.with_name(kept_name("autumn", network.content_hash)))
    pane = SeasonPane(desk, RoomName.SEASON)
    qtbot.addWidget(pane)
    pane.show()
    ImportPreview(desk, [source], pane).open()
    preview = looked_at(pane, qtbot)
    assert preview.understood is not None
    assert "it was read before, and is taken from autumn.roads-" in preview.understood.sources[0].reason
    preview.reject()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)
