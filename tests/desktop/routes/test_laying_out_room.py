"""Points are laid out in the Routes room: proposed on the map and in a list before anything is done, then one step."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.routes.laying import Laying
from planner.desktop.routes.layout_wish import LayoutWish, Way
from planner.desktop.routes.room import RoutesRoom
from planner.domain.finding import Rule
from planner.domain.geo import Place
from planner.domain.route import Route
from tests.desktop.routes.conftest import Settle
from tests.desktop.test_whole_window import longer_language
from tests.desktop.walking import clipped, disabled_without_reason, nameless, without_keys

__all__ = ["longer_language"]


def route(room: RoutesRoom, code: str) -> Route:
    return room.desk.session.snapshot.season.route(code)


@pytest.fixture
def laying(room: RoutesRoom, settle: Settle, qtbot: QtBot) -> Iterator[Laying]:
    """Return what is being laid out, in the room where it has been begun by its key, R05 in sight."""
    room.choose("R05")
    settle()
    QTest.keyClick(room.list.view, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    laying = room.laying_out.laying
    assert laying.is_on
    qtbot.waitUntil(lambda: room.map_pane.map.is_settled, timeout=10_000)
    yield laying
    assert not room.desk.session.working


def click(room: RoutesRoom, place: Place) -> None:
    view = room.map_pane.map
    spot: QPoint = view.camera.spot(*view.ground.spot(place)).toPoint()
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=spot)


def ends(room: RoutesRoom) -> tuple[Place, Place]:
    points = route(room, "R05").points
    return points[0].place, points[-1].place


def test_that_clicked_places_become_a_proposal_and_then_a_route_in_one_step(
    room: RoutesRoom, laying: Laying, settle: Settle
) -> None:
    steps, routes = len(room.desk.session.snapshot.steps), len(room.desk.session.snapshot.season.routes)
    form = room.laying_out.form
    assert form.said.text() == "Click on the map where the line is to start, or type the place."
    assert not form.take.isEnabled()
    for place in ends(room):
        click(room, place)
        settle()
    assert laying.laid is not None
    count = len(laying.laid.points)
    assert count >= 8
    shown = room.map_pane.map.proposing.shown
    assert shown is not None
    assert ([stop.number for stop in shown.stops], len(shown.pins)) == (list(range(1, count + 1)), 2)
    assert [row.point.number for row in room.laying_out.table.model.rows if row.point] == list(range(1, count + 1))
    assert len(room.desk.session.snapshot.steps) == steps
    proposed = [point.place for point in laying.laid.points]
    QTest.keyClicks(form.target.new_name, "Dusk Lane")
    QTest.mouseClick(form.take, Qt.MouseButton.LeftButton)
    settle()
    assert [point.place for point in route(room, "R25").points] == proposed
    assert (room.chosen.code, route(room, "R25").name) == ("R25", "Dusk Lane")
    assert [step.label for step in room.desk.session.snapshot.steps[steps:]] == [
        f"Lay out {count} points of route R25 Dusk Lane"
    ]
    assert not laying.is_on
    assert room.map_pane.map.proposing.shown is None
    room.desk.session.undo()
    settle()
    assert len(room.desk.session.snapshot.season.routes) == routes


def test_that_all_of_it_goes_by_keys_and_escape_leaves_without_a_change(
    room: RoutesRoom, laying: Laying, settle: Settle
) -> None:
    steps, form = room.desk.session.snapshot.steps, room.laying_out.form
    form.places.line.setFocus()
    QTest.keyClicks(form.places.line, "nowhere")
    QTest.keyClick(form.places.line, Qt.Key.Key_Return)
    assert form.places._trouble.isVisible()
    form.places.line.clear()
    for place in ends(room):
        QTest.keyClicks(form.places.line, str(place))
        QTest.keyClick(form.places.line, Qt.Key.Key_Return)
    settle()
    assert laying.wish.places == tuple(Place(*map(float, str(place).split(", "))) for place in ends(room))
    assert laying.laid is not None
    view = room.laying_out.table.view
    view.setFocus()
    view.selectRow(2)
    third = laying.laid.points[2]
    QTest.keyClick(view, Qt.Key.Key_Delete)
    settle()
    assert laying.wish.avoid == ((third.along_m - 50, third.along_m + 50),)
    assert laying.laid.points[2].along_m > third.along_m + 50
    row = next(at for at, row in enumerate(room.laying_out.table.model.rows) if row.is_avoided)
    view.selectRow(row)
    assert room.laying_out.table.leave_out.text() == "Allow again"
    QTest.keyClick(view, Qt.Key.Key_Delete)
    settle()
    assert room.laying_out.laying.wish.avoid == ()
    assert laying.laid.points[2] == third
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert not room.laying_out.table.isVisible()
    assert room.table.isVisible()
    assert room.map_pane.said.text().startswith("Drag a point")
    assert room.desk.session.snapshot.steps == steps
    room.doing.lay_out.trigger()
    settle()
    assert laying.laid is not None
    assert laying.laid.points[2] == third


def test_that_the_points_of_a_route_are_replaced_and_what_is_refused_is_said_beside_the_proposal(
    room: RoutesRoom, laying: Laying, settle: Settle
) -> None:
    form, target = room.laying_out.form, room.laying_out.form.target
    for place in ends(room):
        laying.add_place(place)
    settle()
    target.new_code.clear()
    form.take.click()
    settle()
    assert "a route needs a code" in form.trouble.text()
    assert laying.is_on
    assert laying.laid is not None
    proposed = tuple(point.place for point in laying.laid.points)
    target.choice.setCurrentIndex(1)
    assert target.choice.currentText() == "The points of R05 Candlewick Common"
    form.take.click()
    settle()
    assert tuple(point.place for point in route(room, "R05").points) == proposed
    assert route(room, "R05").name == "Candlewick Common"
    labels = [step.label for step in room.desk.session.snapshot.steps]
    assert labels[-1].startswith("Lay out ")


def test_that_a_track_of_a_file_is_followed_and_turned_round(
    room: RoutesRoom, laying: Laying, settle: Settle, tmp_path: Path
) -> None:
    track = tmp_path / "drive.gpx"
    spots = "".join(
        f'<trkpt lat="{place.latitude}" lon="{place.longitude}"/>'
        for place in (point.place for point in route(room, "R01").points)
    )
    begin = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">'
    track.write_text(f"{begin}<trk><name>Drive</name><trkseg>{spots}</trkseg></trk></gpx>", encoding="utf-8")
    laying.read_lines(track)
    settle()
    form = room.laying_out.form
    assert laying.wish.way is Way.LINE
    assert form.line.currentText().startswith("Drive, ")
    assert laying.laid is not None
    start = laying.laid.line[0]
    form.turn.click()
    settle()
    assert laying.laid is not None
    assert laying.laid.line[-1] == pytest.approx(start, abs=1e-3)
    laying.read_lines(tmp_path / "none.gpx")
    settle()
    assert "none.gpx" in form.trouble.text()


def test_that_a_road_is_named_by_its_place_and_an_unknown_name_says_which_are_like_it(
    room: RoutesRoom, laying: Laying, settle: Settle
) -> None:
    form = room.laying_out.form
    form.way.setCurrentIndex(form.way.findData(Way.ROAD))
    form.way.activated.emit(form.way.currentIndex())
    click(room, ends(room)[0])
    settle()
    assert laying.wish.road == form.road.text() == "Fiddler's Walk"
    assert laying.laid is not None
    click(room, ends(room)[1])
    click(room, ends(room)[0])
    settle()
    assert len(laying.wish.places) == 2
    form.road.setText("Fidler Walk")
    form.road.editingFinished.emit()
    settle()
    assert not room.laying_out.table.model.rows
    assert "Fiddler's Walk" in form.trouble.text()


def test_that_a_road_that_is_named_is_shown_whole_so_that_its_start_can_be_clicked(
    room: RoutesRoom, laying: Laying, settle: Settle, qtbot: QtBot
) -> None:
    form, view = room.laying_out.form, room.map_pane.map
    room.choose("R20")
    form.way.setCurrentIndex(form.way.findData(Way.ROAD))
    form.way.activated.emit(form.way.currentIndex())
    form.road.setText("fiddler's walk")
    form.road.editingFinished.emit()
    settle()
    qtbot.waitUntil(lambda: view.is_settled, timeout=10_000)
    shown = view.proposing.shown
    assert shown is not None
    corners = [place for line in shown.roads for place in line]
    assert len(shown.roads) > 1
    assert [
        one for one in corners if not view.rect().contains(view.camera.spot(*view.ground.spot(one)).toPoint())
    ] == []
    assert form.said.text() == "Click on the map where the line is to start, or type the place."
    click(room, shown.roads[0][0])
    settle()
    assert laying.laid is not None
    shown = view.proposing.shown
    assert shown is not None
    assert (shown.roads, len(shown.pins)) == ((), 1), "now the line stands there"
    laying.want(LayoutWish(Way.ROAD, road="Fidler Walk"))
    settle()
    assert "Did you mean Fiddler's Walk" in form.trouble.text()
    shown = view.proposing.shown
    assert shown is not None
    assert shown.roads == ()


def test_that_fields_change_the_proposal_and_nonsense_in_them_is_said(
    room: RoutesRoom, laying: Laying, settle: Settle
) -> None:
    fields = room.laying_out.form.fields
    for place in ends(room):
        laying.add_place(place)
    fields.points.setValue(4)
    fields.after.setText("500 m")
    fields.after.editingFinished.emit()
    fields.avoid.setText("1200-1500; 2 km – 2.2 km")
    fields.avoid.editingFinished.emit()
    settle()
    assert laying.laid is not None
    along = [point.along_m for point in laying.laid.points]
    assert len(along) == 4
    assert along[0] >= 500
    assert not [one for one in along if 1200 <= one <= 1500 or 2000 <= one <= 2200]
    before = laying.wish
    fields.avoid.setText("1,200-1500")
    fields.avoid.editingFinished.emit()
    assert "thousands without a comma" in fields._trouble.text()
    assert laying.wish == before


def test_that_a_route_without_points_leads_to_laying_them_out_for_it(room: RoutesRoom, settle: Settle) -> None:
    room.doing.new_route.trigger()
    settle()
    (card,) = [one for one in room.panel.cards if one.finding.rule is Rule.ROUTE_POINTS]
    button = next(one for one in card.findChildren(QPushButton) if one.text() == "Lay out its points …")
    button.click()
    settle()
    assert room.laying_out.laying.is_on
    assert room.laying_out.form.target.code == room.chosen.code == "R25"


@pytest.mark.usefixtures("longer_language")
def test_that_the_form_and_the_list_are_named_reachable_and_whole(
    room: RoutesRoom, laying: Laying, settle: Settle, qtbot: QtBot
) -> None:
    for way in Way:
        form = room.laying_out.form
        form.way.setCurrentIndex(form.way.findData(way))
        form.way.activated.emit(form.way.currentIndex())
        for place in ends(room):
            laying.add_place(place)
        settle()
        qtbot.waitUntil(lambda: clipped(room) == [], timeout=2_000)
        for look in (nameless, without_keys, disabled_without_reason):
            assert (way, look(room)) == (way, [])
