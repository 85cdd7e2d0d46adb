"""A proposal on the map: drawn, told by more than its colours, named where it is pointed at; places picked for it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QSignalSpy, QTest
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import Colours
from planner.desktop.map import MapBarred, MapProposal, MapStop, MapView, pin_name
from planner.desktop.map.naming import words_at
from planner.domain.geo import Place
from tests.desktop.map.maps import LATITUDE, LONGITUDE, ROUTES, settle, shown_map, spot_of

WEST, EAST = LONGITUDE, LONGITUDE + 0.04
NORTH = LATITUDE + 0.015
"""Between the routes: nothing else of the map lies there."""


def places(first: float, last: float, count: int = 9) -> tuple[Place, ...]:
    return tuple(Place(NORTH, first + (last - first) * part / (count - 1)) for part in range(count))


PROPOSAL = MapProposal(
    pins=(Place(NORTH, WEST), Place(NORTH, EAST)),
    line=places(WEST, EAST),
    stops=tuple(
        MapStop(number, Place(NORTH, WEST + 0.008 * number), f"Point {number}, proposed") for number in (1, 2, 4)
    ),
    barred=(MapBarred(places(WEST + 0.02, WEST + 0.028), "a bridge"),),
    radius_m=400.0,
)


def spot(view: MapView, place: Place) -> QPoint:
    return view.camera.spot(*view.ground.spot(place)).toPoint()


def shades(picture: QImage, view: MapView, first: float, last: float) -> list[str]:
    """Return the colours along the line between two longitudes, pixel by pixel."""
    start, end = spot(view, Place(NORTH, first)), spot(view, Place(NORTH, last))
    return [picture.pixelColor(x, start.y()).name() for x in range(start.x(), end.x())]


def test_that_a_road_that_was_named_is_drawn_piece_by_piece(qtbot: QtBot, colours: Colours) -> None:
    view = shown_map(qtbot, lambda made: made.show_routes(ROUTES, None), colours)
    pieces = (places(WEST, WEST + 0.01), places(WEST + 0.02, EAST))
    view.proposing.show(MapProposal(roads=pieces))
    view.fit_places([place for piece in pieces for place in piece])
    settle(qtbot, view)
    picture = view.grab().toImage()
    for first, last in ((WEST + 0.002, WEST + 0.008), (WEST + 0.022, WEST + 0.038)):
        assert set(shades(picture, view, first, last)) == {colours.accent}
    assert colours.accent not in shades(picture, view, WEST + 0.012, WEST + 0.018)


def test_that_a_line_is_drawn_whole_and_a_stretch_left_out_is_broken_and_says_why(
    qtbot: QtBot, colours: Colours
) -> None:
    view = shown_map(qtbot, lambda made: made.show_routes(ROUTES, None), colours)
    view.proposing.show(PROPOSAL)
    view.fit_places(PROPOSAL.line)
    settle(qtbot, view)
    picture = view.grab().toImage()
    whole = shades(picture, view, WEST + 0.010, WEST + 0.014)
    broken = shades(picture, view, WEST + 0.0205, WEST + 0.0235)
    assert set(whole) == {colours.good}
    assert colours.good not in broken
    assert {colours.trouble, colours.surface} <= set(broken)
    marked = spot(view, Place(NORTH, WEST + 0.024))
    assert words_at(view, marked.toPointF()) == "No point may stand here: a bridge"
    assert words_at(view, spot(view, PROPOSAL.stops[1].place).toPointF()) == "Point 2, proposed"
    assert words_at(view, spot(view, Place(NORTH, WEST + 0.012)).toPointF()) == ""
    assert view.accessibleDescription().startswith("Proposed points: 3; stretches left out: 1; places chosen: 2.")
    ring = picture.pixelColor(spot(view, PROPOSAL.stops[0].place) + QPoint(0, 7))
    assert ring == QColor(colours.good)
    view.proposing.show(None)
    assert colours.good not in shades(view.grab().toImage(), view, WEST, EAST)
    assert words_at(view, marked.toPointF()) == ""


def test_that_a_click_picks_a_place_whatever_lies_under_it_and_nothing_is_carried(view: MapView) -> None:
    view.set_editable(True)
    view.proposing.pick_places(True)
    picked, clicked = QSignalSpy(view.proposing.place_picked), QSignalSpy(view.point_clicked)
    at = spot_of(view, "R01", 2).toPoint()
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=at)
    assert (picked.count(), clicked.count()) == (1, 0)
    place = picked.at(0)[0]
    assert spot(view, place) == at
    assert view.cursor().shape() is Qt.CursorShape.CrossCursor
    view.proposing.pick_places(False)
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=at)
    assert (picked.count(), clicked.count()) == (1, 1)


def crossed(view: MapView) -> bool:
    return view.proposing.has_cross_hair


def test_that_pushing_the_map_picks_nothing(view: MapView) -> None:
    view.proposing.pick_places(True)
    picked = QSignalSpy(view.proposing.place_picked)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(300, 300))
    QTest.mouseMove(view, QPoint(360, 330))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(360, 330))
    QTest.mouseClick(view, Qt.MouseButton.MiddleButton, pos=QPoint(300, 300))
    assert picked.count() == 0


def test_that_a_place_is_picked_by_keys_under_a_cross_hair(view: MapView) -> None:
    view.proposing.pick_places(True)
    picked = QSignalSpy(view.proposing.place_picked)
    assert not crossed(view)
    before = view.ground.place(*view.camera.metres(QPoint(400, 300).toPointF()))
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert crossed(view)
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert picked.count() == 1
    place = picked.at(0)[0]
    assert spot(view, place) == QPoint(400, 300)
    assert place.longitude > before.longitude
    view.clearFocus()
    assert not crossed(view)
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert picked.count() == 1


def test_that_pins_are_lettered_then_numbered() -> None:
    assert [pin_name(place) for place in (0, 1, 25, 26)] == ["A", "B", "Z", "27"]
