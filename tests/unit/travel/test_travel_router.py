"""Many places at once and few at a time give the same times, whichever way is less work."""

import math

import numpy as np
import pytest

from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.positions import Positions
from planner.travel.routing.router import Router
from tests.unit.travel.small_roads import Edge, manoeuvres, road_arrays

_SIDE = 24


@pytest.fixture(scope="module")
def roads() -> RoadArrays:
    """A grid, one-way roads and many forbidden turns in it."""
    dice = np.random.default_rng(11)
    numbers = np.arange(_SIDE * _SIDE).reshape(_SIDE, _SIDE)
    starts = np.concatenate([numbers[:, :-1].ravel(), numbers[:-1].ravel()]).tolist()
    ends = np.concatenate([numbers[:, 1:].ravel(), numbers[1:].ravel()]).tolist()
    edges: list[Edge] = [
        (start, end, float(dice.uniform(5, 60)), math.inf if dice.random() < 0.2 else float(dice.uniform(5, 60)))
        for start, end in zip(starts, ends, strict=True)
    ]
    return road_arrays(edges, manoeuvres(edges, dice, 150), side=_SIDE)


@pytest.fixture
def grid(roads: RoadArrays) -> tuple[Router, Positions]:
    """Places all over the grid, some on no road."""
    dice = np.random.default_rng(12)
    router = Router(roads)
    fractions = dice.choice([0.0, 0.3, 0.6, 1.0], 160)
    edges = np.where(dice.random(160) < 0.05, -1, dice.integers(0, roads.edge_count, 160))
    return router, Positions.build(router.states, edges, fractions)


def _some(router: Router, places: Positions, rows: slice) -> Positions:
    return Positions.build(router.states, places.edges[rows], places.fractions[rows])


@pytest.mark.parametrize("limit", [math.inf, 400.0])
def test_that_a_large_table_equals_its_rows_and_columns_asked_one_at_a_time(
    grid: tuple[Router, Positions], limit: float
) -> None:
    router, places = grid
    whole = router.seconds(places, places, limit)
    assert 0.05 < np.isfinite(whole).mean() < 1.0
    for row in range(0, len(places), 20):
        one = _some(router, places, slice(row, row + 1))
        np.testing.assert_allclose(router.seconds(one, places, limit)[0], whole[row], atol=1e-9)
        np.testing.assert_allclose(router.seconds(places, one, limit)[:, 0], whole[:, row], atol=1e-9)


def test_that_only_large_tables_take_the_network_apart(grid: tuple[Router, Positions]) -> None:
    router, places = grid
    few = _some(router, places, slice(0, 60))
    router.seconds(few, places, math.inf)
    assert not router.is_apart
    # A short limit ends each search near its place: a hundred of them are no more than ten over everything.
    router.seconds(places, places, 20.0)
    assert not router.is_apart
    router.seconds(places, places, math.inf)
    assert router.is_apart


def test_that_no_places_give_an_empty_table(grid: tuple[Router, Positions]) -> None:
    router, places = grid
    nobody = _some(router, places, slice(0, 0))
    assert router.seconds(nobody, places, math.inf).shape == (0, 160)
    assert router.seconds(places, nobody, math.inf).shape == (160, 0)
