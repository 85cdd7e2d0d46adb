from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay

MAY = DateRange(dt.date(2027, 5, 1), dt.date(2027, 5, 31))
HOME = Place(51.0, -3.0)
DUSK = frozenset({PartOfDay.DUSK})
DAWN = frozenset({PartOfDay.DAWN})

may_days = st.integers(1, 31).map(lambda day: dt.date(2027, 5, day))
lines = st.builds(
    Availability,
    st.tuples(may_days, may_days).map(lambda pair: DateRange(min(pair), max(pair))),
    st.frozensets(st.sampled_from(PartOfDay)),
    st.frozensets(st.integers(0, 6), min_size=1),
)


def ada(*availability: Availability) -> Volunteer:
    return Volunteer("V1", "Ada Fenwright", HOME, availability=availability)


def test_that_a_later_line_wins_and_one_without_parts_takes_dates_away() -> None:
    ada_may = ada(
        Availability(MAY, DUSK | DAWN),
        Availability(DateRange(dt.date(2027, 5, 10), dt.date(2027, 5, 20)), frozenset()),
        Availability(DateRange(dt.date(2027, 5, 15), dt.date(2027, 5, 15)), DUSK),
    )
    assert ada_may.parts_on(dt.date(2027, 5, 9)) == DUSK | DAWN
    assert ada_may.parts_on(dt.date(2027, 5, 10)) == frozenset()
    assert ada_may.parts_on(dt.date(2027, 5, 15)) == DUSK
    assert ada_may.parts_on(dt.date(2027, 6, 1)) == frozenset()


@given(st.lists(lines, max_size=6), may_days)
def test_that_the_last_line_that_speaks_of_a_date_decides_it(given_lines: list[Availability], day: dt.date) -> None:
    speaking = [
        line
        for line in given_lines
        if line.dates.first <= day <= line.dates.last and (day.isoweekday() - 1) in line.weekdays
    ]
    assert ada(*given_lines).parts_on(day) == (speaking[-1].parts if speaking else frozenset())


@given(st.lists(lines, max_size=4), lines)
def test_that_a_line_put_last_decides_every_date_it_covers_and_no_other(
    before: list[Availability], last: Availability
) -> None:
    for day in MAY:
        expected = last.parts if last.covers(day) else ada(*before).parts_on(day)
        assert ada(*before, last).parts_on(day) == expected


@given(st.lists(lines, max_size=4), st.sampled_from(PartOfDay))
def test_that_the_dates_for_a_part_are_those_that_are_given_for_it(
    given_lines: list[Availability], part: PartOfDay
) -> None:
    volunteer = ada(*given_lines)
    given_dates = set(volunteer.dates_for(part, MAY))
    assert all((part in volunteer.parts_on(day)) == (day in given_dates) for day in MAY)


def test_that_weekdays_count_from_monday() -> None:
    mondays = Availability(MAY, DUSK, frozenset({0}))
    assert [day.day for day in MAY if mondays.covers(day)] == [3, 10, 17, 24, 31]  # printed calendars of May 2027


@pytest.mark.parametrize("weekdays", [set(), {7}, {-1}])
def test_that_weekdays_run_from_monday_to_sunday(weekdays: set[int]) -> None:
    with pytest.raises(RuleError, match="weekdays"):
        Availability(MAY, DUSK, frozenset(weekdays))


@pytest.mark.parametrize(("code", "name"), [("", "Ada"), ("  ", "Ada"), ("V1", ""), ("V1", " ")])
def test_that_a_volunteer_has_a_code_and_a_name(code: str, name: str) -> None:
    with pytest.raises(RuleError, match="a code and a name"):
        Volunteer(code, name, HOME)


def test_that_limits_are_possible() -> None:
    with pytest.raises(RuleError, match="drive limit must be above 0"):
        Volunteer("V1", "Ada", HOME, drive_limit_minutes=0)
    with pytest.raises(RuleError, match="visits limit must not be negative"):
        Volunteer("V1", "Ada", HOME, visits_limit=-1)
    assert Volunteer("V1", "Ada", HOME, visits_limit=0).visits_limit == 0


@pytest.mark.parametrize("name", ["Ada Lovage", "Dr Ada Lovage", "Prof. Dr. Ada Lovage", "Lovage, Ada", "Ada", "Ada,"])
def test_that_a_partner_is_shown_the_first_name_only(name: str) -> None:
    assert replace(ada(), name=name).first_name.rstrip(",") == "Ada"


def test_that_a_name_of_titles_alone_is_shown_as_it_is() -> None:
    assert replace(ada(), name="Dr Miss").first_name == "Dr"


def test_that_training_and_vehicle_are_what_a_route_asks_for() -> None:
    volunteer = Volunteer("V1", "Ada", HOME, training=frozenset({"calls"}), vehicle="4x4")
    assert volunteer.abilities == {"calls", "4x4"}
