"""The map under a real mouse and keyboard."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QFont, QHelpEvent, QPolygonF, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton, QToolTip
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import DARK
from planner.desktop.map import MapTie, MapView
from planner.desktop.map.labels import LabelLayer
from planner.desktop.map.layers import LandingLayer
from planner.domain.finding import Severity
from planner.domain.geo import Place, sphere_metres
from planner.domain.route import Route
from tests.desktop.map.conftest import HOME
from tests.desktop.map.maps import LATITUDE, LONGITUDE, RADIUS_M, ROUTES, crossroads, route, settle, spot_of

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


NO_RAISING = pytest.mark.qt_log_ignore(r"This plugin does not support raise\(\)")
"""Tool tips ask for it; without a screen nothing can be raised."""


def _near(a: Place, b: Place, metres: float) -> bool:
    return sphere_metres(a, b) <= metres


def _drag(
    view: MapView, begin: QPointF, end: QPointF, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    QTest.mousePress(view, LEFT, held, begin.toPoint())
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(view, (begin + (end - begin) * share).toPoint())
    QTest.mouseRelease(view, LEFT, held, end.toPoint())


def test_that_a_point_that_is_clicked_is_selected_and_told(view: MapView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.point_clicked) as told:
        QTest.mouseClick(view, LEFT, NONE, spot_of(view, "R02", 3).toPoint())
    assert told.args == ["R02", 3]
    assert view.selected == ("R02", 3)
    assert "R02 R02 Heath, point 3: gate 3" in view.accessibleDescription()


def test_that_a_click_between_points_is_the_route(view: MapView, qtbot: QtBot) -> None:
    between = (spot_of(view, "R02", 2) + spot_of(view, "R02", 3)) / 2
    with qtbot.waitSignal(view.route_clicked) as told:
        QTest.mouseClick(view, LEFT, NONE, between.toPoint())
    assert told.args == ["R02"]
    assert "R02 R02 Heath, 4 points" in view.accessibleDescription()


def test_that_a_home_that_is_clicked_is_told(view: MapView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.home_clicked) as told:
        QTest.mouseClick(view, LEFT, NONE, view.camera.spot(*view.ground.spot(HOME.place)).toPoint())
    assert told.args == ["V01"]


def test_that_a_click_on_bare_ground_tells_nothing(view: MapView, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(view.route_clicked), qtbot.assertNotEmitted(view.point_clicked):
        QTest.mouseClick(view, LEFT, NONE, QPoint(20, 20))


def test_that_the_ground_follows_the_hand(view: MapView) -> None:
    before = view.camera.metres(QPointF(300, 500))
    _drag(view, QPointF(300, 500), QPointF(360, 440))
    assert view.camera.metres(QPointF(360, 440)) == pytest.approx(before, abs=1 / view.camera.scale)


def test_that_the_wheel_zooms_about_the_mouse(view: MapView) -> None:
    spot, scale = QPointF(200, 150), view.camera.scale
    before = view.camera.metres(spot)
    _turn(view, spot, 120)
    assert view.camera.scale > scale
    assert view.camera.metres(spot) == pytest.approx(before, abs=1 / view.camera.scale)
    for _ in range(4):
        _turn(view, spot, -30)
    assert view.camera.scale == pytest.approx(scale)


def _turn(view: MapView, spot: QPointF, eighths: int) -> None:
    none, buttons, phase = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.NoButton, Qt.ScrollPhase.NoScrollPhase
    event = QWheelEvent(spot, view.mapToGlobal(spot), QPoint(), QPoint(0, eighths), buttons, none, phase, False)
    QApplication.sendEvent(view, event)


def test_that_a_point_is_dragged_live_and_dropped(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    begin = spot_of(view, "R01", 2)
    end = begin + QPointF(24, 40)
    expected = view.ground.place(*view.camera.metres(end))
    dragged: list[tuple[str, int, Place]] = []
    view.point_dragged.connect(lambda *told: dragged.append(told))
    with qtbot.waitSignal(view.point_dropped) as told:
        _drag(view, begin, end)
    code, number, place = told.args
    assert (code, number) == ("R01", 2)
    assert _near(place, expected, 1 / view.camera.scale)
    assert len(dragged) >= 2
    assert dragged[-1] == ("R01", 2, place)
    row = view.sheet.row("R01", 2)
    assert row is not None
    assert _near(view.ground.place(float(view.sheet.east[row]), float(view.sheet.south[row])), place, 0.01)


def test_that_points_stay_where_they_are_unless_they_may_be_moved(view: MapView, qtbot: QtBot) -> None:
    before = view.camera
    with qtbot.assertNotEmitted(view.point_dropped), qtbot.assertNotEmitted(view.point_dragged):
        _drag(view, spot_of(view, "R01", 2), spot_of(view, "R01", 2) + QPointF(50, 50))
    assert view.camera != before


def test_that_pushing_a_map_seen_from_afar_takes_no_point_along(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    view.zoom(-12)
    settle(qtbot, view)
    spot = spot_of(view, "R01", 2)
    before = view.camera
    with qtbot.assertNotEmitted(view.point_dragged):
        _drag(view, spot, spot + QPointF(40, 30))
    assert view.camera != before
    view.select("R01", 2)
    with qtbot.waitSignal(view.point_dropped):
        _drag(view, spot_of(view, "R01", 2), spot_of(view, "R01", 2) + QPointF(40, 30))


def test_that_a_click_from_afar_is_the_route(view: MapView, qtbot: QtBot) -> None:
    view.zoom(-24)
    settle(qtbot, view)
    with qtbot.waitSignal(view.route_clicked) as told:
        QTest.mouseClick(view, LEFT, NONE, spot_of(view, "R02", 2).toPoint())
    assert told.args == ["R02"]


def test_that_escape_brings_a_dragged_point_back(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    before = view.sheet
    begin = spot_of(view, "R01", 2)
    QTest.mousePress(view, LEFT, Qt.KeyboardModifier.NoModifier, begin.toPoint())
    QTest.mouseMove(view, (begin + QPointF(40, 40)).toPoint())
    assert view.sheet is not before
    with qtbot.waitSignal(view.point_returned) as told, qtbot.assertNotEmitted(view.point_dropped):
        QTest.keyClick(view, Qt.Key.Key_Escape)
        QTest.mouseRelease(view, LEFT, Qt.KeyboardModifier.NoModifier, (begin + QPointF(40, 40)).toPoint())
    assert told.args == ["R01", 2]
    assert view.sheet is before


def test_that_a_point_is_moved_by_steps_of_ten_metres_with_the_keys(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    view.select("R02", 1)
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Right):
        QTest.keyClick(view, key, Qt.KeyboardModifier.AltModifier)
    with qtbot.waitSignal(view.point_dropped) as told:
        QTest.keyClick(view, Qt.Key.Key_Return)
    origin, place = ROUTES[1].point(1).place, told.args[2]
    north = sphere_metres(origin, Place(place.latitude, origin.longitude))
    east = sphere_metres(Place(place.latitude, origin.longitude), place)
    assert north == pytest.approx(20.0, rel=0.005)
    assert east == pytest.approx(10.0, rel=0.005)
    assert place.latitude > origin.latitude
    assert place.longitude > origin.longitude


def test_that_a_point_carried_by_keys_comes_back_when_the_focus_leaves(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    view.select("R02", 1)
    before = view.sheet
    QTest.keyClick(view, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    with qtbot.waitSignal(view.point_returned):
        view.clearFocus()
    assert view.sheet is before


def test_that_keys_move_no_point_that_may_not_be_moved(view: MapView, qtbot: QtBot) -> None:
    view.select("R02", 1)
    with qtbot.assertNotEmitted(view.point_dragged):
        QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)


def test_that_routes_shown_anew_bring_a_dropped_point_back(view: MapView) -> None:
    view.set_editable(True)
    _drag(view, spot_of(view, "R01", 2), spot_of(view, "R01", 2) + QPointF(24, 40))
    view.show_routes(ROUTES, RADIUS_M)
    row = view.sheet.row("R01", 2)
    assert row is not None
    assert view.ground.spot(ROUTES[0].point(2).place)[1] == pytest.approx(float(view.sheet.south[row]))


def test_that_a_carried_point_stays_in_the_air_while_routes_are_shown_anew(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    view.select("R02", 1)
    for _ in range(3):
        QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    in_the_air = spot_in_the_air(view, "R02", 1)
    view.show_routes([*ROUTES, route("R04", 0.015, 0.0)], RADIUS_M)
    assert spot_in_the_air(view, "R02", 1) == pytest.approx(in_the_air, abs=1e-3)
    with qtbot.waitSignal(view.point_returned):
        QTest.keyClick(view, Qt.Key.Key_Escape)
    assert spot_in_the_air(view, "R02", 1) == pytest.approx(view.ground.spot(ROUTES[1].point(1).place))


def test_that_a_carried_point_falls_with_its_route(view: MapView, qtbot: QtBot) -> None:
    view.set_editable(True)
    view.select("R02", 1)
    QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    view.show_routes([ROUTES[0]], RADIUS_M)
    with qtbot.assertNotEmitted(view.point_dropped):
        QTest.keyClick(view, Qt.Key.Key_Return)
    assert len(view.sheet.routes) == 1


def spot_in_the_air(view: MapView, code: str, number: int) -> tuple[float, float]:
    row = view.sheet.row(code, number)
    assert row is not None
    return float(view.sheet.east[row]), float(view.sheet.south[row])


def test_that_a_landing_is_shown_only_while_a_point_is_carried(view: MapView) -> None:
    view.set_editable(True)
    view.select("R02", 1)

    def landings() -> int:
        return sum(isinstance(layer, LandingLayer) for layer in view.layers)

    place = ROUTES[1].point(2).place
    view.show_landing(place)
    assert landings() == 0
    QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    view.show_landing(place)
    assert landings() == 1
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert landings() == 0
    view.show_landing(place)
    assert landings() == 0


def test_that_a_band_tells_the_routes_inside(view: MapView, qtbot: QtBot) -> None:
    first, last = spot_of(view, "R02", 1), spot_of(view, "R01", 4)
    with qtbot.waitSignal(view.area_chosen) as told:
        _drag(view, first + QPointF(-15, -15), last + QPointF(15, 15), Qt.KeyboardModifier.ShiftModifier)
    assert told.args == [("R01", "R02")]
    assert view.band is None


@pytest.mark.parametrize("aside", [-300, 300])
def test_that_a_band_beside_the_points_tells_none(view: MapView, qtbot: QtBot, aside: int) -> None:
    points = QPolygonF([spot_of(view, one.code, point.number) for one in ROUTES for point in one.points])
    beside = points.boundingRect().translated(aside * 3, 0)
    with qtbot.waitSignal(view.area_chosen) as told:
        view.choose_band(beside)
    assert told.args == [()]


def test_that_escape_lets_go_of_a_band(view: MapView, qtbot: QtBot) -> None:
    QTest.mousePress(view, LEFT, Qt.KeyboardModifier.ShiftModifier, QPoint(10, 10))
    QTest.mouseMove(view, QPoint(300, 300))
    assert view.band is not None
    with qtbot.assertNotEmitted(view.area_chosen):
        QTest.keyClick(view, Qt.Key.Key_Escape)
        QTest.mouseRelease(view, LEFT, Qt.KeyboardModifier.ShiftModifier, QPoint(300, 300))
    assert view.band is None


def test_that_page_keys_go_through_all_points_and_round(view: MapView) -> None:
    visited = []
    for _ in range(13):
        QTest.keyClick(view, Qt.Key.Key_PageDown)
        visited.append(view.selected)
    expected = [(one.code, point.number) for one in ROUTES for point in one.points]
    assert visited == [*expected, expected[0]]
    QTest.keyClick(view, Qt.Key.Key_PageUp)
    assert view.selected == expected[-1]


def test_that_page_keys_with_ctrl_go_from_route_to_route(view: MapView) -> None:
    view.select("R01", 3)
    visited = []
    for key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageDown, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_PageUp):
        QTest.keyClick(view, key, Qt.KeyboardModifier.ControlModifier)
        visited.append(view.selected)
    assert visited == [("R02", 1), ("R03", 1), ("R01", 1), ("R03", 1), ("R02", 1)]


def test_that_the_first_page_key_on_a_selected_route_enters_it(view: MapView) -> None:
    view.select("R02")
    QTest.keyClick(view, Qt.Key.Key_PageDown)
    assert view.selected == ("R02", 1)
    view.select("R02")
    QTest.keyClick(view, Qt.Key.Key_PageUp)
    assert view.selected == ("R02", 4)


def test_that_a_point_out_of_sight_is_brought_into_sight_by_stepping(view: MapView) -> None:
    view.push(5000, 0)
    QTest.keyClick(view, Qt.Key.Key_PageDown)
    assert view.sight.frame.contains(spot_of(view, "R01", 1))


def test_that_enter_tells_the_selected_point_again(view: MapView, qtbot: QtBot) -> None:
    view.select("R03", 2)
    with qtbot.waitSignal(view.point_clicked) as told:
        QTest.keyClick(view, Qt.Key.Key_Enter)
    assert told.args == ["R03", 2]


def test_that_arrows_push_and_signs_zoom_and_home_shows_all(view: MapView) -> None:
    start = view.camera
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert view.camera.east > start.east
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert view.camera.south > start.south
    QTest.keyClick(view, Qt.Key.Key_Plus)
    assert view.camera.scale > start.scale
    QTest.keyClick(view, Qt.Key.Key_Minus)
    QTest.keyClick(view, Qt.Key.Key_Minus)
    assert view.camera.scale < start.scale
    QTest.keyClick(view, Qt.Key.Key_Home)
    assert view.camera == start


def test_that_shift_and_home_show_the_selected_route(view: MapView) -> None:
    view.select("R02")
    QTest.keyClick(view, Qt.Key.Key_Home, Qt.KeyboardModifier.ShiftModifier)
    extent = view.sheet.extent(1)
    assert extent is not None
    assert view.camera.seen.contains(extent)
    assert view.camera.fitted(extent, 36.0).step == view.camera.step


def test_that_keys_without_a_meaning_are_left_to_others(view: MapView) -> None:
    before = view.camera
    QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(view, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(view, Qt.Key.Key_A)
    assert view.camera == before


def test_that_the_buttons_do_what_the_keys_do(view: MapView) -> None:
    start = view.camera
    buttons = {button.accessibleName(): button for button in view.findChildren(QToolButton)}
    assert all(button.toolTip() and button.focusPolicy() & Qt.FocusPolicy.TabFocus for button in buttons.values())
    QTest.mouseClick(buttons["Nearer"], LEFT)
    assert view.camera.scale > start.scale
    QTest.mouseClick(buttons["Farther"], LEFT)
    QTest.mouseClick(buttons["Farther"], LEFT)
    assert view.camera.scale < start.scale
    QTest.mouseClick(buttons["Show all"], LEFT)
    assert view.camera == start


@pytest.mark.parametrize("height", [170, 600])
def test_that_the_buttons_lie_inside_the_map_and_not_on_each_other(view: MapView, height: int) -> None:
    view.resize(320, height)
    boxes = [QRect(button.mapTo(view, QPoint()), button.size()) for button in view.findChildren(QToolButton)]
    assert all(view.rect().contains(box) for box in boxes)
    assert not [1 for i, box in enumerate(boxes) for other in boxes[i + 1 :] if box.intersects(other)]


def test_that_what_was_fitted_stays_fitted_while_the_window_changes_until_somebody_moves_it(view: MapView) -> None:
    view.resize(500, 400)
    extent = view.sheet.extent()
    assert extent is not None
    assert view.camera.seen.contains(extent)
    view.push(100, 0)
    middle = view.camera.east, view.camera.south
    view.resize(700, 500)
    assert (view.camera.east, view.camera.south) == pytest.approx(middle, abs=1 / view.camera.scale)


@NO_RAISING
@pytest.mark.parametrize(
    ("code", "number", "expected"),
    [
        ("R02", 3, "Route R02 R02 Heath, point 3: gate 3; finding: trouble"),
        ("R03", 1, "Route R03 R03 Heath, point 1: gate 1"),
    ],
)
def test_that_what_the_mouse_rests_on_is_named(view: MapView, code: str, number: int, expected: str) -> None:
    view.mark_findings({("R02", 3): Severity.TROUBLE})
    assert _tip(view, spot_of(view, code, number)) == expected


@NO_RAISING
def test_that_homes_ties_and_roads_are_named_too(view: MapView, qtbot: QtBot, tmp_path: Path) -> None:
    view.show_ties([MapTie(HOME.place, Place(LATITUDE - 0.02, LONGITUDE + 0.03), "Ann Example leads R01")])
    view.show_roads(crossroads(tmp_path))
    settle(qtbot, view)
    assert _tip(view, view.camera.spot(*view.ground.spot(HOME.place))) == "V01, home of Ann Example"
    half = Place(LATITUDE - 0.016, LONGITUDE + 0.02)
    assert _tip(view, view.camera.spot(*view.ground.spot(half))) == "Ann Example leads R01"
    lane = Place(LATITUDE, LONGITUDE - 0.01)
    assert _tip(view, view.camera.spot(*view.ground.spot(lane))) == "Sundown Road, primary road"
    track = Place(LATITUDE + 0.015, LONGITUDE)
    assert _tip(view, view.camera.spot(*view.ground.spot(track))) == "track"
    assert _tip(view, QPointF(5, 40)) == ""


def _tip(view: MapView, spot: QPointF) -> str:
    QToolTip.showText(QPoint(), "something else", view)
    event = QHelpEvent(QHelpEvent.Type.ToolTip, spot.toPoint(), view.mapToGlobal(spot).toPoint())
    QApplication.sendEvent(view, event)
    words = QToolTip.text()
    # An empty tip is put away a moment later.
    return "" if words == "something else" else words


def test_that_the_map_says_in_words_what_it_shows(view: MapView) -> None:
    assert view.accessibleName() == "Map"
    assert view.accessibleDescription().startswith("3 routes.")
    assert "Page Down" in view.whatsThis()
    view.select("R01")
    assert view.accessibleDescription() == "Route R01 R01 Heath, 4 points"
    view.select("")
    assert view.accessibleDescription().startswith("3 routes.")


def test_that_the_map_is_never_bare_while_routes_are_laid_out_anew(view: MapView, qtbot: QtBot) -> None:
    view.show_routes([*ROUTES, route("R04", 0.015, 0.0)], RADIUS_M)
    bare = view.grab().toImage()
    assert bare.pixelColor(spot_of(view, "R04", 2).toPoint()) != bare.pixelColor(3, 300)
    settle(qtbot, view)
    assert len(view.sheet.routes) == 4


def test_that_a_selected_route_without_points_is_painted(view: MapView, qtbot: QtBot) -> None:
    view.show_routes([*ROUTES, Route("R09", "New", ())], RADIUS_M)
    view.select("R09")
    settle(qtbot, view)
    assert not view.grab().isNull()
    assert view.accessibleDescription() == "Route R09 New, 0 points"
    before = view.camera
    view.fit_route("R09")
    QTest.keyClick(view, Qt.Key.Key_PageDown)
    assert view.selected == ("R01", 1)
    assert view.camera == before


def test_that_a_route_may_lose_a_point_and_keep_its_name(view: MapView, qtbot: QtBot) -> None:
    fewer = dataclasses.replace(ROUTES[0], points=ROUTES[0].points[:-1])
    view.show_routes([fewer, *ROUTES[1:]], RADIUS_M)
    assert not view.grab().isNull()
    settle(qtbot, view)
    assert len(view.sheet.east) == 11


def test_that_the_palette_changes_with_all_that_was_painted(view: MapView, qtbot: QtBot, tmp_path: Path) -> None:
    view.show_roads(crossroads(tmp_path))
    settle(qtbot, view)
    view.set_colours(DARK)
    settle(qtbot, view)
    picture = view.grab().toImage()
    shades = [picture.pixelColor(x, 8).lightness() for x in range(4, 700, 4)]
    assert np.median(shades) < 40
    button = view.findChildren(QToolButton)[0]
    assert button.icon().pixmap(16).toImage().pixelColor(8, 8).lightness() > 150
    assert picture.pixelColor(400, 8).name() == DARK.ground


def test_that_names_have_the_room_of_a_larger_font(view: MapView, qtbot: QtBot) -> None:
    def widest() -> float:
        layer = next(layer for layer in view.layers if isinstance(layer, LabelLayer))
        return max(box.width() for box in layer.shown(view.sight).values())

    before = widest()
    font = QFont(view.font())
    font.setPointSizeF(font.pointSizeF() * 2)
    view.setFont(font)
    settle(qtbot, view)
    assert widest() > before * 1.6
