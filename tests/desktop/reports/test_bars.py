"""Bars as they are painted: to scale, in words for whoever cannot see them, and told apart without colour."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import Colours
from planner.desktop.reports import fills
from planner.desktop.reports.bars import Bar, Bars, Part, Plot, Row
from planner.desktop.reports.fills import Fill, class_fill


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 1.0])
def test_that_a_part_is_as_wide_as_its_share_of_the_room(share: float, colours: Colours, qtbot: QtBot) -> None:
    bars = Bars("plot", colours)
    qtbot.addWidget(bars)
    bars.show_plot(Plot((Row("", (Bar((Part(share, Fill("good")),), ""),)),)))
    bars.resize(418, bars.heightForWidth(418))
    image = bars.grab().toImage()
    ratio = image.devicePixelRatio()
    middle = round((8 + 9) * ratio)
    good = QColor(colours.good)
    wide = sum(image.pixelColor(x, middle) == good for x in range(image.width())) / ratio
    # 10 px before the bar and 8 after it stay free.
    assert wide == pytest.approx(share * 400, abs=3)


def test_that_a_small_part_is_still_seen(colours: Colours, qtbot: QtBot) -> None:
    bars = Bars("plot", colours)
    qtbot.addWidget(bars)
    bars.show_plot(Plot((Row("", (Bar((Part(0.0001, Fill("broken")),), ""),)),)))
    bars.resize(400, bars.heightForWidth(400))
    image = bars.grab().toImage()
    found = {image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())}
    assert QColor(colours.broken).name() in found


def test_that_rows_and_legend_have_the_height_they_need(colours: Colours, qtbot: QtBot) -> None:
    bars = Bars("plot", colours)
    qtbot.addWidget(bars)
    row = Row("R01", (Bar((), "1", "1"), Bar((), "2", "2")))
    legend = tuple((f"class of ground {number}", class_fill(number)) for number in range(6))
    bars.show_plot(Plot((row,), legend))
    one = bars.heightForWidth(900)
    bars.show_plot(Plot((row, row), legend))
    assert bars.heightForWidth(900) - one >= 2 * bars.fontMetrics().height()
    assert bars.heightForWidth(320) > bars.heightForWidth(900)
    assert bars.accessibleDescription() == "R01 1 1; R01 2 2; R01 1 1; R01 2 2"


def test_that_no_two_states_share_a_pattern_and_a_colour_and_neighbours_differ_in_pattern() -> None:
    states = list(fills.STATES.values())
    assert all(one != other for one, other in combinations(states, 2))
    assert all(one.pattern is not other.pattern for one, other in pairwise(states))


def test_that_neighbouring_classes_differ_round_the_end_too() -> None:
    some = [class_fill(number) for number in range(30)]
    assert all(one != other for one, other in pairwise(some))
    assert len({(one.colour, one.pattern) for one in some}) == 12
