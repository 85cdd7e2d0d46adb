"""The picture: keys and mouse say what somebody wishes to try; blocks differ by shape; both palettes."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QToolTip, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import DARK, LIGHT, Colours
from planner.desktop.look.sky import sky_colour
from planner.desktop.outing.block_fills import fill_block, number_block
from planner.desktop.outing.evening_view import EveningView, Grip
from planner.desktop.outing.trial import Trial
from planner.domain.outing import StepKind
from planner.usecases.evening.outing_view import Occasion
from tests.desktop.outing.sights import MINUTE, evening, sight


@pytest.fixture
def view(qtbot: QtBot) -> EveningView:
    """A picture, shown."""
    found = EveningView(LIGHT)
    qtbot.addWidget(found)
    found.resize(1000, 320)
    found.show_evening(evening(sight()))
    found.show()
    qtbot.waitExposed(found)
    return found


@pytest.mark.parametrize(
    ("key", "modifier", "minutes"),
    [
        (Qt.Key.Key_Left, Qt.KeyboardModifier.NoModifier, -1),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, 1),
        (Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier, -10),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier, 10),
    ],
)
def test_that_the_arrow_keys_move_the_departure(
    view: EveningView, qtbot: QtBot, key: Qt.Key, modifier: Qt.KeyboardModifier, minutes: int
) -> None:
    with qtbot.waitSignal(view.departure_nudged) as said:
        QTest.keyClick(view, key, modifier)
    assert said.args == [minutes]


def test_that_up_and_down_change_the_count_and_escape_goes_back(view: EveningView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.count_nudged) as said:
        QTest.keyClick(view, Qt.Key.Key_Up)
    assert said.args == [0.5]
    with qtbot.waitSignal(view.count_nudged) as said:
        QTest.keyClick(view, Qt.Key.Key_Down)
    assert said.args == [-0.5]
    with qtbot.waitSignal(view.reset_wished):
        QTest.keyClick(view, Qt.Key.Key_Escape)


def spot(view: EveningView, grip: Grip) -> QPoint:
    where = view.spot_of(grip)
    assert where is not None
    return where.toPoint()


def test_that_dragging_the_departure_tells_whole_minutes(view: EveningView) -> None:
    start = spot(view, Grip.DEPARTURE)
    wished: list[int] = []
    view.departure_wished.connect(wished.append)
    begin, end = evening(sight()).range()
    minute = (1000 - 36) / ((end - begin) / MINUTE)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    for minutes in (2, 7, 12):
        QTest.mouseMove(view, start + QPoint(round(minutes * minute), 0))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    assert wished[:3] == [2, 7, 12]


def test_that_the_hour_scale_stays_while_the_mouse_has_hold(view: EveningView) -> None:
    start = spot(view, Grip.DEPARTURE)
    of = sight()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    view.show_evening(evening(of, Trial(offset=-110)))
    held = spot(view, Grip.DEPARTURE)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    assert held.x() == 18  # beyond the scale: kept at its beginning
    assert spot(view, Grip.DEPARTURE).x() > 18


def test_that_dragging_the_end_of_the_first_count_tells_its_length(view: EveningView) -> None:
    start = spot(view, Grip.COUNT)
    wished: list[float] = []
    view.count_wished.connect(wished.append)
    begin, end = evening(sight()).range()
    minute = (1000 - 36) / ((end - begin) / MINUTE)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    QTest.mouseMove(view, start + QPoint(round(3 * minute), 0))
    QTest.mouseMove(view, start - QPoint(round(60 * minute), 0))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    assert wished == [8.0, 0.5]


def test_that_a_setup_day_has_no_count_to_take_hold_of(view: EveningView) -> None:
    view.show_evening(evening(sight(Occasion.SETUP)))
    assert view.spot_of(Grip.COUNT) is None
    assert view.spot_of(Grip.DEPARTURE) is not None


def test_that_a_step_is_pointed_at_and_said(view: EveningView, qtbot: QtBot) -> None:
    shown = evening(sight())
    count = shown.lanes[0].outing.of_kind(StepKind.COUNT)[1]
    begin, end = shown.range()
    middle = count.start_utc + (count.end_utc - count.start_utc) / 2
    place = QPoint(round(18 + (1000 - 36) * ((middle - begin) / (end - begin))), spot(view, Grip.DEPARTURE).y())
    with qtbot.waitSignal(view.step_pointed) as said:
        QTest.mouseClick(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, place)
    assert said.args == [count]
    view.event(QHelpEvent(QHelpEvent.Type.ToolTip, place, view.mapToGlobal(place)))
    assert QToolTip.text() == "21:07–21:12  count at point 2, 5 minutes"
    view.event(QHelpEvent(QHelpEvent.Type.ToolTip, spot(view, Grip.COUNT), view.mapToGlobal(place)))
    assert "longer or shorter counts" in QToolTip.text()
    QToolTip.hideText()


def test_that_what_is_seen_is_said_too(view: EveningView) -> None:
    assert view.accessibleName()
    assert "1 minute to spare before the window closes at 21:20" in view.accessibleDescription()
    view.show_evening(evening(sight(), Trial(offset=3)))
    assert "Not counted: point" in view.accessibleDescription()


def test_that_the_sky_is_painted_in_the_colour_of_the_sun(view: EveningView) -> None:
    shown = evening(sight())
    begin, end = shown.range()
    image = view.grab().toImage()
    at = begin + (end - begin) * 0.9
    pixel = image.pixelColor(round(18 + (1000 - 36) * 0.9), 40)
    expected = sky_colour(shown.sun.altitude_at(at))
    difference = max(
        abs(pixel.red() - expected.red()), abs(pixel.green() - expected.green()), abs(pixel.blue() - expected.blue())
    )
    assert difference <= 4


@pytest.mark.parametrize("case", ["plain", "late", "overcast", "two passes", "set-up", "between"])
def test_that_every_kind_of_outing_is_painted_in_both_palettes(
    case: str, colours: Colours, grab: Callable[[QWidget, str], Path]
) -> None:
    shown = {
        "plain": lambda: evening(sight()),
        "late": lambda: evening(sight(), Trial(offset=9)),
        "overcast": lambda: evening(sight(overcast=True)),
        "two passes": lambda: evening(sight(two_passes=True)),
        "set-up": lambda: evening(sight(Occasion.SETUP)),
        "between": lambda: evening(sight(habitat=True), Trial(between=True)),
    }[case]()
    found = EveningView(colours)
    found.resize(900, 300)
    found.show_evening(shown)
    assert QImage(str(grab(found, case.replace(" ", "_")))).width() >= 900
    found.set_colours(DARK if colours is LIGHT else LIGHT)


def shape(kind: StepKind, colours: Colours, *, stands: bool = True) -> list[bool]:
    """Where a block is inked at all: its pattern, with every colour taken away."""
    image = QImage(QSize(60, 40), QImage.Format.Format_RGB32)
    image.fill(QColor(colours.surface))
    painter = QPainter(image)
    fill_block(painter, QRectF(4, 4, 52, 32), kind, colours, stands=stands)
    painter.end()
    paper = QColor(colours.surface)
    return [image.pixelColor(x, y) != paper for y in range(40) for x in range(60)]


def test_that_blocks_are_told_apart_without_their_colour(colours: Colours) -> None:
    shapes = {kind.value: shape(kind, colours) for kind in StepKind}
    shapes["too late"] = shape(StepKind.COUNT, colours, stands=False)
    for one, other in combinations(shapes.values(), 2):
        differing = sum(a != b for a, b in zip(one, other, strict=True))
        assert differing > 0.06 * len(one)


@pytest.mark.parametrize(("width", "written"), [(40.0, True), (14.0, True), (8.0, True), (3.0, False)])
def test_that_a_number_is_written_as_long_as_there_is_room(width: float, written: bool, colours: Colours) -> None:
    pictures = []
    for numbered in (False, True):
        image = QImage(QSize(60, 40), QImage.Format.Format_RGB32)
        image.fill(QColor(colours.surface))
        painter = QPainter(image)
        box = QRectF(10, 4, width, 32)
        fill_block(painter, box, StepKind.COUNT, colours)
        if numbered:
            number_block(painter, box, 10, StepKind.COUNT, colours)
        painter.end()
        pictures.append(image)
    assert (pictures[0] != pictures[1]) is written
