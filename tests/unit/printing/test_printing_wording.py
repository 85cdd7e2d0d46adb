"""What the paper says, sentence by sentence."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from planner.domain.counting import CountRule, Segment, SegmentKind
from planner.domain.habitat import HabitatRule
from planner.domain.measures import Length
from planner.domain.outing import Squeeze
from planner.printing import wording
from planner.printing.times import LocalClock
from planner.printing.timetable import Pause
from tests.golden.itineraries import CLASSES, past_midnight, southern_dawn, ten_points


def test_that_the_squeeze_says_the_minutes_and_the_points_that_would_fall_out() -> None:
    assert wording.squeeze_sentence(Squeeze(1.24, (9, 10))) == (
        "Habitat between the counts would leave 1.2 minutes at each point, and points 9 and 10 would fall out:"
        " do the habitat round first."
    )


def test_when_there_would_be_less_than_no_time_the_squeeze_says_none() -> None:
    assert "would leave no time at all at each point, and point 5 would fall out" in wording.squeeze_sentence(
        Squeeze(-2.0, (5,))
    )


def test_when_no_point_would_be_lost_nobody_is_told_that_one_would() -> None:
    sentence = wording.squeeze_sentence(Squeeze(9.0, ()))
    assert "fall out" not in sentence
    assert "9.0 minutes" in sentence


@pytest.mark.parametrize(
    ("missed", "begin", "end"),
    [
        ((14, 15), "Points 14 and 15 do not fit", "about them."),
        ((7,), "Point 7 does not fit", "about it."),
        ((1, 2, 3), "Points 1, 2 and 3 do not fit", "about them."),
    ],
)
def test_that_missed_points_are_named(missed: tuple[int, ...], begin: str, end: str) -> None:
    sentence = wording.missed_sentence(missed)
    assert sentence.startswith(begin)
    assert sentence.endswith(end)


def test_that_what_an_outing_is_for_is_said_in_the_words_of_the_survey() -> None:
    setup, first, _ = ten_points().days
    assert [wording.what(day) for day in (setup, first, replace(first, setup=True))] == [
        "Set-up",
        "Visit 1",
        "Set-up and visit 1",
    ]


def test_that_everybody_knows_with_whom_they_go() -> None:
    setup, first, _ = ten_points().days
    assert wording.company(first) == "You lead, with Barnaby 07700 900527"
    assert wording.company(setup) == "You go alone"
    assert wording.company(past_midnight().days[0]) == "You lead, alone"
    assert wording.company(southern_dawn().days[0]) == "You are the second, with Wren 07700 900333"


def test_that_a_partner_without_a_number_leaves_no_gap() -> None:
    _, first, _ = ten_points().days
    assert first.partner is not None
    assert wording.company(replace(first, partner=replace(first.partner, telephone=""))) == "You lead, with Barnaby"


def test_that_a_lacking_reserve_date_is_said_and_a_set_up_has_none() -> None:
    setup, first, _ = ten_points().days
    assert wording.reserve_words(first) == "Reserve: Fri 11 June"
    assert wording.reserve_words(replace(first, reserve=None)) == "No reserve date"
    assert wording.reserve_words(setup) == ""


def test_that_a_count_is_described_part_by_part() -> None:
    rule = CountRule(
        (
            Segment("listening", 5.0),
            Segment("owl call", 0.5, SegmentKind.BROADCAST),
            Segment("silence", 0.5, SegmentKind.SILENCE),
        ),
        settle_minutes=2.0,
        noise_extension_minutes=2.0,
    )
    assert wording.count_sentence(rule) == (
        "Each count, 8 min in all: 2 min to settle, 5 min listening, 0.5 min owl call (broadcast), 0.5 min silence."
        " Noise stops the clock: up to 2 min longer."
    )


@pytest.mark.parametrize(
    ("radius", "words"),
    [
        (Length(200, "m"), "Within 200 m, about 2 pole spans of 100 m"),
        (Length(0.25, "mi"), "Within 402 m (0.25 mi), about 4 pole spans of 100 m"),
        (Length(1.25, "km"), "Within 1 250 m (1.25 km), about 12 pole spans of 100 m"),
        (Length(150, "m"), "Within 150 m, about 1.5 pole spans of 100 m"),
    ],
)
def test_that_the_radius_is_given_in_metres_and_in_spans(radius: Length, words: str) -> None:
    assert wording.radius_words(HabitatRule(radius, 10, 8.0, CLASSES)) == words


def test_that_a_wait_names_the_window_only_where_it_is_the_reason() -> None:
    clock = LocalClock(ZoneInfo("UTC"), dt.date(2027, 6, 8))
    begin = dt.datetime(2027, 6, 8, 21, 10, tzinfo=dt.UTC)
    opens = begin + dt.timedelta(minutes=29)
    pause = Pause(1, (begin, opens))
    assert wording.pause_sentence(pause, clock, opens) == "Wait at point 1 from 21:10 until the window opens at 21:39."
    assert wording.pause_sentence(pause, clock, None) == "Wait at point 1 from 21:10 to 21:39."


def test_that_estimated_drives_are_warned_of() -> None:
    said = wording.drive_sentence(past_midnight().days[0])
    assert "estimated without roads; the minutes here are the estimate and 70 % more." in said
    assert "The truth may be 35 % less than the estimate, or 100 % and 3 minutes more" in said
    recorded = wording.drive_sentence(replace(past_midnight().days[0], recorded_drives=True))
    assert "follow recorded drives" in recorded
    assert "%" not in recorded, "the band of unmeasured estimates is not theirs"
    assert "estimated" not in wording.drive_sentence(ten_points().days[0])


def test_that_the_reserve_date_is_spoken_of_only_where_there_is_one() -> None:
    assert "reserve date" in " ".join(wording.weather_advice(ten_points()))
    assert "reserve date" not in " ".join(wording.weather_advice(past_midnight()))
    nameless = replace(ten_points(), coordinator=replace(ten_points().coordinator, name=""))
    assert "In doubt ring the coordinator" in " ".join(wording.weather_advice(nameless))
