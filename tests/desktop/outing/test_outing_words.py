"""What the room says: margins, homecomings, steps, troubles."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest

from planner.desktop.outing import words
from planner.desktop.outing.evening import Lane
from planner.desktop.outing.showing import clock_of, lanes_of
from planner.desktop.outing.trial import Trial
from planner.domain.finding import Severity
from planner.domain.outing import Squeeze, StepKind
from planner.domain.travel import FigureSource
from planner.light import MoonState
from planner.usecases.evening.outing_view import Occasion
from tests.desktop.outing.sights import evening, sight


@pytest.mark.parametrize(
    ("minutes", "figure", "said"),
    [
        (27.0, "8 min", "8 minutes to spare before the window closes at 21:27"),
        (20.0, "1 min", "1 minute to spare before the window closes at 21:20"),
        (19.5, "0 min", "less than a minute to spare before the window closes at 21:19"),
    ],
)
def test_that_the_margin_is_said_in_whole_minutes_that_are_there(minutes: float, figure: str, said: str) -> None:
    of = sight(minutes=minutes)
    lane = evening(of).lanes[0]
    assert words.margin_figure(lane.outing.margin_minutes or 0.0) == figure
    assert words.margin_words(lane, clock_of(of)) == said


def test_that_a_margin_below_zero_counts_the_minutes_begun() -> None:
    of = sight(minutes=19.5, habitat=True)
    lane = evening(of, Trial(offset=3)).lanes[0]
    # Twenty minutes of waiting come after the habitat round: a late departure tells only then.
    assert lane.outing.margin_minutes == pytest.approx(0.5)
    late = evening(of, Trial(offset=24)).lanes[0]
    assert late.outing.margin_minutes == pytest.approx(-3.5)
    assert words.margin_figure(late.outing.margin_minutes or 0.0) == "−4 min"
    assert words.margin_words(late, clock_of(of)) == "4 minutes too late for the closing at 21:19"
    assert words.spare_words(-3.5) == "4 min too late"
    assert words.spare_words(0.5) == "under 1 min to spare"
    assert words.spare_words(7.9) == "7 min to spare"


def test_that_a_setup_day_says_how_it_lies_to_sunset() -> None:
    of = sight(Occasion.SETUP)
    sunset = of.sunset_utc
    assert sunset is not None
    outing = of.planned.outing
    clock = clock_of(of)
    assert words.margin_words(evening(of).lanes[0], clock) == ""
    assert words.home_words(outing, sunset, clock) == "home as the sun sets at 20:40"
    assert words.home_words(outing, sunset + dt.timedelta(minutes=1), clock) == "home 1 minute before sunset at 20:41"
    assert words.home_words(outing, sunset - dt.timedelta(minutes=5), clock) == "home 5 minutes after sunset at 20:35"
    assert words.home_words(outing, None, clock) == "the sun does not set that day"


def test_that_the_times_of_steps_follow_one_another_and_counts_keep_inside_the_window() -> None:
    for of in (sight(minutes=60.0), sight(two_passes=True), sight(Occasion.SETUP)):
        lane, clock = evening(of).lanes[0], clock_of(of)
        shown = [words.step_times(lane, step, clock) for step in lane.outing.steps]
        assert all(begin <= end for begin, end in shown)
        assert all(before[1] <= after[0] for before, after in pairwise(shown))


def test_that_every_step_is_said_with_its_place() -> None:
    of = sight(minutes=19.5, habitat=True)
    lane = evening(of, Trial(offset=24)).lanes[0]
    said = [words.step_words(lane, step) for step in lane.outing.steps]
    assert said[0] == f"drive from home to point {lane.outing.steps[0].point}"
    assert said[-1] == "drive home"
    late = lane.run.late_counts[0]
    assert words.step_words(lane, late) == f"count at point {late.point}, too late"
    twice = evening(sight(two_passes=True)).lanes[0]
    assert words.step_words(twice, twice.outing.of_kind(StepKind.COUNT)[-1]).endswith(", run 2")


def test_that_troubles_name_the_points_and_the_minutes_in_the_dark() -> None:
    of = sight(minutes=19.5, habitat=True)
    planned = evening(of).lanes[0]
    assert words.troubles(planned, planned) == ()
    tried = evening(of, Trial(offset=24)).lanes[0]
    (first, closed), (second, dark) = words.troubles(tried, planned)
    assert (first, second) == (Severity.BROKEN, Severity.TROUBLE)
    assert closed == f"The window has closed before the count ends at {words.points_words(tried.outing.missed)}."
    assert "lie in the dark" in dark
    exact = Lane("", replace(planned.run, late_start_minutes=1.5))
    assert words.troubles(exact, planned)[0][1].startswith("Counting begins 2 minutes after")
    lost = Lane("", replace(planned.run, outing=replace(planned.outing, missed=(3, 2))))
    assert words.troubles(lost, planned) == ((Severity.TROUBLE, "No count fits at points 2, 3."),)


def test_that_estimated_drives_say_how_far_they_may_be_off() -> None:
    lane = evening(sight()).lanes[0]
    by = {source: _driven(lane, source) for source in (FigureSource.ROAD, FigureSource.ESTIMATE)}
    assert words.estimate_words(by[FigureSource.ROAD]) == ""
    assert words.step_words(by[FigureSource.ROAD], by[FigureSource.ROAD].outing.steps[-1]) == "drive home"
    guessed = by[FigureSource.ESTIMATE]
    assert words.step_words(guessed, guessed.outing.steps[-1]) == "drive home, estimated"
    assert "35 % less than the estimate, or 100 % and 3 minutes more" in words.estimate_words(guessed)


def test_that_recorded_drives_say_so() -> None:
    lane = _driven(evening(sight()).lanes[0], FigureSource.MEASURED)
    drive = words.step_words(lane, lane.outing.steps[-1])
    assert drive == "drive home, as recorded drives of this route say"
    assert words.estimate_words(lane) == ""


def _driven(lane: Lane, source: FigureSource) -> Lane:
    """Return a way of spending an evening whose drives come from one source."""
    steps = tuple(
        step if step.leg is None else replace(step, leg=replace(step.leg, source=source)) for step in lane.outing.steps
    )
    return Lane(lane.name, replace(lane.run, outing=replace(lane.outing, steps=steps)))


def test_that_the_squeeze_says_minutes_and_points() -> None:
    assert "1.7 min for habitat at each point; points 9, 10 would fall out" in words.squeeze_words(
        Squeeze(1.7, (9, 10))
    )
    assert "every count would still fit" in words.squeeze_words(Squeeze(9.0, ()))
    assert words.squeeze_words(Squeeze(0.0, (1,))).startswith("Between the counts there is no time for habitat")


def test_that_the_summary_says_it_all() -> None:
    of = sight(minutes=19.5, habitat=True)
    said = words.summary(evening(of, Trial(offset=24)).lanes[0], clock_of(of))
    assert said.startswith("Leave home 20:")
    assert "Counted: points" in said
    assert "4 minutes too late for the closing at 21:19." in said
    assert "Not counted: point" in said
    both = sight(overcast=True)
    assert [lane.name for lane in lanes_of(both, both.planned)] == ["clear sky", "overcast sky, over 75 % cloud"]


def test_that_the_moon_is_said() -> None:
    said = words.moon_words(MoonState(12.4, 0.777), MoonState(-3.2, 0.779))
    assert said == "Moon 78 % lit, 12° as the window opens, -3° as it closes"


def test_that_who_goes_is_said() -> None:
    assert words.team_words(["Ann Lee"]) == "Ann Lee goes alone"
    assert words.team_words(["Ann Lee", "Bo Day"]) == "Ann Lee leads, with Bo Day"
