"""The strip of sky: colours are those of the sun, lamps those of the plan, dates are within reach of the keys."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import Colours
from planner.desktop.look.sky import sky_colour
from planner.desktop.room import RoomName
from planner.desktop.season.room import SeasonRoom
from planner.desktop.season.strip_painting import LAMP
from planner.domain.finding import Subject
from planner.light import sun_altitude
from planner.usecases.routes.areas import middle_of
from tests.desktop.season.conftest import Went

BUSY = dt.date(2027, 6, 4)
QUIET = dt.date(2027, 5, 28)


def _picture(room: SeasonRoom) -> QImage:
    return room.overview.strip.grab().toImage()


def _colour(image: QImage, across: float, down: float) -> QColor:
    ratio = image.devicePixelRatioF()
    return image.pixelColor(round(across * ratio), round(down * ratio))


def _apart(one: QColor, other: QColor) -> int:
    return max(abs(one.red() - other.red()), abs(one.green() - other.green()), abs(one.blue() - other.blue()))


@pytest.mark.parametrize("minute", [19 * 60 + 31, 25 * 60 + 31])
def test_that_the_sky_has_the_colour_of_the_sun_at_that_date_and_hour(
    room: SeasonRoom, colours: Colours, minute: int
) -> None:
    """Away from the band and the lines, a pixel is the sky's own colour, in both palettes."""
    room.desk.show_in(colours)
    season = room.desk.session.snapshot.season
    places = room.overview.strip._places()
    clock = dt.datetime.combine(QUIET, dt.time()) + dt.timedelta(minutes=minute)
    place = middle_of(season.routes[0])
    altitude = float(sun_altitude(clock.replace(tzinfo=ZoneInfo(season.zone)), place.latitude, place.longitude))
    found = _colour(_picture(room), places.middle(QUIET), places.down(0, minute))
    assert _apart(found, sky_colour(altitude)) <= 6


def test_that_the_window_is_lit_on_the_dates_on_which_somebody_is_out_and_on_no_other(room: SeasonRoom) -> None:
    strip, image = room.overview.strip, _picture(room)
    places, problem = strip._places(), room.desk.session.problem
    assert problem is not None
    (band,) = places.panels[0].bands
    for day in (BUSY, QUIET):
        number = problem.day_index(day)
        middle = float(band.opens[number] + band.closes[number]) / 2
        lit = _apart(_colour(image, places.middle(day), places.down(0, middle)), LAMP) <= 3
        assert lit is (day == BUSY)


def test_that_each_visit_set_up_and_reserve_has_its_mark_inside_the_strip(room: SeasonRoom) -> None:
    plan, places = room.desk.session.snapshot.plan, room.overview.strip._places()
    count = sum(visit.date == BUSY for visit in plan)
    assert count == 18
    boxes = [places.mark_box(BUSY, place, count) for place in range(count)]
    assert len({(box.left(), box.top()) for box in boxes}) == count
    for box in boxes:
        assert box.left() >= places.left(BUSY)
        assert box.right() <= places.left(BUSY) + places.column
        assert box.bottom() <= places.outings_box.bottom() + 1.0


def test_that_a_date_says_what_it_holds(room: SeasonRoom) -> None:
    strip = room.overview.strip
    strip.point_at(BUSY)
    assert room.overview.day_said.text() == "Fri 4 Jun: 18 visits. Light window 22:15–00:02."
    assert strip.accessibleDescription() == room.overview.day_said.text()
    strip.point_at(dt.date(2027, 6, 21))
    assert room.overview.day_said.text() == "Mon 21 Jun: nobody is out. There is no light window."


def test_that_the_keys_move_over_the_dates_and_enter_shows_who_is_out(room: SeasonRoom, went: Went) -> None:
    strip = room.overview.strip
    strip.setFocus()
    QTest.keyClick(strip, Qt.Key.Key_Home)
    assert strip.day == dt.date(2027, 5, 3)
    QTest.keyClick(strip, Qt.Key.Key_Left)
    assert strip.day == dt.date(2027, 5, 3)
    QTest.keyClick(strip, Qt.Key.Key_PageDown)
    QTest.keyClick(strip, Qt.Key.Key_Right)
    assert strip.day == dt.date(2027, 5, 11)
    QTest.keyClick(strip, Qt.Key.Key_Return)
    assert went == [(RoomName.TODAY, Subject(date=dt.date(2027, 5, 11)))]
    QTest.keyClick(strip, Qt.Key.Key_End)
    assert strip.day == dt.date(2027, 7, 2)


def test_that_a_click_shows_who_is_out_on_the_date_under_the_mouse(room: SeasonRoom, went: Went, qtbot: QtBot) -> None:
    strip = room.overview.strip
    spot = QPoint(round(strip._places().middle(BUSY)), strip.height() // 2)
    with qtbot.waitSignal(strip.day_changed):
        QTest.mouseMove(strip, spot)
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=spot)
    assert went == [(RoomName.TODAY, Subject(date=BUSY))]
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(10, strip.height() // 2))
    assert len(went) == 1


def test_that_a_subject_with_a_date_is_pointed_at(room: SeasonRoom) -> None:
    room.show_subject(Subject(date=BUSY))
    assert room.overview.strip.day == BUSY
