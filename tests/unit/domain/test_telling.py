"""Revisions of what people are told: whoever takes every file, or only some, ends with what stands and no doubles."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.field.telling import News, last_news, news_of, told_next
from planner.domain.field.told import Told, ToldKey, ToldKind

START = dt.datetime(2027, 4, 1, 9, 0, tzinfo=dt.UTC)
KEYS = [ToldKey("V01", route, visit, kind) for route in ("R1", "R2") for visit in (1, 2) for kind in ToldKind]
STANDING = st.dictionaries(st.sampled_from(KEYS), st.sampled_from(["a", "b", "c"]), max_size=6)


def at(number: int) -> dt.datetime:
    return START + dt.timedelta(days=number)


def shown(taken: dict[ToldKey, Told]) -> dict[ToldKey, str]:
    return {key: one.content for key, one in taken.items() if not one.cancelled}


@given(st.lists(st.tuples(STANDING, st.booleans()), min_size=1, max_size=8))
def test_that_whoever_takes_the_last_file_has_what_stands_whichever_they_missed(
    rounds: list[tuple[dict[ToldKey, str], bool]],
) -> None:
    log: tuple[Told, ...] = ()
    calendar: dict[ToldKey, Told] = {}
    for number, (standing, taken) in enumerate(rounds):
        log = told_next(log, standing, at(number))
        if taken or number == len(rounds) - 1:
            for one in log:  # RFC 5546, section 2.1.5: the higher sequence wins
                if one.key not in calendar or one.sequence >= calendar[one.key].sequence:
                    calendar[one.key] = one
    assert shown(calendar) == rounds[-1][0]


@given(STANDING, STANDING)
def test_that_a_revision_rises_by_one_where_something_differs_and_else_stays_whole(
    first: dict[ToldKey, str], second: dict[ToldKey, str]
) -> None:
    before = {one.key: one for one in told_next((), first, at(0))}
    for one in told_next(before.values(), second, at(1)):
        old = before.get(one.key)
        if old is None:
            assert (one.sequence, news_of(old, one)) == (0, News.NEW)
        elif first.get(one.key) == second.get(one.key):
            assert one == old
        else:
            assert (one.sequence, one.when_utc, one.before) == (1, at(1), old.content)
            assert news_of(old, one) is (News.CHANGED if one.key in second else News.CANCELLED)
        assert old is None or one == old or last_news(one) is news_of(old, one)


def test_that_an_entry_that_comes_back_is_new_again_under_its_old_name_and_a_higher_revision() -> None:
    key = KEYS[0]
    (first,) = told_next((), {key: "a"}, at(0))
    (gone,) = told_next([first], {}, at(1))
    assert (gone.sequence, gone.cancelled, gone.content) == (1, True, "a")
    assert told_next([gone], {}, at(2)) == (gone,)
    (again,) = told_next([gone], {key: "a"}, at(3))
    assert (again.sequence, again.cancelled, again.before) == (2, False, "")
    assert news_of(gone, again) is last_news(again) is News.NEW


def test_that_a_revision_below_nought_and_a_moment_without_a_zone_are_refused() -> None:
    with pytest.raises(RuleError, match="0 or more, found -1"):
        Told(KEYS[0], -1, "a", cancelled=False, when_utc=START)
    with pytest.raises(RuleError, match="time zone"):
        Told(KEYS[0], 0, "a", cancelled=False, when_utc=START.replace(tzinfo=None))
