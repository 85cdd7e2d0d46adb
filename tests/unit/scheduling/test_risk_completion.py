"""The exact risk of routes: hand-worked cases, every weather there can be, and 100,000 simulated seasons.

The simulation and the enumeration play evenings one after the other by the rules in words; they share nothing with
the dynamic programme.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.lost_evenings import LostEvenings
from planner.scheduling.risk import NOT_DONE, RiskCases, WeatherChain, chain_on, completion, loss_by_date
from tests.unit.scheduling.seasons import days

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]


def chain(lost: list[float], persistence: float = 0.0) -> WeatherChain:
    return WeatherChain(np.array(lost), persistence)


def cases(
    *routes: list[str],
    least: tuple[int, ...] = (),
    most: tuple[int | None, ...] = (),
    done: dict[tuple[int, int], int] | None = None,
) -> RiskCases:
    """Routes as lists of visits, each a string with an x for every feasible day."""
    feasible = np.array([[[sign == "x" for sign in visit] for visit in route] for route in routes])
    days_done = np.full(feasible.shape[:2], NOT_DONE, dtype=np.int64)
    for place, day in (done or {}).items():
        days_done[place] = day
    gaps = feasible.shape[1] - 1
    return RiskCases(feasible, least or (1,) * gaps, most or (None,) * gaps, days_done)


def test_that_one_visit_with_one_date_is_lost_with_its_evening() -> None:
    found = completion(cases([".x."]), chain([0.1, 0.3, 0.9]))
    assert found.complete.tolist() == pytest.approx([0.7])
    assert found.done.tolist() == [pytest.approx([0.7])]


def test_that_evenings_without_persistence_multiply() -> None:
    # Lost only if both evenings are: 1 - 0.4 * 0.5.
    assert completion(cases(["x.x"]), chain([0.4, 0.9, 0.5])).complete[0] == pytest.approx(0.8)


def test_that_persistence_follows_the_rule_of_the_chain() -> None:
    # p 0.4, r 0.5: the second evening is lost after a lost one with 0.4 + 0.5 * 0.6 = 0.7. Lost: 0.4 * 0.7 = 0.28.
    assert completion(cases(["xx"]), chain([0.4, 0.4], 0.5)).complete[0] == pytest.approx(0.72)
    # A day between: lost to lost over two days is 0.4 + 0.25 * 0.6 = 0.55, so lost with 0.4 * 0.55 = 0.22.
    assert completion(cases(["x.x"]), chain([0.4] * 3, 0.5)).complete[0] == pytest.approx(0.78)


def test_that_a_new_half_month_takes_over_from_its_first_evening_on() -> None:
    # Day 0 with p 0.4, day 1 with p 0.2, r 0.5: lost after lost 0.2 + 0.5 * 0.8 = 0.6, after good 0.2 * 0.5 = 0.1.
    weather = chain([0.4, 0.2], 0.5)
    assert completion(cases(["xx"]), weather).complete[0] == pytest.approx(1 - 0.4 * 0.6)
    # Seen from afar day 1 is lost with 0.4 * 0.6 + 0.6 * 0.1 = 0.3: not yet 0.2.
    assert weather.seen_from_afar.tolist() == pytest.approx([0.4, 0.3])
    assert completion(cases([".x"]), weather).complete[0] == pytest.approx(0.7)


def test_that_the_next_visit_waits_for_the_gap_after_the_evening_that_was_good() -> None:
    # Gap 2, p 0.5 each evening, no persistence. Visit 1 on day 0 (0.5): visit 2 on day 2 or 3, 0.75. Visit 1 on day 1
    # (0.25): visit 2 on day 3 only, 0.5. Complete 0.5 * 0.75 + 0.25 * 0.5 = 0.5.
    found = completion(cases(["xx..", "..xx"], least=(2,)), chain([0.5] * 4))
    assert found.complete[0] == pytest.approx(0.5)
    # If visit 1 is lost (0.25), visit 2 has both its days: 0.75 of it.
    assert found.done[0].tolist() == pytest.approx([0.75, 0.5 + 0.25 * 0.75])
    assert found.expected_visits[0] == pytest.approx(0.75 + 0.6875)


def test_that_a_visit_is_lost_past_the_greatest_gap() -> None:
    # Visit 1 on day 0 (0.5) leaves visit 2 day 1 alone (0.5); on day 1 (0.25) day 2 alone, as day 3 is too late (0.5).
    found = completion(cases(["xx..", ".xxx"], least=(1,), most=(1,)), chain([0.5] * 4))
    assert found.complete[0] == pytest.approx(0.5 * 0.5 + 0.25 * 0.5)
    # With visit 1 lost (0.25) nothing binds: days 2 and 3, as day 1 went to visit 1: 0.75.
    assert found.done[0, 1] == pytest.approx(0.375 + 0.25 * 0.75)


def test_that_gaps_add_over_a_lost_or_unfilled_visit() -> None:
    # Gaps 2 and 2; visit 2 unfilled: visit 3 at the earliest 4 days after visit 1. Visit 1 on day 0 or 1.
    unfilled = completion(cases(["xx....", "......", "....xx"], least=(2, 2)), chain([0.5] * 6))
    assert unfilled.complete[0] == 0.0
    assert unfilled.done[0].tolist() == pytest.approx([0.75, 0.0, 0.5 * 0.75 + 0.25 * 0.5 + 0.25 * 0.75])
    # The same with a visit 2 that can be made on day 2 alone: lost at once after a visit 1 on day 1 (0.25, then visit 3
    # from day 5: 0.5); after day 0 lost or done with 0.5 each, either way visit 3 from day 4 on: 0.75.
    lost = completion(cases(["xx....", "..x...", "....xx"], least=(2, 2)), chain([0.5] * 6))
    assert lost.complete[0] == pytest.approx(0.5 * 0.5 * 0.75)
    assert lost.done[0].tolist() == pytest.approx([0.75, 0.5 * 0.5 + 0.25 * 0.5, 0.5 * 0.75 + 0.25 * 0.5 + 0.25 * 0.75])


def test_that_a_visit_that_is_done_is_certain_and_its_evening_was_good() -> None:
    # Done on day 0; p 0.5, r 0.5: day 1 is lost after good with 0.25.
    found = completion(cases(["x..", ".x."], done={(0, 0): 0}), chain([0.5] * 3, 0.5))
    assert found.done[0].tolist() == pytest.approx([1.0, 0.75])
    assert found.complete[0] == pytest.approx(0.75)


def test_that_a_visit_passed_over_by_a_later_one_is_lost() -> None:
    found = completion(cases(["xx.", "..."], done={(0, 1): 0}), chain([0.0] * 3))
    assert found.done[0].tolist() == [0.0, 1.0]
    assert found.complete[0] == 0.0


def test_that_a_route_whose_visits_are_all_done_is_complete() -> None:
    found = completion(cases(["...", "..."], done={(0, 0): 0, (0, 1): 2}), chain([1.0] * 3))
    assert found.complete.tolist() == [1.0]


def test_that_without_lost_evenings_all_is_done_and_with_none_but_lost_ones_nothing() -> None:
    one = cases(["x.x...", "...x.x"], least=(3,))
    assert completion(one, chain([0.0] * 6, 0.7)).complete.tolist() == [1.0]
    assert completion(one, chain([1.0] * 6, 0.7)).expected_visits.tolist() == [0.0]


def test_that_more_persistence_leaves_less() -> None:
    one = cases(["xxxx....", "...xxxxx"], least=(3,))
    left = [completion(one, chain([0.4] * 8, r)).complete[0] for r in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)]
    assert all(later < earlier for earlier, later in itertools.pairwise(left))
    # Where the first evening stays for good, its chance alone decides.
    assert left[-1] == pytest.approx(0.6)


def test_that_days_and_chances_must_be_of_one_number() -> None:
    with pytest.raises(RuleError, match="3 days need as many chances"):
        completion(cases(["xxx"]), chain([0.5] * 4))


def test_that_impossible_cases_and_chains_are_refused() -> None:
    with pytest.raises(RuleError, match="gaps"):
        replace(cases(["x", "x"]), least_gaps=())
    with pytest.raises(RuleError, match="1 day or more"):
        replace(cases(["x", "x"]), least_gaps=(0,))
    with pytest.raises(RuleError, match="share"):
        chain([1.5])
    with pytest.raises(RuleError, match="persistence"):
        chain([0.5], -0.1)


def test_that_a_chain_takes_the_chance_of_each_half_month() -> None:
    weather = LostEvenings(tuple(number / 100 for number in range(24)), 0.3)
    # Day 13 of the small seasons is 14 June, in the eleventh half-month; 16 June begins the twelfth.
    got = chain_on(weather, days(13, 16))
    assert got.lost.tolist() == [0.10, 0.10, 0.11, 0.11]
    assert got.persistence == 0.3


@dataclass(frozen=True)
class Rules:
    """One route in plain numbers, as the players below are told of it."""

    feasible: tuple[tuple[bool, ...], ...]
    least: tuple[int, ...]
    most: tuple[int | None, ...]


def play(rules: Rules, lost: tuple[bool, ...]) -> list[bool]:
    """Do one route through one known weather, visit by visit, and say which visits were done."""
    was_done: list[bool] = []
    last_done, last_number, free_from = -1, -1, 0
    for k, days_of_visit in enumerate(rules.feasible):
        low, high = free_from, len(lost) - 1
        if last_number >= 0:
            low = max(low, last_done + sum(rules.least[last_number:k]))
            between = rules.most[last_number:k]
            if None not in between:
                high = min(high, last_done + sum(gap or 0 for gap in between))
        tries = [d for d in range(max(low, 0), high + 1) if days_of_visit[d]]
        good = next((d for d in tries if not lost[d]), None)
        was_done.append(good is not None)
        if good is not None:
            last_done, last_number, free_from = good, k, good + 1
        elif tries:
            free_from = tries[-1] + 1
    return was_done


def chance_of(lost: tuple[bool, ...], weather: WeatherChain) -> float:
    """The probability of one whole weather, from the rule as it is written."""
    p, r = weather.lost, weather.persistence
    chance = float(p[0] if lost[0] else 1 - p[0])
    for d in range(1, len(lost)):
        to_lost = p[d] + r * (1 - p[d]) if lost[d - 1] else p[d] * (1 - r)
        chance *= float(to_lost if lost[d] else 1 - to_lost)
    return chance


@st.composite
def small_routes(draw: st.DrawFn) -> tuple[Rules, WeatherChain]:
    length, visits = draw(st.integers(1, 10)), draw(st.integers(1, 3))
    shares = st.sampled_from([0.0, 0.1, 0.3, 0.5, 0.8, 1.0])
    feasible = tuple(tuple(draw(st.lists(st.booleans(), min_size=length, max_size=length))) for _ in range(visits))
    least = tuple(draw(st.integers(1, 3)) for _ in range(visits - 1))
    most = tuple(draw(st.none() | st.integers(gap, 5)) for gap in least)
    lost = draw(st.lists(shares, min_size=length, max_size=length))
    return Rules(feasible, least, most), chain(lost, draw(shares))


@given(small_routes())
def test_that_the_figures_are_those_of_every_weather_there_can_be(drawn: tuple[Rules, WeatherChain]) -> None:
    rules, weather = drawn
    whole, each = 0.0, np.zeros(len(rules.feasible))
    for lost in itertools.product([False, True], repeat=len(weather.lost)):
        was_done, chance = play(rules, lost), chance_of(lost, weather)
        whole += chance * all(was_done)
        each += chance * np.array(was_done)
    done = np.full((1, len(rules.feasible)), NOT_DONE, dtype=np.int64)
    found = completion(RiskCases(np.array([rules.feasible]), rules.least, rules.most, done), weather)
    assert found.complete[0] == pytest.approx(whole, abs=1e-12)
    assert found.done[0] == pytest.approx(each, abs=1e-12)


@given(small_routes())
def test_that_the_loss_of_each_first_date_is_that_of_every_weather(drawn: tuple[Rules, WeatherChain]) -> None:
    rules, weather = drawn
    feasible = np.array(rules.feasible)
    expected = np.ones(feasible.shape)
    weathers = list(itertools.product([False, True], repeat=len(weather.lost)))
    chances = [chance_of(lost, weather) for lost in weathers]
    for v, first in np.argwhere(feasible).tolist():
        tries = [d for d in range(first, feasible.shape[1]) if feasible[v, d]]
        expected[v, first] = sum(
            chance for lost, chance in zip(weathers, chances, strict=True) if all(lost[d] for d in tries)
        )
    assert loss_by_date(feasible, weather) == pytest.approx(expected, abs=1e-12)


def test_that_an_earlier_date_never_loses_more() -> None:
    # p 0.3 r 0: tried on day 0, 2 and 3: 0.3 ** 3; on 2 and 3: 0.3 ** 2; on 3 alone: 0.3.
    got = loss_by_date(np.array([True, False, True, True]), chain([0.3] * 4))
    assert got.tolist() == pytest.approx([0.027, 1.0, 0.09, 0.3])


SEASONS = 100_000
LENGTH = 90


def simulated_weathers(weather: WeatherChain, rng: np.random.Generator) -> Bools:
    """Whether each evening is lost, shape (seasons, days)."""
    p, r = weather.lost, weather.persistence
    lost = np.empty((SEASONS, len(p)), dtype=np.bool_)
    lost[:, 0] = rng.random(SEASONS) < p[0]
    for d in range(1, len(p)):
        lost[:, d] = rng.random(SEASONS) < np.where(lost[:, d - 1], p[d] + r * (1 - p[d]), p[d] * (1 - r))
    return lost


def simulated(feasible: Bools, least: tuple[int, ...], most: tuple[int | None, ...], lost: Bools) -> Bools:
    """Which visits of one route are done in each season, shape (seasons, visits). Bounded gaps: two visits only."""
    seasons = len(lost)
    done = np.zeros((seasons, len(feasible)), dtype=np.bool_)
    low = np.zeros(seasons, dtype=np.int64)
    high = np.full(seasons, LENGTH)
    free_from = np.zeros(seasons, dtype=np.int64)
    day = np.arange(LENGTH, dtype=np.int16)  # small numbers: the tables of days are large
    for k, own in enumerate(feasible):
        from_day, to_day = np.maximum(low, free_from).astype(np.int16), high.astype(np.int16)
        tried = own & (day >= from_day[:, None]) & (day <= to_day[:, None])
        good = tried & ~lost
        done[:, k] = good.any(axis=1)
        on = good.argmax(axis=1)
        given_up = np.where(tried.any(axis=1), LENGTH - tried[:, ::-1].argmax(axis=1), free_from)
        free_from = np.where(done[:, k], on + 1, given_up)
        if k < len(least):
            low = np.where(done[:, k], on + least[k], low + np.where(done[:, :k].any(axis=1), least[k], 0))
            bound = most[k]
            high = np.where(done[:, k], on + bound, LENGTH) if bound is not None else np.full(seasons, LENGTH)
    return done


def deviations(visits: int, most: int | None, seed: int) -> Floats:
    """How far 100,000 seasons lie off the exact chances, in standard errors: complete, then each visit, of 8 routes."""
    rng = np.random.default_rng(seed)
    weather = WeatherChain(np.repeat(rng.uniform(0.2, 0.7, 6), 15), 0.45)
    day = np.arange(LENGTH)
    feasible = rng.random((8, visits, LENGTH)) < rng.uniform(0.15, 0.4, (8, 1, 1))
    for k in range(visits):
        first = k * LENGTH // visits
        feasible[:, k] &= (day >= first + rng.integers(0, 10, 8)[:, None]) & (day < first + LENGTH // visits + 5)
    least, bounds = (10,) * (visits - 1), (most,) * (visits - 1)
    done = np.full((8, visits), NOT_DONE, dtype=np.int64)
    found = completion(RiskCases(feasible, least, bounds, done), weather)
    lost = simulated_weathers(weather, rng)
    each = [simulated(route, least, bounds, lost) for route in feasible]
    seen = np.array([[one.all(axis=1).mean(), *one.mean(axis=0)] for one in each])
    exact = np.column_stack([found.complete, found.done])
    error = np.sqrt(exact * (1 - exact) / SEASONS)
    assert error.min() > 0, "a chance of 0 or 1 tests nothing"
    return np.asarray((seen - exact) / error, dtype=np.float64)


@pytest.mark.parametrize(("visits", "most", "seed"), [(2, None, 1), (2, 40, 2), (3, None, 3)])
def test_that_100_000_simulated_seasons_agree_within_their_standard_error(
    visits: int, most: int | None, seed: int
) -> None:
    off = deviations(visits, most, seed)
    assert np.abs(off).max() < 4.0
    assert float((off**2).mean()) < 2.5
