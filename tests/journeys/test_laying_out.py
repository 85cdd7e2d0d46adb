"""A route that is not there yet: laid out along a road with the mouse, looked at, taken, and taken back."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from planner.desktop.map import MapView
from planner.desktop.room import RoomName
from planner.desktop.routes.laid_table import LaidTable
from planner.domain.finding import Subject
from planner.domain.geo import Place
from planner.store import SeasonFile
from tests.journeys.person import CTRL, Person


def clicks_at(person: Person, place: Place) -> None:
    view = person.sees(MapView, "Map of the routes")
    person.waits(lambda: view.is_settled)
    person.clicks(view, view.camera.spot(*view.ground.spot(place)).toPoint())


def between(one: Place, other: Place) -> Place:
    """Return the place half-way: somewhere beside the road, as a click is."""
    return Place((one.latitude + other.latitude) / 2, (one.longitude + other.longitude) / 2)


def test_that_a_route_is_laid_out_along_a_road_taken_and_taken_back(person: Person, season_path: Path) -> None:
    person.window.open_season(season_path)
    person.waits(lambda: person.pane.is_furnished)
    person.rests()
    session = person.pane.desk.session
    person.pane.desk.go(RoomName.ROUTES, Subject(route="R05"))
    person.rests()
    before, steps = session.snapshot.season, len(session.snapshot.steps)
    near = before.route("R05").points
    person.presses(Qt.Key.Key_L, CTRL)
    for place in (between(near[0].place, near[1].place), between(near[-2].place, near[-1].place)):
        clicks_at(person, place)
        person.rests()
    person.waits(lambda: person.sees(QPushButton, "Take ").isEnabled())
    person.takes_picture("layout_1_proposed")
    rows = person.sees(LaidTable, "").model.rows
    places = [row.point.place for row in rows if row.point is not None]
    assert len(places) >= before.protocol.points.fewest
    assert session.snapshot.season == before, "nothing is changed by looking"

    person.writes("Name of the new route", "Withy Lane")
    person.clicks("Take ")
    person.waits(lambda: len(session.snapshot.season.routes) == len(before.routes) + 1)
    person.rests()
    person.takes_picture("layout_2_taken")
    new = session.snapshot.season.routes[-1]
    assert (new.title, [point.place for point in new.points]) == ("R25 Withy Lane", places)
    assert len(session.snapshot.steps) == steps + 1
    assert session.checked is not None
    assert not [one for one in session.checked.findings if one.subject.route == new.code and one.subject.point]

    person.presses(Qt.Key.Key_Z, CTRL)
    person.waits(lambda: session.snapshot.season == before)
    person.rests()
    person.takes_picture("layout_3_taken_back")
    with SeasonFile.open(season_path) as file:
        assert file.season() == before
