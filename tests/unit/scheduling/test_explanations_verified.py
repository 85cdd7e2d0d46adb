"""Every change that an explanation offers, made in the season itself and planned with all else as it stands."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from planner.domain.change import ChangeKind
from planner.domain.plan import Explanation, Plan, Relaxation
from planner.scheduling import SeasonProblem, SeasonResult, plan_season
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.explain import explain
from tests.unit.scheduling.changed_seasons import assert_true, helps
from tests.unit.scheduling.random_seasons import busy_season, first_plan, one_in, tiny_season


def offers(result: SeasonResult) -> list[tuple[Explanation, Relaxation]]:
    return [(one, offered) for one in result.explanations for offered in one.relaxations]


@cache
def planned(seed: int) -> tuple[SeasonProblem, SeasonResult]:
    """What both tests of one group read: a random season and its best plan."""
    season = tiny_season(seed)
    return season, plan_season(season)


TOGETHER = pytest.mark.xdist_group("offers")


@TOGETHER
@pytest.mark.parametrize("seed", one_in(3, range(12)))
def test_that_every_offer_on_a_random_season_comes_true(seed: int) -> None:
    season, result = planned(seed)
    for explanation, offered in offers(result):
        assert_true(season, result.plan, explanation, offered)


@TOGETHER
@pytest.mark.parametrize("seed", one_in(3, range(12)))
def test_that_no_offer_asks_for_more_than_is_needed(seed: int) -> None:
    season, result = planned(seed)
    for explanation, offered in offers(result):
        # Where the route lacks more, less may well help another of its visits.
        alone = [one for one in result.explanations if one.key.route == explanation.key.route] == [explanation]
        if offered.moves or not alone:
            continue
        for change in offered.changes:
            fewer = [other for other in offered.changes if other is not change]
            assert not helps(season, result.plan, explanation, fewer), offered.what
            if change.amount > 1 and change.kind in (
                ChangeKind.LATER,
                ChangeKind.EARLIER,
                ChangeKind.GAP,
                ChangeKind.SETUP,
            ):
                less = [*fewer, replace(change, amount=change.amount - 1)]
                assert not helps(season, result.plan, explanation, less), offered.what


def test_that_offers_that_make_others_move_come_true_on_a_busy_season() -> None:
    season = busy_season(6, 12, 11)
    # Served one by one in their own order, the last routes find others in the way.
    plan = first_plan(season, Plan())
    found = [(one, offered) for one in explain(compile_season(season, Plan()), plan) for offered in one.relaxations]
    assert any(offered.moves for _, offered in found)
    for explanation, offered in found:
        assert_true(season, plan, explanation, offered)
