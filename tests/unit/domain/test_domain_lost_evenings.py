"""Chances of lost evenings: what they may be, and what records of past evenings say of them."""

from __future__ import annotations

import datetime as dt
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.evening_records import WEIGHT_OF_ALL, estimated
from planner.domain.lost_evenings import (
    HALF_MONTHS,
    USUAL_PERSISTENCE,
    LostEvenings,
    half_month,
    half_month_name,
    half_months_of,
)

EARLY_MAY, LATE_MAY, EARLY_JUNE = 8, 9, 10


def may(day: int, year: int = 2026) -> dt.date:
    return dt.date(year, 5, day)


def test_that_a_half_month_ends_with_day_15_and_with_the_month() -> None:
    assert [half_month(day) for day in (may(1), may(15), may(16), may(31))] == [EARLY_MAY] * 2 + [LATE_MAY] * 2
    assert half_month(dt.date(2027, 1, 1)) == 0
    assert half_month(dt.date(2027, 12, 31)) == HALF_MONTHS - 1
    assert [half_month_name(number) for number in (0, EARLY_MAY, LATE_MAY, 23)] == [
        "early January",
        "early May",
        "late May",
        "late December",
    ]


def test_that_half_months_come_in_the_order_of_the_dates_over_new_year() -> None:
    assert list(half_months_of(DateRange(dt.date(2027, 12, 20), dt.date(2028, 1, 16)))) == [23, 0, 1]


def test_that_chances_are_those_of_the_dates_half_month_and_said_so() -> None:
    weather = LostEvenings(tuple(number / 100 for number in range(HALF_MONTHS)), 0.25)
    assert weather.chance_on(may(15)) == 0.08
    assert weather.chance_on(may(16)) == 0.09
    assert weather.said_for(DateRange(may(3), dt.date(2026, 6, 2))) == (
        "8 % to 10 % of the evenings lost, persistence 25 %"
    )
    assert weather.said_for(DateRange(may(3), may(4))) == "8 % of the evenings lost, persistence 25 %"


@pytest.mark.parametrize(
    ("chances", "persistence", "words"),
    [
        ((0.5,) * 23, 0.5, "24 half-months"),
        ((*(0.5,) * 8, 1.01, *(0.5,) * 15), 0.5, "early May"),
        ((*(0.5,) * 23, -0.1), 0.5, "late December"),
        ((float("nan"), *(0.5,) * 23), 0.5, "early January"),
        ((0.5,) * 24, 1.5, "persistence"),
        ((0.5,) * 24, float("inf"), "persistence"),
    ],
)
def test_that_what_is_no_chance_is_refused(chances: tuple[float, ...], persistence: float, words: str) -> None:
    with pytest.raises(RuleError, match=words):
        LostEvenings(chances, persistence)


def test_that_an_estimate_draws_each_half_month_towards_all_evenings() -> None:
    # Early May: 4 of 10 lost; late May: 0 of 5. All: (4 + 0.5) / 16 = 0.28125. Early May: (4 + 10 * 0.28125) / 20.
    records = [(may(day), day <= 4) for day in range(1, 11)] + [(may(day), False) for day in range(16, 21)]
    found = estimated(records)
    assert WEIGHT_OF_ALL == 10
    assert found.chances[EARLY_MAY] == pytest.approx(0.340625)
    assert found.chances[LATE_MAY] == pytest.approx(2.8125 / 15)
    assert found.chances[EARLY_JUNE] == pytest.approx(0.28125)


def test_that_persistence_is_fitted_over_consecutive_dates_and_drawn_towards_the_usual() -> None:
    # Two evenings of one pair, both lost: share of all (2 + 0.5) / 3 = 5/6, early May (2 + 10 * 5/6) / 12 = 31/36.
    # Off by 5/36 each; ten usual pairs of variance 5/36: (10 * 5/36 * 0.4 + (5/36)^2) / (10 * 5/36 + (5/36)^2).
    found = estimated([(may(2), True), (may(1), True)])
    assert found.persistence == pytest.approx((4.0 + 5 / 36) / (10.0 + 5 / 36))
    # Lost, then good, and a good one apart: share of all 1.5 / 4, early May (1 + 3.75) / 13 = c, variance 0.234375.
    c = 4.75 / 13
    turned = estimated([(may(1), True), (may(2), False), (may(10), False)])
    assert turned.persistence == pytest.approx((0.9375 - (1 - c) * c) / (2.34375 + (1 - c) ** 2))
    apart = estimated([(may(1), True), (may(3), True), (may(2, 2025), True)])
    assert apart.persistence == pytest.approx(USUAL_PERSISTENCE)


def test_that_weather_that_turns_every_day_has_no_persistence() -> None:
    assert estimated([(may(day), day % 2 == 0) for day in range(1, 32)]).persistence == 0.0


def test_that_no_records_or_a_date_twice_are_refused() -> None:
    with pytest.raises(RuleError, match="nothing to estimate"):
        estimated([])
    with pytest.raises(RuleError, match="twice"):
        estimated([(may(1), True), (may(1), True)])


@given(st.dictionaries(st.dates(), st.booleans(), min_size=1, max_size=80))
def test_that_any_records_give_chances_above_0_and_below_1(records: dict[dt.date, bool]) -> None:
    found = estimated(list(records.items()))
    assert all(0.0 < chance < 1.0 for chance in found.chances)
    assert 0.0 <= found.persistence <= 1.0


def test_that_many_records_of_a_known_chain_give_it_back() -> None:
    # 60 years of a chain with p 0.25 in the first half of each month, 0.45 in the second, and persistence 0.5.
    rng = random.Random(7)
    records, lost = [], False
    for number in range(60 * 365):
        day = dt.date(1960, 1, 1) + dt.timedelta(days=number)
        chance = 0.25 if day.day <= 15 else 0.45
        lost = rng.random() < (chance + 0.5 * (1 - chance) if lost else chance * 0.5)
        records.append((day, lost))
    found = estimated(records)
    # The first evenings of a half-month remember the one before: about a day's worth of the difference of 0.2.
    assert found.chances[EARLY_MAY] == pytest.approx(0.25, abs=0.05)
    assert found.chances[LATE_MAY] == pytest.approx(0.45, abs=0.05)
    assert found.persistence == pytest.approx(0.5, abs=0.02)
