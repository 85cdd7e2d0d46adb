"""What is tried: kept within bounds, typed as a time, taken back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtGui import QValidator
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.words import statement
from planner.desktop.outing.showing import clock_of
from planner.desktop.outing.trial import EARLIEST, LATEST, DepartureSpin, Trial, TryBar
from planner.usecases.evening.outing_view import Occasion, WhatIf
from tests.desktop.outing.sights import MINUTE, sight


@given(st.integers(EARLIEST, LATEST))
def test_that_a_departure_is_read_as_it_is_shown(offset: int) -> None:
    of = sight(Occasion.VISIT)
    spin = DepartureSpin()
    spin.set_latest(of.planned.outing.leave_home_utc, clock_of(of))
    assert spin.valueFromText(spin.textFromValue(offset)) == offset


def test_that_a_time_is_taken_as_it_is_typed() -> None:
    of = sight()
    spin = DepartureSpin()
    assert spin.textFromValue(0) == ""
    assert spin.valueFromText("20:00") == 0
    spin.set_latest(of.planned.outing.leave_home_utc, clock_of(of))
    assert spin.textFromValue(0) == "20:50 (latest)"
    assert spin.textFromValue(7) == "20:57 (+7 min)"
    assert spin.textFromValue(-50) == "20:00 (−50 min)"
    assert spin.valueFromText("21:00") == 10
    assert spin.valueFromText("00:10") == 200
    assert spin.valueFromText("soon") == spin.value()
    assert spin.validate("21:00", 5)[0] is QValidator.State.Acceptable
    assert spin.validate("21", 2)[0] is QValidator.State.Intermediate


def test_that_a_trial_is_what_the_use_case_takes() -> None:
    latest = sight().planned.outing.leave_home_utc
    assert Trial().what_if(latest) == WhatIf()
    assert Trial(offset=5, between=True).what_if(latest) == WhatIf(latest + 5 * MINUTE, None, habitat_between=True)
    assert Trial().leaving(9_999).offset == LATEST
    assert Trial().leaving(-9_999).offset == EARLIEST
    assert Trial().counting(0.0, 5.0).count_minutes == 0.5
    assert Trial(count_minutes=7.0).counting(5.0, 5.0) == Trial()


@pytest.fixture
def bar(qtbot: QtBot) -> TryBar:
    """The controls, fitted to an outing with habitat."""
    found = TryBar()
    qtbot.addWidget(found)
    of = sight(habitat=True)
    found.show_sight(of, clock_of(of))
    found.show_trial(Trial(), 0)
    found.show()
    return found


def test_that_each_control_tells_what_is_tried(bar: TryBar, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.tried) as said:
        bar.departure.stepBy(3)
    assert said.args == [Trial(offset=3)]
    with qtbot.waitSignal(bar.tried) as said:
        bar.count.stepBy(2)
    assert said.args == [Trial(offset=3, count_minutes=6.0)]
    with qtbot.waitSignal(bar.tried) as said:
        bar.between.click()
    # Another way of working has a latest departure of its own.
    assert said.args == [Trial(count_minutes=6.0, between=True)]
    bar.show_trial(Trial(count_minutes=6.0, between=True), 12)
    assert bar.departure.value() == 12
    with qtbot.waitSignal(bar.tried) as said:
        bar.back.click()
    assert said.args == [Trial()]


def test_that_showing_a_trial_tells_nothing(bar: TryBar, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(bar.tried):
        bar.show_trial(Trial(offset=9, count_minutes=8.0), 9)
    assert bar.count.value() == 8.0
    assert bar.back.isEnabled()


def test_that_a_departure_is_typed_with_the_keyboard(bar: TryBar, qtbot: QtBot) -> None:
    bar.departure.setFocus()
    bar.departure.selectAll()
    before = bar.departure.text()
    with qtbot.waitSignal(bar.tried) as said:
        QTest.keyClicks(bar.departure, "20:30")
        QTest.keyClick(bar.departure, Qt.Key.Key_Return)
    latest = int(before[:2]) * 60 + int(before[3:5])
    assert said.args == [Trial(offset=20 * 60 + 30 - latest)]


def test_that_what_cannot_be_tried_says_why(bar: TryBar) -> None:
    assert not bar.back.isEnabled()
    assert bar.back.toolTip() == "All is as planned."
    plain, setup = sight(), sight(Occasion.SETUP)
    bar.show_sight(plain, clock_of(plain))
    assert not bar.between.isEnabled()
    assert "no habitat round" in bar.between.toolTip()
    assert bar.count.isEnabled()
    bar.show_sight(setup, clock_of(setup))
    assert not bar.count.isEnabled()
    assert "set-up day" in bar.count.toolTip()


def test_that_the_controls_go_on_in_the_next_row_where_it_is_narrow(bar: TryBar) -> None:
    layout = bar.layout()
    assert layout is not None
    assert layout.heightForWidth(360) > layout.heightForWidth(1400)
    bar.resize(420, layout.heightForWidth(420))
    for control in (bar.departure, bar.count, bar.between, bar.back, bar.note):
        right = control.mapTo(bar, control.rect().topRight()).x()
        assert right <= 420
        assert control.mapTo(bar, control.rect().bottomLeft()).y() <= bar.height()


def test_that_scrolling_reckons_with_the_width_that_is_there(qtbot: QtBot) -> None:
    inside = QWidget()
    column = QVBoxLayout(inside)
    label = statement("A sentence that is long enough to need several lines where there is little room for it. " * 3)
    column.addWidget(label)
    scroll = FittedScroll(inside)
    qtbot.addWidget(scroll)
    scroll.resize(900, 300)
    scroll.show()
    qtbot.waitUntil(lambda: inside.minimumHeight() > 0)
    wide = inside.minimumHeight()
    scroll.resize(260, 300)
    qtbot.waitUntil(lambda: inside.minimumHeight() > wide)
    label.setText("Short.")
    qtbot.waitUntil(lambda: inside.minimumHeight() < wide)
