"""Dates are given and taken back cell by cell or by a rule; nothing else changes, and it is one step."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from planner.usecases.people.giving_dates import (
    DatesRule,
    cells_words,
    give_dates,
    given_cells,
    given_days,
    parts_used,
    with_cells,
)
from planner.usecases.season.history import undo

pytestmark = pytest.mark.xdist_group("reedhaven")

DATES = DateRange(dt.date(2027, 5, 3), dt.date(2027, 7, 2))
DUSK = frozenset({PartOfDay.DUSK})
AROUND = DateRange(dt.date(2027, 4, 1), dt.date(2027, 8, 31))

cells = st.frozensets(st.tuples(st.sampled_from(list(DATES)), st.sampled_from(PartOfDay)), max_size=40)
lines = st.lists(
    st.builds(
        lambda first, days, parts, weekdays: Availability(
            DateRange(AROUND.first + dt.timedelta(first), AROUND.first + dt.timedelta(first + days)), parts, weekdays
        ),
        st.integers(0, 100),
        st.integers(0, 50),
        st.frozensets(st.sampled_from(PartOfDay)),
        st.frozensets(st.integers(0, 6), min_size=1),
    ),
    max_size=4,
)


def _person(*availability: Availability) -> Volunteer:
    return Volunteer("V01", "Ann Example", Place(50, 1), availability=availability)


@given(lines, cells, st.booleans())
def test_that_just_those_cells_are_given_or_taken_and_every_other_date_stays(
    written: list[Availability], painted: frozenset[tuple[dt.date, PartOfDay]], give: bool
) -> None:
    person = _person(*written)
    after = with_cells(person, DATES, painted, give=give)
    before_cells, after_cells = given_cells(person, AROUND), given_cells(after, AROUND)
    assert after_cells == (before_cells | painted if give else before_cells - painted)


@given(lines)
def test_that_the_table_of_days_given_says_what_each_date_says(written: list[Availability]) -> None:
    person = _person(*written)
    table = given_days(person, DATES)
    found = {(day, part) for part, days in table.items() for day, on in zip(DATES, days, strict=True) if on}
    assert found == given_cells(person, DATES)


def test_that_a_cell_outside_the_season_is_left_alone() -> None:
    outside = (dt.date(2027, 8, 1), PartOfDay.DUSK)
    assert with_cells(_person(), DATES, [outside], give=True) == _person()


def test_that_the_ends_of_the_season_are_taken_back_while_the_days_beside_them_stay() -> None:
    person = _person(Availability(AROUND, DUSK))
    ends = [(day, PartOfDay.DUSK) for day in (DATES.first, DATES.last)]
    after = with_cells(person, DATES, ends, give=False)
    assert given_cells(after, AROUND) == given_cells(person, AROUND) - set(ends)
    after = with_cells(person, DATES, given_cells(person, DATES), give=False)
    assert given_cells(after, AROUND) == given_cells(person, AROUND) - given_cells(person, DATES)


def test_that_a_date_given_already_changes_no_line() -> None:
    person = _person(Availability(AROUND, DUSK, frozenset({1})), Availability(DATES, DUSK, frozenset({1})))
    assert with_cells(person, DATES, [(dt.date(2027, 5, 4), PartOfDay.DUSK)], give=True) is person


def test_that_giving_is_one_step_told_in_words_and_undone_in_one(reedhaven: SeasonFile) -> None:
    before = reedhaven.season().volunteer("V03")
    free = [day for day in reedhaven.season().dates if not before.parts_on(day)][:3]
    given_now = give_dates(reedhaven, "V03", [(day, PartOfDay.DAWN) for day in free], give=True)
    assert given_now.label == reedhaven.history()[-1].label == "V03 gives 3 mornings"
    assert given_now.cells == {(day, PartOfDay.DAWN) for day in free}
    assert all(PartOfDay.DAWN in reedhaven.season().volunteer("V03").parts_on(day) for day in free)
    undo(reedhaven)
    assert reedhaven.season().volunteer("V03") == before


def test_that_taking_back_says_so_and_takes_just_that_part(reedhaven: SeasonFile) -> None:
    day = next(iter(reedhaven.season().dates))
    taken = give_dates(reedhaven, "V02", [(day, PartOfDay.DAWN), (day, PartOfDay.DUSK)], give=False)
    assert taken.label == "V02 takes back 1 morning"
    assert reedhaven.season().volunteer("V02").parts_on(day) == {PartOfDay.DAYLIGHT}


def test_that_giving_what_is_given_leaves_no_step(reedhaven: SeasonFile) -> None:
    steps = len(reedhaven.history())
    day = next(iter(reedhaven.season().dates))
    assert give_dates(reedhaven, "V02", [(day, PartOfDay.DAWN)], give=True).label == ""
    assert len(reedhaven.history()) == steps


def test_that_dates_of_somebody_who_is_not_there_are_refused(reedhaven: SeasonFile) -> None:
    with pytest.raises(RuleError, match="no volunteer 'V99'"):
        give_dates(reedhaven, "V99", [], give=True)


def test_that_a_rule_names_just_its_weekdays_dates_and_parts(reedhaven: SeasonFile) -> None:
    rule = DatesRule(DateRange(dt.date(2027, 9, 1), dt.date(2027, 9, 28)), frozenset({PartOfDay.DAWN}), frozenset({1}))
    season = reedhaven.season()
    tuesdays = [dt.date(2027, 9, 14), dt.date(2027, 9, 21), dt.date(2027, 9, 28)]
    assert rule.cells(season) == {(day, PartOfDay.DAWN) for day in tuesdays}


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (DatesRule(DATES, DUSK, frozenset({1})), "every Tuesday evening, Mon 3 May to Fri 2 Jul"),
        (
            DatesRule(DateRange(DATES.first, dt.date(2027, 5, 9)), frozenset({PartOfDay.DUSK, PartOfDay.DAYLIGHT})),
            "every daytime and evening, Mon 3 May to Sun 9 May",
        ),
        (
            DatesRule(DATES, DUSK, frozenset({0, 2, 4})),
            "every Monday, Wednesday and Friday evening, Mon 3 May to Fri 2 Jul",
        ),
        (DatesRule(DateRange(DATES.first, DATES.first), DUSK), "evening of Mon 3 May"),
    ],
)
def test_that_a_rule_is_said_as_a_person_says_it(rule: DatesRule, words: str) -> None:
    assert rule.words == words


def test_that_a_rule_without_part_or_weekday_is_refused() -> None:
    with pytest.raises(RuleError, match="part of the day"):
        DatesRule(DATES, frozenset())
    with pytest.raises(RuleError, match="weekday"):
        DatesRule(DATES, DUSK, frozenset())
    with pytest.raises(RuleError, match="weekday"):
        DatesRule(DATES, DUSK, frozenset({7}))


def test_that_only_the_parts_that_a_protocol_asks_for_are_used() -> None:
    assert parts_used(shipped_protocol("heath_nightjars")) == (PartOfDay.DAYLIGHT, PartOfDay.DUSK)
    assert parts_used(shipped_protocol("dawn_marsh_birds_demo")) == (PartOfDay.DAWN,)


def test_that_cells_are_counted_by_part_through_the_day() -> None:
    first, second = list(DATES)[:2]
    both = [(first, PartOfDay.DUSK), (second, PartOfDay.DUSK), (first, PartOfDay.DAYLIGHT)]
    assert cells_words(both) == "1 day and 2 evenings"
    assert cells_words([]) == "no date"
