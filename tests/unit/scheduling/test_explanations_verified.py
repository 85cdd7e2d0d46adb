"""Every change that an explanation offers, made in the season itself and planned with all else as it stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.change import ChangeKind
from planner.domain.plan import Explanation, Relaxation
from planner.scheduling import SeasonResult, after_rounds, plan_season
from tests.unit.scheduling.changed_seasons import assert_true, helps
from tests.unit.scheduling.random_seasons import busy_season, tiny_season


def offers(result: SeasonResult) -> list[tuple[Explanation, Relaxation]]:
    return [(one, offered) for one in result.explanations for offered in one.relaxations]


@pytest.mark.parametrize("seed", range(12))
def test_that_every_offer_on_a_random_season_comes_true(seed: int) -> None:
    season = tiny_season(seed)
    result = plan_season(season)
    for explanation, offered in offers(result):
        assert_true(season, result.plan, explanation, offered)


@pytest.mark.parametrize("seed", range(12))
def test_that_no_offer_asks_for_more_than_is_needed(seed: int) -> None:
    season = tiny_season(seed)
    result = plan_season(season)
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


def test_that_the_offers_on_a_busy_season_whose_plan_was_stopped_come_true() -> None:
    season = busy_season(22, 12, 11)
    result = plan_season(season, after_rounds(43))
    assert list(offers(result))
    for explanation, offered in offers(result):
        assert_true(season, result.plan, explanation, offered)
