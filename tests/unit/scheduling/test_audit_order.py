"""The search for an order against every order there is, with every start on a grid of whole minutes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.scheduling.audit.ordering import EXACT_POINTS, fit
from planner.scheduling.audit.running import Order, Run, Seconds, timed

MINUTE = 60.0


@st.composite
def runs_over(draw: st.DrawFn, points: int, free: bool) -> Run:
    """One run, all of it in whole minutes, tight enough that many fit and many do not."""
    opens = [draw(st.integers(0, draw(st.sampled_from([6, 25])))) for _ in range(points)]
    lengths = [draw(st.integers(4, 12 * points)) for _ in range(points)]
    orders = tuple(itertools.permutations(range(points)))
    allowed = None if free else tuple(draw(st.lists(st.sampled_from(orders), min_size=1, max_size=3)))
    within = draw(st.one_of(st.just(math.inf), st.integers(3 * points, 9 * points)))
    return Run(
        opens_s=tuple(MINUTE * minute for minute in opens),
        closes_s=tuple(MINUTE * (minute + length) for minute, length in zip(opens, lengths, strict=True)),
        stay_s=MINUTE * draw(st.integers(1, 4)),
        orders=allowed,
        exactly=draw(st.booleans()),
        within_s=MINUTE * within,
    )


@st.composite
def legs_between(draw: st.DrawFn, points: int) -> tuple[Seconds, ...]:
    return tuple(
        tuple(0.0 if here == there else MINUTE * draw(st.integers(0, 9)) for there in range(points))
        for here in range(points)
    )


def brute_ends(run: Run, order: Order, legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> Iterator[float]:
    """Yield the end of every run in that order that keeps all rules, started at any whole minute."""
    first = order[0]
    earliest = max(run.opens_s[first], ready_s[first])
    starts = [run.opens_s[first]] if run.exactly else [earliest + MINUTE * k for k in range(130)]
    for start in starts:
        if start < ready_s[first]:
            continue
        now, inside = start, True
        for place, point in enumerate(order):
            if place:
                now = max(now + legs_s[order[place - 1]][point], run.opens_s[point])
            now += run.stay_s
            inside = inside and now <= run.closes_s[point]
        if inside and now - start <= run.within_s:
            yield now


def brute_fits(runs: Sequence[Run], legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> bool:
    if not runs:
        return True
    run, *rest = runs
    for order in run.orders or itertools.permutations(range(run.points)):
        end = min(brute_ends(run, order, legs_s, ready_s), default=None)
        if end is not None and brute_fits(rest, legs_s, [end + leg for leg in legs_s[order[-1]]]):
            return True
    return False


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_that_any_order_is_judged_as_by_trying_every_order(data: st.DataObject) -> None:
    points = data.draw(st.integers(1, 4))
    legs = data.draw(legs_between(points))
    run = data.draw(runs_over(points, free=True))
    found = fit([run], legs, [-math.inf] * points)
    assert found.proven
    assert found.fits == brute_fits([run], legs, [-math.inf] * points)
    assert found.fits == (found.late_s <= 0.5)


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_that_two_runs_are_judged_as_by_trying_every_pair_of_orders(data: st.DataObject) -> None:
    points = data.draw(st.integers(1, 3))
    legs = data.draw(legs_between(points))
    first = data.draw(runs_over(points, free=data.draw(st.booleans())))
    second = data.draw(runs_over(points, free=data.draw(st.booleans())))
    later = MINUTE * data.draw(st.integers(0, 10 * points))
    shifted = replace(
        second,
        opens_s=tuple(moment + later for moment in second.opens_s),
        closes_s=tuple(moment + later for moment in second.closes_s),
    )
    ready = [MINUTE * data.draw(st.integers(0, 5)) for _ in range(points)]
    assert fit([first, shifted], legs, ready).fits == brute_fits([first, shifted], legs, ready)


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_that_a_way_home_that_fits_in_some_order_is_found(data: st.DataObject) -> None:
    points = data.draw(st.integers(1, 5))
    legs = data.draw(legs_between(points))
    home = tuple(MINUTE * data.draw(st.integers(0, 9)) for _ in range(points))
    close = MINUTE * data.draw(st.integers(2 * points, 9 * points))
    run = Run((0.0,) * points, (close,) * points, 2 * MINUTE, None, home_s=home)
    lengths = [
        points * 2 * MINUTE + sum(legs[a][b] for a, b in itertools.pairwise(order)) + home[order[-1]]
        for order in itertools.permutations(range(points))
    ]
    assert fit([run], legs, [0.0] * points).fits == (min(lengths) <= close)


def test_that_an_order_that_only_the_search_finds_is_found_up_to_the_limit_of_points() -> None:
    # Windows that open one after the other in an order that has nothing to do with the drives.
    wanted = [3, 0, 7, 5, 8, 1, 6, 2, 4]
    place = {point: k for k, point in enumerate(wanted)}
    opens = tuple(MINUTE * 10 * place[point] for point in range(EXACT_POINTS))
    closes = tuple(moment + 5 * MINUTE for moment in opens)
    legs = tuple(tuple(MINUTE * (1 + abs(a - b)) if a != b else 0.0 for b in range(9)) for a in range(9))
    run = Run(opens, closes, 2 * MINUTE, None)
    found = fit([run], legs, [-math.inf] * 9)
    assert (found.fits, found.proven) == (True, True)
    assert timed(run, tuple(wanted), legs, [-math.inf] * 9).late_s <= 0


@pytest.mark.parametrize("points", [1, 2, 9, 15])
def test_that_too_little_light_for_the_counts_alone_is_proven_whatever_the_order(points: int) -> None:
    legs = tuple((0.0,) * points for _ in range(points))
    run = Run((0.0,) * points, (points * 5 * MINUTE - 1.0,) * points, 5 * MINUTE, None)
    found = fit([run], legs, [-math.inf] * points)
    assert (found.fits, found.proven, found.late_s) == (False, True, 1.0)


def both_after(first: Run, close: float, legs: tuple[Seconds, ...]) -> bool:
    """Whether a second run along the last point of the first, of 2 minutes a stay, ends by that minute."""
    points = first.points
    along = tuple(range(points))
    second = Run((0.0,) * points, (close * MINUTE,) * points, 2 * MINUTE, (along, along[::-1]))
    return fit([first, second], legs, [-math.inf] * points).fits


def test_that_the_earliest_end_of_the_first_run_is_what_the_second_starts_from() -> None:
    # Found by trial: the first run may end at point 3 after 11 minutes, or after 14 in an order that drives less.
    opens, closes = (4, 0, 9), (8, 9, 39)
    legs = tuple(tuple(MINUTE * leg for leg in row) for row in ((0, 1, 0), (3, 0, 3), (9, 6, 0)))
    first = Run(
        tuple(MINUTE * minute for minute in opens), tuple(MINUTE * minute for minute in closes), 2 * MINUTE, None
    )
    # From point 3 at minute 11 it goes 3, 2, 1 with drives of 6 and 3 minutes: 11 + 3 x 2 + 9 = 26.
    assert both_after(first, 26, legs)
    assert not both_after(first, 25, legs)


@pytest.mark.parametrize(("within", "fits"), [(30, True), (29, False), (26, False)])
def test_that_a_first_window_that_closes_early_leaves_no_late_start(within: int, fits: bool) -> None:
    # The first stay starts at minute 3 at the latest, the second at minute 30 at the earliest and ends at 33.
    run = Run((0.0, 30 * MINUTE), (6 * MINUTE, 60 * MINUTE), 3 * MINUTE, ((0, 1),), within_s=within * MINUTE)
    legs = ((0.0, 5 * MINUTE), (5 * MINUTE, 0.0))
    assert fit([run], legs, [-math.inf] * 2).fits == fits


@pytest.mark.parametrize(("within", "fits"), [(48, True), (47, False), (27, False)])
def test_that_a_window_on_the_way_that_closes_early_leaves_no_late_start(within: int, fits: bool) -> None:
    # The second stay ends at minute 16 at the latest, so the run starts at 5 at the latest; it ends at 53.
    opens, closes = (0.0, 10 * MINUTE, 50 * MINUTE), (100 * MINUTE, 16 * MINUTE, 100 * MINUTE)
    run = Run(opens, closes, 3 * MINUTE, ((0, 1, 2),), within_s=within * MINUTE)
    legs = tuple(tuple(0.0 if a == b else 5 * MINUTE for b in range(3)) for a in range(3))
    assert fit([run], legs, [-math.inf] * 3).fits == fits
