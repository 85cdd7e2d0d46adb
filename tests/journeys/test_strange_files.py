"""Routes from files as people have them: swapped axes, decimal commas, pasted rows; and written as files again."""

from __future__ import annotations

import csv
from pathlib import Path

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QCheckBox, QLineEdit, QPushButton, QWidget

from planner.desktop.exporting import WriteFiles
from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.domain.geo import Place
from tests.journeys.person import CTRL, Person

SWAPPED = (
    "\ufeffroute;point;latitude;longitude;note;surveyed\r\n"
    "R30;1;2,3228;54,68789;by the field gate;yes\r\n"
    "R30;2;2,3328;54,69789;;no\r\n"
)
PASTED = "R31\t1\t54.6947\t2.3231\nR31\t2\t54.7047\t2.3331\n"


def test_that_a_swapped_table_is_mended_in_the_preview_and_rows_are_pasted(
    person: Person, season_path: Path, tmp_path: Path
) -> None:
    table = tmp_path / "points.csv"
    table.write_text(SWAPPED, encoding="utf-8")
    person.window.open_season(season_path)
    person.rests()
    person.goes_to(RoomName.ROUTES)
    session = person.pane.desk.session

    _drops(person, person.pane.room(RoomName.ROUTES), table)
    person.sees(ImportPreview, "")
    taking = person.sees(QPushButton, "Swap latitude and longitude of the whole file")
    person.takes_picture("files_1_swapped")
    bringing = person.sees(QPushButton, "Bring in")
    assert not bringing.isEnabled()
    person.clicks(taking)
    person.waits(bringing.isEnabled)
    person.takes_picture("files_2_mended")
    assert "R30" not in {route.code for route in session.snapshot.season.routes}, "nothing is changed by looking"
    person.clicks(bringing)
    person.waits(lambda: session.snapshot.undo_label == "Import points.csv")
    route = session.snapshot.season.route("R30")
    assert [point.place for point in route.points] == [Place(54.68789, 2.3228), Place(54.69789, 2.3328)]

    QGuiApplication.clipboard().setText(PASTED)
    person.presses(Qt.Key.Key_V, CTRL)
    person.sees(ImportPreview, "")
    bringing = person.sees(QPushButton, "Bring in")
    person.waits(bringing.isEnabled)
    person.takes_picture("files_3_pasted")
    person.clicks(bringing)
    person.waits(lambda: session.snapshot.undo_label == "Import pasted text")
    _pastes_into_a_field(person)

    _writes_tables(person, tmp_path / "out")
    with (tmp_path / "out" / f"{season_path.stem}-points.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["route"] in {"R30", "R31"}]
    assert [(row["route"], row["point"], float(row["latitude"])) for row in rows] == [
        ("R30", "1", 54.68789),
        ("R30", "2", 54.69789),
        ("R31", "1", 54.6947),
        ("R31", "2", 54.7047),
    ]


def _drops(person: Person, target: QWidget, path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    copy, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    with person.watchdog.acting("dropping a file"):
        QApplication.sendEvent(target, QDragEnterEvent(QPoint(5, 5), copy, data, left, none))
        QApplication.sendEvent(target, QDropEvent(QPointF(5, 5), copy, data, left, none))


def _pastes_into_a_field(person: Person) -> None:
    """A field that has the keyboard keeps its own paste: no preview comes up."""
    QGuiApplication.clipboard().setText("R31")
    person.presses(Qt.Key.Key_F, CTRL)
    field = person.window.focusWidget()
    assert isinstance(field, QLineEdit)
    person.presses(Qt.Key.Key_V, CTRL)
    assert field.text() == "R31"
    assert QApplication.activeModalWidget() is None
    field.clear()


def _writes_tables(person: Person, folder: Path) -> None:
    person.presses(Qt.Key.Key_E, CTRL | Qt.KeyboardModifier.ShiftModifier)
    dialog = person.sees(WriteFiles, "")
    for words in ("GPX", "GeoJSON", "KML"):
        person.clicks(person.sees(QCheckBox, words, dialog))
    person.writes("Folder for the files", str(folder))
    person.clicks("Write the files")
    person.waits(lambda: dialog.outcome.text.startswith("26 routes"))
    person.takes_picture("files_4_written")
    person.clicks(person.sees(QPushButton, "Close", dialog))
