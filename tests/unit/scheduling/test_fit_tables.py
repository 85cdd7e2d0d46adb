"""What fits on which date, against the exact order of each date."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import Direction
from planner.domain.window import StartRule
from planner.scheduling import RouteDrives, SeasonProblem, fit_table
from planner.scheduling.outing import CountingTask, best_order
from tests.unit.scheduling.seasons import (
    Floats,
    days,
    dusk,
    out_and_back,
    pass_light,
    problem,
    protocol,
    route,
    route_light,
    same,
    seconds,
    window_light,
)


def with_legs(legs: Floats, opens: Floats, closes: Floats, **rules: object) -> SeasonProblem:
    """A season of one route with legs and light of its own."""
    length, points = opens.shape
    season = protocol(visits=1, **rules)  # type: ignore[arg-type]  # fields by name
    passes = (pass_light(length, points, "21:00", 60.0),)
    passes[0].open_utc[:], passes[0].close_utc[:] = opens, closes
    light = {"R1": route_light((window_light("dusk", passes),))}
    found = problem(
        rules=season, visits=(days(0, length - 1),), length=length, routes=[route(points=points)], light=light
    )
    found.drives["R1"] = RouteDrives(  # type: ignore[index]  # a plain dict, filled once more
        same(legs), same(np.zeros((0, points))), same(np.zeros((points, 0)))
    )
    return found


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_that_a_date_fits_if_and_only_if_its_exact_order_counts_every_point(data: st.DataObject) -> None:
    points, length = data.draw(st.integers(1, 6)), 5
    rng = np.random.default_rng(data.draw(st.integers(0, 10_000)))
    legs = rng.integers(1, 9, size=(points, points)).astype(np.float64)
    direction, start = data.draw(st.sampled_from(Direction)), data.draw(st.sampled_from(StartRule))
    within = data.draw(st.sampled_from([None, 25.0]))
    base = np.array([[seconds(d, "21:00")] for d in range(length)])
    opens = base + rng.integers(0, 80, size=(length, points)).astype(np.float64)
    closes = opens + 60.0 * rng.integers(6, 60, size=(length, 1))
    opens[0, 0] = np.nan
    season = with_legs(legs, opens, closes, direction=direction, windows=(dusk(start, within),))
    table = fit_table(season, season.season.routes[0])
    assert table.windows == ("dusk",)
    assert np.isnan(table.margin_minutes[0, 0])
    assert table.points_lost[0, 0] == points
    for d in range(1, length):
        best = best_order(CountingTask(legs, opens[d], closes[d], 5.0, direction, start, within))
        assert bool(table.fits[0, d]) is (len(best.order) == points)
        assert table.points_lost[0, d] >= points - len(best.order)
        assert (table.margin_minutes[0, d] < 0) is (table.points_lost[0, d] > 0)


def test_that_the_margin_is_what_is_left_after_the_last_count() -> None:
    season = problem(routes=[route(points=4)])
    table = fit_table(season, season.season.routes[0])
    assert table.margin_minutes[0] == pytest.approx(120 - 4 * 5 - 3 * 2)


def test_that_too_long_a_route_says_by_how_many_minutes_and_which_points_are_lost() -> None:
    season = problem(rules=protocol(count=20.0), routes=[route(points=7)])
    table = fit_table(season, season.season.routes[0])
    assert table.margin_minutes[0] == pytest.approx(120 - 7 * 20 - 6 * 2)
    assert (table.points_lost[0] == 2).all()


def test_that_two_passes_must_both_fit() -> None:
    rules = protocol(windows=(out_and_back(),))
    short = problem(rules=rules, routes=[route(points=5)])
    assert fit_table(short, short.season.routes[0]).margin_minutes[0] == pytest.approx(55 - 33)
    long = problem(rules=rules, routes=[route(points=9)])
    table = fit_table(long, long.season.routes[0])
    # The first pass ends a minute after the second could begin, which so is late by that minute too.
    assert table.margin_minutes[0] == pytest.approx(55 - 61 - 1)
    assert (table.points_lost[0] == 1).all()


def test_that_a_second_pass_may_follow_the_order_rule_again() -> None:
    window = out_and_back()
    again = type(window)(window.name, window.part, (window.passes[0], window.passes[0]))
    season = problem(rules=protocol(windows=(again,), direction=Direction.FIXED), routes=[route(points=5)])
    assert fit_table(season, season.season.routes[0]).fits.all()


def test_that_a_pass_with_a_direction_of_its_own_is_counted_that_way() -> None:
    run = out_and_back().passes[1]
    window = type(out_and_back())("night", out_and_back().part, (run,))
    season = problem(rules=protocol(windows=(window,), direction=Direction.FIXED), routes=[route(points=5)])
    assert fit_table(season, season.season.routes[0]).margin_minutes[0] == pytest.approx(120 - 33)


def test_that_a_route_without_points_fits_nowhere() -> None:
    season = problem(routes=[route(points=0)])
    table = fit_table(season, season.season.routes[0])
    assert not table.fits.any()
    assert np.isnan(table.margin_minutes).all()


def test_that_a_narrow_miss_of_the_shortest_order_is_settled_by_the_exact_one() -> None:
    # The shortest order 0-1-2 misses the closing of point 2 by seconds; 2-1-0 is a little longer and fits.
    legs = np.array([[0.0, 2.0, 9.0], [2.1, 0.0, 2.0], [9.0, 2.1, 0.0]])
    opens = np.full((1, 3), seconds(0, "21:00"))
    closes = opens + np.array([[1400.0, 1400.0, 1130.0]])
    season = with_legs(legs, opens, closes)
    assert fit_table(season, season.season.routes[0]).fits.all()
