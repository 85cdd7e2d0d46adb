"""Tables over a network taken apart, against SciPy's Dijkstra on the same arcs and networkx on generated maps."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from planner.travel import RoadNetwork
from planner.travel.doors import Doors
from planner.travel.large_tables.dissection import ROOT, depths, dissect
from planner.travel.large_tables.hierarchy import Hierarchy
from planner.travel.large_tables.least_sums import FAR, lower_by_sums
from planner.travel.routing.arcs import Arcs
from planner.travel.routing.turn_states import TurnStates
from tests.unit.travel.real_extracts import Extract, real_extract
from tests.unit.travel.small_roads import grid_degrees

Floats = npt.NDArray[np.float64]
_INF = math.inf


def _arcs(dice: np.random.Generator, nodes: int, count: int, reach: float) -> tuple[csr_array, Floats]:
    """Return random arcs between near nodes, some there only, some of no length, and where the nodes lie."""
    places = dice.random((nodes, 2)) * 0.1 + np.array([50.0, 10.0])
    a, b = dice.integers(0, nodes, (2, count))
    near = (np.hypot(*(places[a] - places[b]).T) < reach) & (a != b)
    a, b = a[near], b[near]
    both = dice.random(len(a)) < 0.7
    starts, ends = np.concatenate([a, b[both]]), np.concatenate([b, a[both]])
    _, once = np.unique(starts * nodes + ends, return_index=True)
    seconds = dice.integers(0, 50, len(once)).astype(np.float64)
    arcs = csr_array((seconds, (starts[once], ends[once])), shape=(nodes, nodes))
    arcs.sort_indices()
    return arcs, places


def _doors(dice: np.random.Generator, nodes: int, count: int) -> Doors:
    """Return doors of places: none, one or more each."""
    rows = np.sort(dice.integers(0, count, 2 * count))
    seconds = dice.integers(0, 9, len(rows)).astype(np.float64)
    return Doors.build(count, rows, dice.integers(0, nodes, len(rows)), seconds, np.zeros(len(rows), dtype=np.int64))


def _expected(arcs: csr_array, leaving: Doors, entering: Doors) -> Floats:
    """Return SciPy's times between all doors, the least for each pair of places."""
    by_node = dijkstra(arcs, indices=leaving.nodes)
    table = np.full((leaving.count, entering.count), np.inf)
    for row, (place, seconds) in enumerate(zip(leaving.places, leaving.seconds, strict=True)):
        for other, node, more in zip(entering.places, entering.nodes, entering.seconds, strict=True):
            table[place, other] = min(table[place, other], seconds + by_node[row, node] + more)
    return table


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 160), st.sampled_from([0.02, 0.05, 0.2]), st.integers(1, 40))
def test_that_tables_equal_scipys_with_and_without_a_limit(seed: int, nodes: int, reach: float, count: int) -> None:
    dice = np.random.default_rng(seed)
    arcs, places = _arcs(dice, nodes, 6 * nodes, reach)
    leaving, entering = _doors(dice, nodes, count), _doors(dice, nodes, max(count // 2, 1))
    expected = _expected(arcs, leaving, entering)
    hierarchy = Hierarchy.build(arcs, places[:, 0], places[:, 1])
    assert hierarchy is not None
    np.testing.assert_allclose(hierarchy.seconds(leaving, entering, _INF), expected, atol=1e-9)
    limited = hierarchy.seconds(leaving, entering, 40.0)
    within = expected <= 40.0
    np.testing.assert_allclose(limited[within], expected[within], atol=1e-9)
    assert (limited[~within] > 40.0).all()


def test_that_a_real_extract_with_its_turn_restrictions_equals_scipys() -> None:
    roads = RoadNetwork.read(real_extract(Extract.HELSINKI)).roads
    states = TurnStates.build(roads)
    assert states.count > states.junction_count
    arcs, junctions = Arcs.build(states).seconds, states.junctions
    hierarchy = Hierarchy.build(arcs, roads.node_latitudes[junctions], roads.node_longitudes[junctions])
    assert hierarchy is not None
    every = np.arange(states.count)
    doors = Doors.build(states.count, every, every, np.zeros(states.count), np.zeros_like(every))
    np.testing.assert_allclose(hierarchy.seconds(doors, doors, _INF), dijkstra(arcs), atol=1e-9)


def test_that_a_larger_grid_with_cells_worked_on_alone_equals_scipys() -> None:
    dice = np.random.default_rng(7)
    numbers = np.arange(70 * 70).reshape(70, 70)
    a = np.concatenate([numbers[:, :-1].ravel(), numbers[:-1].ravel()])
    b = np.concatenate([numbers[:, 1:].ravel(), numbers[1:].ravel()])
    starts, ends = np.concatenate([a, b]), np.concatenate([b, a])
    kept = dice.random(len(starts)) < 0.9
    arcs = csr_array((dice.random(int(kept.sum())) * 100, (starts[kept], ends[kept])), shape=(4900, 4900))
    hierarchy = Hierarchy.build(arcs, *grid_degrees(4900, 70))
    assert hierarchy is not None
    assert max(batch.size for level in hierarchy.levels for batch in level.layout.batches) > 100
    leaving, entering = _doors(dice, 4900, 300), _doors(dice, 4900, 200)
    expected = _expected(arcs, leaving, entering)
    np.testing.assert_allclose(hierarchy.seconds(leaving, entering, _INF), expected, atol=1e-9)
    limited = hierarchy.seconds(leaving, entering, 500.0)
    within = expected <= 500.0
    assert 0.02 < within.mean() < 0.98
    np.testing.assert_allclose(limited[within], expected[within], atol=1e-9)
    assert (limited[~within] > 500.0).all()


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 300), st.sampled_from([0.01, 0.05, 0.3]))
def test_that_every_road_joins_a_cell_to_itself_or_to_one_that_holds_it(seed: int, nodes: int, reach: float) -> None:
    dice = np.random.default_rng(seed)
    arcs, places = _arcs(dice, nodes, 4 * nodes, reach)
    starts, ends = arcs.nonzero()
    cells = dissect(places[:, 0], places[:, 1], (starts.astype(np.int64), ends.astype(np.int64)))
    depth = depths(cells)
    assert (cells >= ROOT).all()
    apart = depth[starts] - depth[ends]
    lower = np.where(apart >= 0, cells[starts], cells[ends])
    upper = np.where(apart >= 0, cells[ends], cells[starts])
    assert (lower >> np.abs(apart) == upper).all()


def test_that_a_grid_across_180_degrees_is_cut_along_its_narrow_way() -> None:
    numbers = np.arange(600).reshape(10, 60)
    a = np.concatenate([numbers[:, :-1].ravel(), numbers[:-1].ravel()])
    b = np.concatenate([numbers[:, 1:].ravel(), numbers[1:].ravel()])
    latitudes, longitudes = grid_degrees(600, 60)
    cells = dissect(latitudes, np.where(longitudes < 10.3, longitudes + 169.7, longitudes - 190.3), (a, b))
    assert int((cells == ROOT).sum()) <= 10


def test_that_a_network_without_narrow_places_is_left_whole() -> None:
    dice = np.random.default_rng(3)
    arcs, places = _arcs(dice, 3000, 40_000, 10.0)
    assert Hierarchy.build(arcs, places[:, 0], places[:, 1]) is None


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 70), st.integers(0, 70), st.integers(0, 30))
def test_that_the_product_of_times_is_the_least_of_all_sums(seed: int, rows: int, columns: int, count: int) -> None:
    dice = np.random.default_rng(seed)
    firsts, seconds, table = dice.random((count, rows)), dice.random((count, columns)), dice.random((rows, columns))
    firsts[dice.random(firsts.shape) < 0.3] = FAR
    expected = table.copy()
    for first, second in zip(firsts, seconds, strict=True):
        for row in range(rows):
            expected[row] = [min(old, first[row] + more) for old, more in zip(expected[row], second, strict=True)]
    lower_by_sums(table, firsts, seconds)
    assert (table == expected).all()


@pytest.mark.parametrize("limit", [_INF, 3.0])
def test_that_places_without_a_door_have_no_way(limit: float) -> None:
    arcs = csr_array((np.ones(1), (np.array([0]), np.array([1]))), shape=(2, 2))
    hierarchy = Hierarchy.build(arcs, np.array([50.0, 50.1]), np.array([10.0, 10.0]))
    none = np.zeros(0, dtype=np.int64)
    nowhere = Doors.build(3, none, none, np.zeros(0), none)
    assert hierarchy is not None
    assert np.isinf(hierarchy.seconds(nowhere, nowhere, limit)).all()
