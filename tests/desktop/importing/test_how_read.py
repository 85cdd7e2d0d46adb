"""What is said of one file that is brought in, and what a person decides about it by mouse and keys."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from planner.desktop.importing.column_model import Column
from planner.desktop.importing.how_read import HowRead
from planner.desktop.look.colours import LIGHT
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.style import apply_look
from planner.exchange import Choices
from planner.usecases.importing.choices import read_again
from planner.usecases.importing.reading_sources import SourceRead
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.desktop.windows import part

TWO_LATITUDES = "route,point,Lat,Latitude WGS84,long,Surveyed\nR30,1,54.7,54.71,2.3,yes\n"
METRES = "Stop name,Easting,Northing\nA1-1,584000,6061000\n"
Show = Callable[[str, str], SourceRead]


@pytest.fixture
def how(qapp: QApplication, qtbot: QtBot) -> HowRead:
    apply_look(qapp, LIGHT)
    made = HowRead(LIGHT)
    QAbstractItemModelTester(
        made.columns.columns, QAbstractItemModelTester.FailureReportingMode.Fatal, made.columns.columns
    )
    qtbot.addWidget(made)
    made.resize(440, 480)
    return made


@pytest.fixture
def show(how: HowRead, tmp_path: Path) -> Show:
    """Return what writes a file, reads it and shows it."""

    def written(name: str, text: str) -> SourceRead:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        source = read_again(path, Choices())
        how.show_source(source)
        how.show()
        return source

    return written


def decided_by(how: HowRead, qtbot: QtBot, act: Callable[[], object]) -> tuple[Path, Choices]:
    with qtbot.waitSignal(how.decided, timeout=2_000) as caught:
        act()
    path, choices = caught.args or [Path(), None]
    assert isinstance(choices, Choices)
    return path, choices


def cells(how: HowRead) -> list[tuple[str, ...]]:
    model = how.columns.columns
    return [tuple(str(model.index(row, column).data()) for column in Column) for row in range(model.rowCount())]


def test_that_columns_used_and_unused_are_shown_with_what_stands_in_them(how: HowRead, show: Show) -> None:
    show("two.csv", TWO_LATITUDES)
    assert cells(how) == [
        ("route", "R30", "code of the route"),
        ("point", "1", "number of the point"),
        ("Lat", "54.7", "not used"),
        ("Latitude WGS84", "54.71", "not used"),
        ("long", "2.3", "longitude"),
        ("Surveyed", "yes", "not used"),
    ]
    assert how.kind.text().startswith("It was taken for points of routes: ")


def test_that_an_offer_is_taken_by_a_button_that_says_which(how: HowRead, show: Show, qtbot: QtBot) -> None:
    source = show("two.csv", TWO_LATITUDES)
    assert [button.accessibleName() for button in how.offers.buttons] == [
        "Take the column 'Lat' for the latitude",
        "Take the column 'Latitude WGS84' for the latitude",
    ]
    second = how.offers.buttons[1]
    path, choices = decided_by(how, qtbot, lambda: QTest.mouseClick(second, Qt.MouseButton.LeftButton))
    assert (path, choices.columns) == (source.path, {"latitude": "Latitude WGS84"})
    how.show_source(read_again(path, choices))
    assert how.decisions.text() == "As you chose: the column Latitude WGS84 holds: latitude."
    assert how.offers.buttons == []
    assert not how.offered.isVisible()
    _, back = decided_by(how, qtbot, how.undo.click)
    assert back == Choices()


def test_that_a_column_is_taken_for_something_else_by_keys(how: HowRead, show: Show, qtbot: QtBot) -> None:
    show("two.csv", TWO_LATITUDES)
    how.activateWindow()
    qtbot.waitUntil(how.isActiveWindow, timeout=5_000)
    how.columns.setFocus()
    how.columns.setCurrentIndex(how.columns.columns.index(5, Column.MEANING))

    def choose() -> None:
        QTest.keyClick(how.columns, Qt.Key.Key_F2)
        box = part(how.columns, QComboBox)
        qtbot.waitUntil(box.view().isVisible, timeout=5_000)
        assert box.currentText() == "not used"
        for _ in range(box.findData("note")):
            QTest.keyClick(box.view(), Qt.Key.Key_Down)
        QTest.keyClick(box.view(), Qt.Key.Key_Return)

    _, choices = decided_by(how, qtbot, choose)
    assert choices.columns == {"note": "Surveyed"}


def test_that_one_click_opens_the_choice_and_looking_changes_nothing(how: HowRead, show: Show, qtbot: QtBot) -> None:
    show("two.csv", TWO_LATITUDES)
    place = how.columns.visualRect(how.columns.columns.index(0, Column.MEANING)).center()
    with qtbot.assertNotEmitted(how.decided, wait=50):
        QTest.mouseClick(how.columns.viewport(), Qt.MouseButton.LeftButton, pos=place)
        box = part(how.columns, QComboBox)
        qtbot.waitUntil(box.view().isVisible, timeout=5_000)
        assert box.currentText() == "code of the route"
        QTest.keyClick(box.view(), Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: not how.columns.findChildren(QComboBox), timeout=5_000)


def test_that_a_route_and_a_zone_are_asked_for_where_they_are_missing(how: HowRead, show: Show, qtbot: QtBot) -> None:
    source = show("metres.csv", METRES)
    assert how.typed.zone.isVisible()
    assert not how.typed.route.isVisible()
    how.typed.zone.setText(" 31 n")
    _, choices = decided_by(how, qtbot, lambda: QTest.keyClick(how.typed.zone, Qt.Key.Key_Return))
    assert choices == Choices(utm_zone="31N")
    how.show_source(read_again(source.path, choices))
    assert how.places.text() == "Places are written as UTM metres, zone 31N."
    assert how.typed.zone.text() == "31N"
    assert how.typed.zone.isVisible(), "it can be typed over"
    show("coded.csv", "Lat,Lon\n54.7,2.3\n")
    assert how.typed.route.isVisible()
    assert not how.typed.zone.isVisible()


def test_that_a_file_without_columns_shows_none(how: HowRead, show: Show) -> None:
    show("none.csv", "")
    assert not how.columns.isVisible()
    assert not how.typed.isVisible()
    assert how.kind.text().startswith("It is nothing that is known here")


def test_that_everything_is_named_reachable_and_whole_in_a_longer_language(
    qapp: QApplication, show: Show, how: HowRead, qtbot: QtBot
) -> None:
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    try:
        longer = HowRead(LIGHT)
        qtbot.addWidget(longer)
        longer.resize(how.size())
        source = show("metres.csv", METRES)
        longer.show_source(read_again(source.path, Choices(utm_zone="31N", columns={"note": "Northing"})))
        longer.show()
        qtbot.wait(20)
        assert [nameless(longer), without_keys(longer), disabled_without_reason(longer), clipped(longer)] == [[]] * 4
    finally:
        qapp.removeTranslator(language)


def test_that_a_heading_of_two_thousand_letters_does_not_burst_the_pane(how: HowRead, show: Show, qtbot: QtBot) -> None:
    long = "latitude" + " x" * 500 + "x" * 1000
    source = show("long.csv", f"route,point,latitude,Lat,longitude,{long}\nR30,1,54.7,54.7,2.3,\n")
    how.show_source(read_again(source.path, Choices(columns={"note": long})))
    qtbot.wait(20)
    assert how.decisions.text().count(" x") > 100
    scrolled = part(how, FittedScroll)
    assert not scrolled.horizontalScrollBar().isVisible()
