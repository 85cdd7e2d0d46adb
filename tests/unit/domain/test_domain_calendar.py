from __future__ import annotations

import datetime as dt
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange, MonthDay, YearlyRange
from planner.domain.errors import RuleError

dates = st.dates(dt.date(2020, 1, 1), dt.date(2030, 12, 31))
ranges = st.tuples(dates, st.integers(0, 400)).map(
    lambda pair: DateRange(pair[0], pair[0] + dt.timedelta(days=pair[1]))
)


@given(ranges, dates)
def test_that_a_range_holds_exactly_the_dates_it_runs_through(dates_given: DateRange, day: dt.date) -> None:
    through = list(dates_given)
    assert (day in dates_given) == (day in through)
    assert len(dates_given) == len(through)
    assert (through[0], through[-1]) == (dates_given.first, dates_given.last)
    assert all(later - earlier == dt.timedelta(days=1) for earlier, later in itertools.pairwise(through))


def test_that_a_reversed_range_is_refused() -> None:
    with pytest.raises(RuleError, match="2027-05-02 comes after 2027-05-01; swap them"):
        DateRange(dt.date(2027, 5, 2), dt.date(2027, 5, 1))


def test_that_one_day_is_a_range_and_is_said_with_both_ends() -> None:
    day = DateRange(dt.date(2027, 5, 1), dt.date(2027, 5, 1))
    assert len(day) == 1
    assert str(day) == "2027-05-01 to 2027-05-01"


def test_that_a_range_runs_over_29_february() -> None:
    assert len(DateRange(dt.date(2028, 2, 28), dt.date(2028, 3, 1))) == 3
    assert len(DateRange(dt.date(2027, 2, 28), dt.date(2027, 3, 1))) == 2


@pytest.mark.parametrize(("month", "day"), [(2, 29), (2, 30), (4, 31), (0, 1), (13, 1), (1, 0), (1, 32)])
def test_that_a_day_is_one_of_every_year(month: int, day: int) -> None:
    with pytest.raises(RuleError, match="no such day in every year"):
        MonthDay(month, day)


@given(st.dates(dt.date(2001, 1, 1), dt.date(2001, 12, 31)), st.integers(1900, 2100))
def test_that_a_day_of_the_year_is_read_as_it_is_said_and_found_in_any_year(date: dt.date, year: int) -> None:
    day = MonthDay(date.month, date.day)
    assert MonthDay.parse(str(day)) == day
    assert day.in_year(year) == date.replace(year=year)


@pytest.mark.parametrize("text", ["", "0515", "5/15", "05-", "-15", "May-15", "05-15-27", "02-29"])
def test_that_other_forms_of_a_day_are_refused(text: str) -> None:
    with pytest.raises(RuleError):
        MonthDay.parse(text)


def test_that_yearly_dates_begin_in_the_year_asked_for() -> None:
    spring = YearlyRange(MonthDay(5, 15), MonthDay(6, 7))
    assert spring.starting_in(2027) == DateRange(dt.date(2027, 5, 15), dt.date(2027, 6, 7))


def test_that_yearly_dates_may_cross_new_year() -> None:
    winter = YearlyRange(MonthDay(12, 20), MonthDay(1, 10))
    assert winter.starting_in(2027) == DateRange(dt.date(2027, 12, 20), dt.date(2028, 1, 10))


def test_that_yearly_dates_of_one_day_do_not_take_a_year() -> None:
    assert len(YearlyRange(MonthDay(6, 1), MonthDay(6, 1)).starting_in(2027)) == 1
