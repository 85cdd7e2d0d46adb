"""A new season, from files to printed itineraries."""

from __future__ import annotations

import csv
from pathlib import Path

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QComboBox, QDateEdit, QLineEdit, QListWidget, QPushButton

from planner.desktop.board.view import BoardView
from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.desktop.window.new_season import NewSeason
from planner.shipped import demo_routes
from planner.store import SeasonFile
from tests.journeys.person import CTRL, Person

HEATH = demo_routes() / "heath"


def test_that_a_season_is_made_filled_planned_and_printed(person: Person, tmp_path: Path) -> None:
    _makes_season(person, tmp_path / "common.dimpsy")
    person.rests()
    person.takes_picture("new_1_empty")
    session = person.pane.desk.session

    person.goes_to(RoomName.ROUTES)
    person.names_files(_files(tmp_path))
    person.presses(Qt.Key.Key_I, CTRL)
    preview = person.sees(ImportPreview, "")
    taking = person.sees(QPushButton, "Bring in")
    person.waits(taking.isEnabled, seconds=60)
    assert preview.understood is not None
    assert session.snapshot.season.routes == (), "nothing is changed by looking"
    person.takes_picture("new_2_preview")
    person.clicks(taking)
    person.waits(lambda: len(session.snapshot.season.routes) == len(_ROUTES))
    person.rests()
    person.takes_picture("new_3_routes")

    person.goes_to(RoomName.BOARD)
    board = person.sees(BoardView, "Board")
    assert board.isVisible()
    person.presses(Qt.Key.Key_K, CTRL)
    person.types("plan all")
    person.presses(Qt.Key.Key_Return)
    person.waits(lambda: len(session.snapshot.plan) == 2 * len(_ROUTES), seconds=60)
    person.rests()
    person.takes_picture("new_4_planned")

    person.goes_to(RoomName.PAPER)
    person.clicks("Tick all")
    papers = tmp_path / "papers"
    papers.mkdir()
    person.names_files([papers])
    person.clicks("Make ")
    person.waits(lambda: len(session.snapshot.print_runs) > 0, seconds=90)
    person.rests()
    person.takes_picture("new_5_papers")
    path = session.snapshot.path
    person.window.close()
    with SeasonFile.open(path) as file:
        going = {code for visit in file.plan() for code in visit.people}
        assert len(list(papers.glob("*.pdf"))) == len(going) == len(file.print_runs())
        assert file.season().coordinator.telephone == "07700 900002"


_ROUTES = ("R01", "R02", "R03", "R04", "R13", "R14", "R15", "R16")
"""A third of the demo's routes, half of them from GPX files and half from a table: enough to make a season of."""
_CUT_TABLES = ("routes.csv", "points.csv")
_WHOLE_FILES = ("volunteers.csv", "availability.csv", "roads.osm", "evenings.csv")


def _files(folder: Path) -> list[Path]:
    """Return the files to bring in; the tables of routes are cut and lie in the folder."""
    for name in _CUT_TABLES:
        head, *rows = csv.reader((HEATH / name).read_text(encoding="utf-8").splitlines())
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([head, *(row for row in rows if row[0] in _ROUTES)])
    tracks = [path for path in sorted((HEATH / "routes").glob("*.gpx")) if path.name[:3] in _ROUTES]
    return [*tracks, *(folder / name for name in _CUT_TABLES), *(HEATH / name for name in _WHOLE_FILES)]


_DATES = {
    "First date": QDate(2027, 5, 3),
    "Visit 1, first date": QDate(2027, 5, 10),
    "Visit 1, last date": QDate(2027, 6, 3),
    "Visit 2, first date": QDate(2027, 6, 4),
    "Visit 2, last date": QDate(2027, 7, 2),
    "Last date": QDate(2027, 7, 2),
}


def _makes_season(person: Person, path: Path) -> None:
    person.clicks("New season")
    wizard = person.sees(NewSeason, "")
    protocols = person.sees(QListWidget, "Protocols", wizard)
    names = [protocols.item(row).text() for row in range(protocols.count())]
    protocols.setCurrentRow(next(row for row, name in enumerate(names) if name.startswith("Heath nightjars")))
    person.takes_picture("new_0_protocol")
    person.clicks(person.sees(QPushButton, "Next", wizard))
    person.sees(QComboBox, "Time zone of the routes", wizard).setEditText("Europe/London")
    for name, date in _DATES.items():
        person.sees(QDateEdit, name, wizard).setDate(date)
    person.clicks(person.sees(QPushButton, "Next", wizard))
    person.writes("Season file", str(path))
    person.writes("Coordinator", "Wilf Oakenfold")
    person.writes("Telephone", "07700 900002")
    assert person.sees(QLineEdit, "Season file", wizard).text() == str(path)
    person.clicks(person.sees(QPushButton, "Make the season", wizard))
    person.waits(lambda: person.window.pane is not None or bool(person.window.message))
    assert person.window.message == ""
