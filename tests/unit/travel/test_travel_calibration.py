"""Factors of recorded legs: known ones are found again, and no single leg moves them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import scipy.optimize
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.travel import FittedFactor, RecordedLegs, fit_factors
from planner.travel.coordinates import Floats
from tests.unit.travel.recorded_seasons import Simulated, simulate

pytestmark = pytest.mark.xdist_group("drives of many seasons")

CLASSES = {"tertiary": 1.1, "track": 1.6, "unclassified": 1.25}


def _by_name(some: tuple[FittedFactor, ...]) -> dict[str, FittedFactor]:
    return {one.name: one for one in some}


def _one_class(minutes: list[float], expected: list[float], routes: tuple[str, ...] | None = None) -> RecordedLegs:
    codes = routes or ("",) * len(minutes)
    return RecordedLegs(np.array(minutes), np.array(expected)[:, None], ("tertiary",), codes)


def test_that_a_season_of_thirty_legs_with_slips_comes_out_within_the_error_that_is_stated() -> None:
    off = []
    for seed in range(40):
        season = simulate(np.random.default_rng(seed), 30, {"tertiary": 1.2}, differ=0.0)
        found = fit_factors(season.legs).season
        assert found is not None
        off.append(found.factor / 1.2 - 1.0)
    # 7 % in 95 of 100: at most 5 of 40 beyond it has a chance of 1 in 30 otherwise (binomial); no lean to either side.
    assert sum(abs(one) > 0.07 for one in off) <= 5
    assert abs(float(np.mean(off))) < 0.015


@pytest.fixture(scope="module")
def seasons() -> list[Simulated]:
    """Ten seasons of 300 legs on 12 routes and three classes."""
    return [simulate(np.random.default_rng(seed), 300, CLASSES, routes=12) for seed in range(10)]


def test_that_the_factors_of_classes_and_routes_are_found_again_within_their_ranges(seasons: list[Simulated]) -> None:
    inside, off = [], []
    for season in seasons:
        found = fit_factors(season.legs)
        assert [one.name for one in found.classes] == sorted(CLASSES)
        assert [one.name for one in found.routes] == sorted(season.routes)
        for one, true in [
            *((one, CLASSES[one.name]) for one in found.classes),
            *((one, season.routes[one.name]) for one in found.routes),
        ]:
            inside.append(one.least <= true <= one.most)
            off.append(abs(one.factor / true - 1.0))
    # 150 ranges of 95 %: fewer than 130 inside has a chance below 1 in 10,000 (binomial).
    assert sum(inside) >= 130
    assert np.quantile(off, 0.95) < 0.12


def test_that_two_classes_are_told_apart_better_than_by_one_factor(seasons: list[Simulated]) -> None:
    for season in seasons:
        classes = _by_name(fit_factors(season.legs).classes)
        assert classes["tertiary"].factor < classes["unclassified"].factor < classes["track"].factor


def _huber_by_scipy(season: Simulated) -> float:
    """Huber's estimate of one factor for all legs by another library: legs over their spread, 1.345 spreads."""
    expected, took = season.legs.expected_minutes, season.legs.minutes
    spread = np.sqrt((0.15 * expected) ** 2 + 1 / 6)

    def off(factor: Floats) -> Floats:
        return np.asarray((took - factor[0] * expected) / spread, dtype=np.float64)

    return float(scipy.optimize.least_squares(off, [1.0], loss="huber", f_scale=1.345).x[0])


def test_that_another_librarys_robust_estimate_is_near() -> None:
    for seed in range(8):
        season = simulate(np.random.default_rng(100 + seed), 80, {"tertiary": 1.3}, differ=0.0, gross=0.05)
        found = fit_factors(season.legs).season
        assert found is not None
        assert found.factor == pytest.approx(_huber_by_scipy(season), rel=0.05)


@st.composite
def _legs(draw: st.DrawFn) -> RecordedLegs:
    """Draw legs at 0.5 to 2 times the expected, a few of them slips."""
    seed = draw(st.integers(0, 10_000))
    classes = draw(st.sampled_from([{"tertiary": 1.0}, {"tertiary": 0.8, "track": 1.5}, CLASSES]))
    count = draw(st.integers(8, 60))
    return simulate(np.random.default_rng(seed), count, classes, routes=draw(st.integers(1, 5))).legs


def _figures(legs: RecordedLegs) -> Floats:
    found = fit_factors(legs)
    assert found.season is not None
    return np.array([one.factor for one in (found.season, *found.classes, *found.routes)])


@settings(max_examples=8, deadline=None)
@given(_legs(), st.integers(0, 10_000))
def test_that_the_order_of_legs_does_not_matter(legs: RecordedLegs, seed: int) -> None:
    order = np.random.default_rng(seed).permutation(len(legs.minutes))
    shuffled = replace(
        legs,
        minutes=legs.minutes[order],
        expected_by_kind=legs.expected_by_kind[order],
        routes=tuple(legs.routes[row] for row in order),
    )
    np.testing.assert_allclose(_figures(shuffled), _figures(legs), rtol=1e-6)


@settings(max_examples=8, deadline=None)
@given(_legs(), st.floats(0.05, 20))
def test_that_the_unit_of_time_does_not_matter(legs: RecordedLegs, unit: float) -> None:
    scaled = replace(
        legs,
        minutes=legs.minutes * unit,
        expected_by_kind=legs.expected_by_kind * unit,
        resolution_minutes=legs.resolution_minutes * unit,
    )
    np.testing.assert_allclose(_figures(scaled), _figures(legs), rtol=1e-6)


@settings(max_examples=8, deadline=None)
@given(_legs(), st.floats(0.8, 1.3))
def test_that_a_map_slower_all_over_makes_all_roads_factors_smaller_by_as_much(
    legs: RecordedLegs, slower: float
) -> None:
    kept = _only(legs, fit_factors(legs).used)
    found, other = fit_factors(kept), fit_factors(replace(kept, expected_by_kind=kept.expected_by_kind * slower))
    assert found.season is not None
    assert other.season is not None
    assert other.season.factor == pytest.approx(found.season.factor / slower, rel=1e-6)
    for mine, theirs in zip(found.classes, other.classes, strict=True):
        assert theirs.factor == pytest.approx(mine.factor / slower, rel=1e-6)
    for mine, theirs in zip(found.routes, other.routes, strict=True):
        assert theirs.factor == pytest.approx(mine.factor, rel=1e-6)


def _only(legs: RecordedLegs, rows: np.ndarray) -> RecordedLegs:
    return replace(
        legs,
        minutes=legs.minutes[rows],
        expected_by_kind=legs.expected_by_kind[rows],
        routes=tuple(code for code, used in zip(legs.routes, rows, strict=True) if used),
    )


@settings(max_examples=8, deadline=None)
@given(_legs(), st.integers(0, 7), st.sampled_from([1e3, 1e9, math.inf, -1e3, math.nan]))
def test_that_a_leg_that_is_wildly_wrong_changes_no_more_than_one_left_out(
    legs: RecordedLegs, row: int, slip: float
) -> None:
    minutes = legs.minutes.copy()
    minutes[row] += slip
    rows = np.arange(len(minutes)) != row
    without = _only(legs, rows)
    found = fit_factors(replace(legs, minutes=minutes))
    assert not found.used[row]
    np.testing.assert_allclose(_figures(replace(legs, minutes=minutes)), _figures(without), rtol=1e-6)


def test_that_a_stop_within_what_is_thinkable_is_left_out_by_the_fit() -> None:
    expected = [8.0, 9.0, 10.0, 11.0, 12.0, 9.0, 10.0, 8.0]
    minutes = [10.0, 11.0, 12.0, 13.0, 14.0, 11.0, 12.0, 26.0]
    found = fit_factors(_one_class(minutes, expected))
    assert found.used.tolist() == [True] * 7 + [False]
    assert not found.slips.any()
    assert found.season is not None
    assert found.season.factor == pytest.approx(1.2, abs=0.03)
    assert found.season.legs == 7


@pytest.mark.parametrize("times", [1.9, 3.5])
def test_that_a_route_that_is_slow_throughout_is_no_row_of_slips(times: float) -> None:
    dice = np.random.default_rng(3)
    expected = dice.uniform(5, 12, 60)
    routes = tuple("slow" if number < 12 else f"R{number % 4}" for number in range(60))
    factors = np.array([times if code == "slow" else 1.0 for code in routes])
    legs = _one_class((np.round(expected * factors * dice.lognormal(0, 0.1, 60))).tolist(), expected.tolist(), routes)
    found = fit_factors(legs)
    assert found.used[:12].all()
    slow = _by_name(found.routes)["slow"]
    assert slow.legs == 12
    assert found.season is not None
    assert found.season.factor * slow.factor == pytest.approx(times, rel=0.08)


def test_that_fewer_legs_are_drawn_nearer_to_the_season() -> None:
    def slow_factor(count: int) -> float:
        expected = [10.0] * (40 + count)
        minutes = [10.0] * 40 + [15.0] * count
        codes = tuple(f"R{number % 4}" for number in range(40)) + ("slow",) * count
        return _by_name(fit_factors(_one_class(minutes, expected, codes)).routes)["slow"].factor

    three, six, twelve = slow_factor(3), slow_factor(6), slow_factor(12)
    assert 1.0 < three < six < twelve < 1.5


def test_that_a_route_with_two_legs_has_the_seasons_figure() -> None:
    found = fit_factors(_one_class([12.0] * 12, [10.0] * 12, ("A",) * 7 + ("B",) * 3 + ("C",) * 2))
    assert [one.name for one in found.routes] == ["A", "B"]
    assert [one.legs for one in found.routes] == [7, 3]


def test_that_a_class_hardly_driven_has_the_seasons_figure() -> None:
    minutes = np.array([12.0] * 6)
    expected = np.array([[10.0, 0.0]] * 4 + [[5.0, 5.0]] * 2)
    found = fit_factors(RecordedLegs(minutes, expected, ("tertiary", "track"), ("",) * 6))
    assert [one.name for one in found.classes] == ["tertiary"]


def test_that_estimated_drives_tell_of_the_season_and_of_no_class() -> None:
    legs = RecordedLegs(np.full(5, 13.0), np.full((5, 1), 10.0), ("",), ("",) * 5)
    found = fit_factors(legs)
    assert found.season is not None
    assert found.season.factor == pytest.approx(1.3, abs=1e-3)
    assert (found.classes, found.routes) == ((), ())


@pytest.mark.parametrize(("minutes", "expected"), [([12.0, 11.0], [10.0, 10.0]), ([600.0] * 9, [10.0] * 9), ([], [])])
def test_that_too_few_legs_or_only_slips_give_no_factor(minutes: list[float], expected: list[float]) -> None:
    found = fit_factors(_one_class(minutes, expected))
    assert found.season is None
    assert not found.used.any()


def test_that_a_factor_out_of_bounds_is_not_given() -> None:
    # Two minutes by the watch where a fifth of one was expected: by the rounding of times nothing is a slip.
    found = fit_factors(_one_class([2.0] * 9, [0.2] * 9))
    assert found.season is None


@pytest.mark.parametrize(
    ("expected", "routes", "unit"),
    [
        (np.ones((2, 2)), ("", ""), 1.0),
        (np.ones((2, 1)), ("",), 1.0),
        (-np.ones((2, 1)), ("", ""), 1.0),
        (np.full((2, 1), np.inf), ("", ""), 1.0),
        (np.ones((2, 1)), ("", ""), 0.0),
    ],
)
def test_that_legs_without_sense_are_refused(expected: Floats, routes: tuple[str, ...], unit: float) -> None:
    with pytest.raises(RuleError):
        RecordedLegs(np.ones(2), expected, ("tertiary",), routes, unit)
