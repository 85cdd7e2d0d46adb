"""Forbidden turns, against a search that keeps in mind all that was driven last."""

import math

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.travel import RoadNetwork
from planner.travel.routing.arcs import Arcs, quickest_way
from planner.travel.routing.positions import Positions
from planner.travel.routing.road_graph import road_graph
from planner.travel.routing.router import Router
from planner.travel.routing.turn_states import TurnStates
from tests.unit.travel.small_roads import Edge, EveryWay, Place, drives_a_ban, joined, manoeuvres, road_arrays

_INF = math.inf


@st.composite
def _networks(draw: st.DrawFn) -> tuple[list[Edge], list[list[int]], list[Place]]:
    """Draw roads, loops, parallel and one-way ones and such of no length among them, bans and places."""
    junctions = draw(st.integers(2, 7))
    node = st.integers(0, junctions - 1)
    took = st.sampled_from([0.0, 1.0, 2.0, 3.5, 7.0])
    edge = st.tuples(node, node, took, st.one_of(took, st.just(_INF)))
    edges = draw(st.lists(edge, min_size=2, max_size=10))
    dice = np.random.default_rng(draw(st.integers(0, 10**6)))
    bans = manoeuvres(edges, dice, draw(st.integers(0, 8)))
    fraction = st.sampled_from([0.0, 0.25, 0.5, 0.75, 1.0])
    place = st.tuples(st.integers(0, len(edges) - 1), fraction)
    return edges, bans, draw(st.lists(place, min_size=2, max_size=4, unique=True))


def _positions(states: TurnStates, places: list[Place]) -> Positions:
    edges, fractions = zip(*places, strict=True)
    return Positions.build(states, np.array(edges), np.array(fractions))


@settings(max_examples=60, deadline=None)
@given(_networks())
def test_that_drives_are_the_quickest_that_keep_to_every_ban(
    drawn: tuple[list[Edge], list[list[int]], list[Place]],
) -> None:
    edges, bans, places = drawn
    router, every_way = Router(road_arrays(edges, bans)), EveryWay(edges, bans)
    expected = [[every_way.seconds(start, end) for end in places] for start in places]
    here = _positions(router.states, places)
    np.testing.assert_allclose(router.seconds(here, here, _INF), expected, atol=1e-9)
    # More origins than destinations are searched backwards.
    one = _positions(router.states, places[:1])
    np.testing.assert_allclose(router.seconds(here, one, _INF)[:, 0], [row[0] for row in expected], atol=1e-9)


@settings(max_examples=50, deadline=None)
@given(_networks())
def test_that_a_way_takes_what_is_said_and_drives_no_ban(
    drawn: tuple[list[Edge], list[list[int]], list[Place]],
) -> None:
    edges, bans, places = drawn
    states, every_way = TurnStates.build(road_arrays(edges, bans)), EveryWay(edges, bans)
    arcs = Arcs.build(states)
    start, end = (_positions(states, [place]) for place in places[:2])
    way = quickest_way(arcs, start.leaving, end.entering, _INF)
    if way is None:
        assert len(places) > 1
        return
    between = [arcs.via_between(a, b) for a, b in zip(way.nodes[:-1], way.nodes[1:], strict=True)]
    (first, from_start), (last, from_end) = places[:2]
    left = from_start if way.left_by == 0 else 1.0 - from_start
    entered = from_end if way.entered_by == 0 else 1.0 - from_end
    driven = [*([2 * first + 1 - way.left_by] if left else []), *between]
    driven += [2 * last + way.entered_by] if entered else []
    assert joined(driven, every_way)
    assert not drives_a_ban(driven, bans)
    shares = [*([left] if left else []), *(1.0 for _ in between), *([entered] if entered else [])]
    took = sum(share * every_way.seconds_of(arc) for share, arc in zip(shares, driven, strict=True))
    assert way.seconds == pytest.approx(took, abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(_networks())
def test_that_the_largest_part_has_the_most_junctions_by_networkx(
    drawn: tuple[list[Edge], list[list[int]], list[Place]],
) -> None:
    edges, bans, _ = drawn
    roads = road_arrays(edges, bans)
    states = TurnStates.build(roads)
    graph = road_graph(roads, states, "")
    parts = [
        (
            len({graph.nodes[state]["junction"] for state in part}),
            {int(data["edge"]) for *_, data in graph.subgraph(part).edges(data=True)},
        )
        for part in nx.strongly_connected_components(graph)
    ]
    most = max(junctions for junctions, _ in parts)
    found = set(np.flatnonzero(Arcs.build(states).largest_part()).tolist())
    assert found in [within for junctions, within in parts if junctions == most]


def test_that_a_road_no_turn_leads_into_is_in_no_part() -> None:
    # A ring of three roads and one across the middle of two, which may not be turned into from anywhere.
    edges: list[Edge] = [(0, 1, 9.0, 9.0), (1, 2, 9.0, 9.0), (2, 0, 9.0, 9.0), (1, 2, 5.0, 5.0)]
    into_it = [[arc, 6] for arc in (0, 3, 7)] + [[arc, 7] for arc in (2, 5, 6)]
    arcs = Arcs.build(TurnStates.build(road_arrays(edges, into_it)))
    assert arcs.largest_part().tolist() == [True, True, True, False]


@pytest.fixture
def crossing() -> RoadNetwork:
    """A road from west to east over a crossing, one to the north from there; no left turn out of the west."""
    edges: list[Edge] = [(0, 1, 60.0, 60.0), (1, 2, 60.0, 60.0), (1, 5, 60.0, 60.0)]
    return RoadNetwork(road_arrays(edges, [[0, 4]]), attribution="", content_hash="")


def test_that_a_forbidden_turn_makes_one_drive_on_and_turn_round(crossing: RoadNetwork) -> None:
    west, north, east = (50.0, 10.005), (50.005, 10.01), (50.0, 10.015)
    assert crossing.minutes([west], [north])[0, 0] == pytest.approx(0.5 + 2 * 1.0 + 0.5, abs=0.01)
    assert crossing.minutes([north], [west])[0, 0] == pytest.approx(1.0, abs=0.01)
    assert crossing.minutes([west], [east])[0, 0] == pytest.approx(1.0, abs=0.01)


def test_that_the_line_and_the_roads_reached_keep_to_it_as_well(crossing: RoadNetwork) -> None:
    west, north = (50.0, 10.005), (50.005, 10.01)
    assert [place[1] for place in crossing.path(west, north)] == pytest.approx([10.005, 10.01, 10.02, 10.01, 10.01])
    reached = crossing.reached(west, 1.0)
    assert all(place[0] == pytest.approx(50.0) for line in reached for place in line)
    assert max(place[1] for line in reached for place in line) == pytest.approx(10.015, abs=1e-4)
    assert any(place[0] > 50.0005 for line in crossing.reached(west, 2.7) for place in line)


def test_that_a_place_at_the_crossing_itself_may_go_any_way(crossing: RoadNetwork) -> None:
    assert crossing.minutes([(50.0, 10.01)], [(50.01, 10.01)])[0, 0] == pytest.approx(1.0, abs=0.01)


def test_that_the_graph_says_which_junction_a_node_belongs_to(crossing: RoadNetwork) -> None:
    assert crossing.graph.number_of_nodes() == crossing.roads.node_count + 1
    assert crossing.graph.nodes[crossing.roads.node_count]["junction"] == 1
    assert (crossing.graph.nodes[6]["latitude"], crossing.graph.nodes[6]["longitude"]) == (50.0, pytest.approx(10.01))
    assert sorted(data["edge"] for _, _, data in crossing.graph.out_edges(6, data=True)) == [0, 1]
