"""Painted dates become few lines that say the same of every date, and read as a person would write them."""

from __future__ import annotations

import csv
import datetime as dt
from itertools import groupby
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.geo import Place
from planner.domain.volunteer import WEEKDAYS, Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.shipped import demo_routes
from planner.usecases.people.availability_lines import Parts, lines_of

START = dt.date(2027, 5, 3)
DUSK = frozenset({PartOfDay.DUSK})
BOTH = frozenset({PartOfDay.DUSK, PartOfDay.DAYLIGHT})

some_parts = st.frozensets(st.sampled_from(PartOfDay))


def _dates(days: int) -> DateRange:
    return DateRange(START, START + dt.timedelta(days=days - 1))


def _says(lines: tuple[Availability, ...], dates: DateRange) -> list[Parts]:
    person = Volunteer("V01", "Ann Example", Place(50, 1), availability=lines)
    return [person.parts_on(day) for day in dates]


@st.composite
def _written_lines(draw: st.DrawFn) -> tuple[Availability, ...]:
    """Draw what a coordinator may have written for 70 days."""
    lines = []
    for _ in range(draw(st.integers(0, 5))):
        ends = sorted((draw(st.integers(0, 69)), draw(st.integers(0, 69))))
        first, last = (START + dt.timedelta(days=end) for end in ends)
        weekdays = draw(st.frozensets(st.integers(0, 6), min_size=1))
        lines.append(Availability(DateRange(first, last), draw(some_parts), weekdays))
    return tuple(lines)


@given(st.lists(some_parts, min_size=1, max_size=70))
def test_that_the_lines_say_the_same_of_every_date(days: list[Parts]) -> None:
    dates = _dates(len(days))
    assert _says(lines_of(dict(zip(dates, days, strict=True)), dates), dates) == days


@given(_written_lines())
def test_that_lines_made_anew_say_what_the_old_ones_said(lines: tuple[Availability, ...]) -> None:
    dates = _dates(70)
    before = _says(lines, dates)
    assert _says(lines_of(dict(zip(dates, before, strict=True)), dates), dates) == before


@given(st.lists(st.sampled_from([frozenset[PartOfDay](), DUSK, BOTH]), min_size=1, max_size=70))
def test_that_there_are_never_more_lines_than_runs_of_like_days(days: list[Parts]) -> None:
    dates = _dates(len(days))
    runs = sum(1 for parts, _ in groupby(days) if parts)
    assert len(lines_of(dict(zip(dates, days, strict=True)), dates)) <= runs


def _demo_lines() -> dict[str, tuple[Availability, ...]]:
    """The demo's table, read here without the program's own reader."""
    found: dict[str, tuple[Availability, ...]] = {}
    with (Path(demo_routes()) / "heath" / "availability.csv").open(encoding="utf-8") as table:
        for row in csv.DictReader(table):
            span = DateRange(dt.date.fromisoformat(row["from"]), dt.date.fromisoformat(row["to"]))
            weekdays = frozenset(WEEKDAYS.index(day) for day in row["weekdays"].split()) or frozenset(range(7))
            parts = frozenset(PartOfDay(part) for part in row["parts"].split() if part != "none")
            found[row["volunteer"]] = (*found.get(row["volunteer"], ()), Availability(span, parts, weekdays))
    return found


@pytest.mark.parametrize(("code", "written"), _demo_lines().items(), ids=list(_demo_lines()))
def test_that_the_demo_needs_no_more_lines_than_were_written_by_hand(
    code: str, written: tuple[Availability, ...]
) -> None:
    dates = _dates(61)
    before = _says(written, dates)
    made = lines_of(dict(zip(dates, before, strict=True)), dates)
    assert _says(made, dates) == before, code
    assert len(made) <= len(written)


def test_that_a_weekly_pattern_with_a_holiday_reads_as_one_would_say_it() -> None:
    dates = _dates(61)
    away = DateRange(dt.date(2027, 5, 24), dt.date(2027, 5, 30))
    days = {day: DUSK for day in dates if day.weekday() in (1, 3) and day not in away}
    assert lines_of(days, dates) == (
        Availability(dates, DUSK, frozenset({1, 3})),
        Availability(DateRange(dt.date(2027, 5, 25), dt.date(2027, 5, 27)), frozenset()),
    )


def test_that_single_dates_are_lines_of_their_own() -> None:
    dates = _dates(61)
    days = [dt.date(2027, 5, 12), dt.date(2027, 6, 20)]
    assert lines_of(dict.fromkeys(days, DUSK), dates) == tuple(Availability(DateRange(day, day), DUSK) for day in days)


def test_that_nothing_given_needs_no_line() -> None:
    assert lines_of({}, _dates(61)) == ()
