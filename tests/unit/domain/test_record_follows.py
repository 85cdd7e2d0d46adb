"""What follows from the evenings of a visit, against every case worked out by itself."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.counting import Direction, OrderRule
from planner.domain.disruption import Remains, remains
from planner.domain.field.record_follows import follows

POINTS = (3, 1, 2, 4)
"""A route may number its points as it likes; its order is that of its road."""


def rule(least: int = 0, *, another_day: bool = False) -> OrderRule:
    return OrderRule(Direction.EITHER, finish_another_day=another_day, least_points=least)


evenings = st.lists(st.lists(st.sampled_from(POINTS), unique=True), max_size=3)
rules = st.builds(rule, st.integers(0, 5), another_day=st.booleans())


@pytest.mark.parametrize("counted", [some for n in range(4) for some in itertools.combinations(POINTS, n)])
@pytest.mark.parametrize("asked", [rule(), rule(2), rule(2, another_day=True), rule(another_day=True)])
def test_that_one_evening_leaves_what_the_rule_on_part_of_a_route_says(
    counted: tuple[int, ...], asked: OrderRule
) -> None:
    found = follows(asked, POINTS, [counted])
    assert found.asked is remains(asked, len(counted))
    assert found.standing == tuple(point for point in POINTS if point in counted)
    wanted = {Remains.NOTHING: set(), Remains.REST: set(POINTS) - set(counted), Remains.WHOLE: set(POINTS)}
    assert set(found.left) == wanted[found.asked]


@given(rules, evenings)
def test_that_all_points_on_one_evening_leave_nothing_whatever_the_rule(
    asked: OrderRule, others: list[list[int]]
) -> None:
    found = follows(rule(min(asked.least_points, 4), another_day=asked.finish_another_day), POINTS, [*others, POINTS])
    assert (found.asked, found.left, found.standing) == (Remains.NOTHING, (), POINTS)


@given(rules, evenings)
def test_that_evenings_are_put_together_only_where_the_protocol_lets_them(
    asked: OrderRule, some: list[list[int]]
) -> None:
    standing = set(follows(asked, POINTS, some).standing)
    if not asked.finish_another_day:
        assert len(standing) == max(map(len, some), default=0)
        assert not some or standing in [set(one) for one in some]
        return
    enough = [number for number, one in enumerate(some) if len(one) >= max(asked.least_points, 1)]
    if enough:
        assert standing == {point for one in some[enough[0] :] for point in one}
    else:
        assert len(standing) == max(map(len, some), default=0)


@given(rules, evenings, st.lists(st.sampled_from(POINTS), unique=True))
def test_that_one_more_evening_never_loses_a_point_that_counts_together(
    asked: OrderRule, some: list[list[int]], more: list[int]
) -> None:
    before, after = follows(asked, POINTS, some), follows(asked, POINTS, [*some, more])
    assert len(after.standing) >= len(before.standing)
    if before.asked is Remains.NOTHING:
        assert after.asked is Remains.NOTHING
