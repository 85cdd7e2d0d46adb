"""The large figures: what is to spare, when to leave and be back, how many points count."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import LIGHT
from planner.desktop.outing.figures import Figures
from planner.desktop.outing.trial import Trial
from planner.usecases.evening.outing_view import Occasion
from tests.desktop.outing.sights import evening, sight


@pytest.fixture
def figures(qtbot: QtBot) -> Figures:
    """Empty figures."""
    found = Figures(LIGHT)
    qtbot.addWidget(found)
    return found


def test_that_an_outing_as_planned_has_its_margin_and_its_times(figures: Figures) -> None:
    figures.show_evening(evening(sight()), 3, None)
    assert figures.margin.value.text() == "1 min"
    assert figures.margin.meaning.text() == "1 minute to spare before the window closes at 21:20"
    assert (figures.leave.value.text(), figures.leave.meaning.text()) == ("20:50", "latest departure from home")
    assert figures.due.value.text() == "21:33"
    assert figures.points.value.text() == "3 of 3"
    assert figures.points.mark.isHidden()
    assert figures.note.isHidden()


def test_that_a_late_outing_has_marks_and_names_its_lost_points(figures: Figures) -> None:
    figures.show_evening(evening(sight(), Trial(offset=3)), 3, None)
    assert figures.margin.value.text() == "−2 min"
    assert figures.points.value.text() == "2 of 3"
    assert figures.points.meaning.text().endswith("not counted")
    assert not figures.points.mark.isHidden()
    assert figures.leave.meaning.text() == "leave home, tried out"


def test_that_where_the_sky_decides_the_earlier_departure_and_the_later_return_are_told(figures: Figures) -> None:
    figures.show_evening(evening(sight(overcast=True)), 3, None, "A note.")
    assert figures.leave.value.text() == "20:40"
    assert figures.due.value.text() == "21:33"
    assert figures.note.text().splitlines() == [
        "A note.",
        "Clear sky: leave home 20:50, 1 minute to spare before the window closes at 21:20.",
        "Overcast sky, over 75 % cloud: leave home 20:40, 1 minute to spare before the window closes at 21:10.",
    ]


def test_that_a_setup_day_is_held_against_sunset(figures: Figures) -> None:
    of = sight(Occasion.SETUP)
    figures.show_evening(evening(of), 3, of.sunset_utc)
    assert figures.margin.value.text() == "0 min"
    assert figures.margin.meaning.text() == "Home as the sun sets at 20:40"
    assert figures.points.isHidden()
    figures.show_evening(evening(of, Trial(offset=15)), 3, of.sunset_utc)
    assert figures.margin.value.text() == "−15 min"
    assert figures.margin.meaning.text() == "Home 15 minutes after sunset at 20:40"
    figures.show_evening(evening(of), 3, None)
    assert figures.margin.meaning.text() == "The sun does not set that day"
