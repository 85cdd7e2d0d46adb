"""One-way roads, two roads far apart by car, homes off the road, ways on foot: found in a season with a road map."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.travel import RoadNetwork, Side
from planner.usecases.checking import check_season
from planner.usecases.season.problem import roads_from_homes, season_problem, season_problem_after
from tests.unit.travel.road_maps import Node, Way, write_osm
from tests.unit.usecases.checked_seasons import Checked, good_facts, line_m, moved, route, volunteer

METRE_DEG = 1.0 / 111_229.0
"""Of latitude at 50 north, WGS84."""
LANE = {"highway": "unclassified", "name": "Lane"}


def _sided(**by_point: Side) -> Checked:
    sides = tuple(by_point.get(f"p{number}", Side("Lane")) for number in range(1, 5))
    return Checked(facts={"R1": good_facts(sides=sides)})


def test_that_points_on_one_carriageway_are_one_finding_and_those_on_other_one_way_roads_another() -> None:
    dual, lane = Side("A39", oneway=True, other_side_m=18.0), Side("Mill Street", oneway=True)
    first, second = _sided(p1=dual, p2=dual, p3=lane).findings()
    assert (first.rule, first.severity, first.subject) == (Rule.ROUTE_ONE_WAY, Severity.DOUBT, Subject("R1", point=1))
    assert first.what == "Points 1 and 2 stand on one carriageway of A39: one comes there from one side only."
    assert "that it is the side that is meant" in first.todo
    assert (second.rule, second.severity, second.subject.point) == (Rule.ROUTE_ONE_WAY, Severity.NOTE, 3)
    assert second.what == "Point 3 stands on Mill Street, one-way: one comes there from one side only."


def test_that_of_many_one_way_roads_the_first_are_named() -> None:
    roads = {f"p{number}": Side(f"Road {number}", oneway=True) for number in range(1, 5)}
    assert "on Road 1, Road 2 and 2 more roads, one-way" in _sided(**roads).only().what
    del roads["p4"]
    assert "on Road 1, Road 2 and Road 3, one-way" in _sided(**roads).only().what


def test_that_a_point_between_two_roads_far_apart_by_car_is_found() -> None:
    finding = _sided(p2=Side("South Bank", rival="North Bank", rival_m=44.6)).only()
    assert (finding.rule, finding.severity) == (Rule.ROUTE_TWO_ROADS, Severity.DOUBT)
    assert finding.what == (
        "Point 2 stands 5 m from South Bank and 45 m from North Bank, more than 5 minutes apart by car."
    )


def test_that_a_misplaced_or_unreachable_point_is_not_judged_by_its_road() -> None:
    dual = Side("A39", oneway=True, other_side_m=18.0)
    legs = line_m(4) / 400
    legs[2, :] = legs[:, 2] = np.inf
    legs[2, 2] = 0.0
    facts = good_facts(sides=(Side("Lane"), None, dual, Side("Lane")), legs_minutes=legs)
    assert Checked(facts={"R1": facts}).rules() == [Rule.ROUTE_UNREACHABLE]


@pytest.mark.parametrize(("metres", "said"), [(400.0, "5 min on foot each way"), (2_500.0, ""), (np.inf, "")])
def test_that_the_walk_reckoned_with_is_said_where_one_is(metres: float, said: str) -> None:
    todo = Checked(facts={"R1": good_facts(snap_m=np.array([0.0, 0.0, 0.0, metres]))}).only().todo
    assert said in todo
    assert ("on foot" in todo, "estimated without roads" in todo) == (bool(said), not said)


def _network(folder: Path) -> RoadNetwork:
    """A dual carriageway through points 1 and 2 of route R1, and a lane from there through the others and past V1."""
    south, north = 50.5, 50.5 + 15 * METRE_DEG
    nodes: dict[int, Node] = {1: (south, -4.1), 2: (south, -3.995), 3: (south, -3.975), 4: (south, -3.94)}
    nodes |= {5: (north, -3.975), 6: (north, -3.995)}
    way = {"highway": "primary", "name": "Moor Road", "oneway": "yes"}
    ways: list[Way] = [([1, 2], LANE), ([3, 4], LANE), ([2, 3], way), ([5, 6], way), ([3, 5], LANE), ([2, 6], LANE)]
    return RoadNetwork.read(write_osm(folder / "a.osm", nodes, ways))


def _season(point_3: Place) -> Season:
    """R1 on those roads, one point wherever it is wanted, and V2's home 250 m off the road."""
    people = (volunteer("V1", home=Place(50.5, -4.1)), volunteer("V2", home=Place(50.5 + 251 * METRE_DEG, -4.05)))
    return Checked(routes=(moved(route("R1"), 3, point_3),), volunteers=people).season


def _findings(season: Season, network: RoadNetwork, rule: Rule) -> list[Finding]:
    found = check_season(season, Plan(), season_problem(season, network), network).findings
    return [finding for finding in found if finding.rule is rule]


def test_that_a_season_is_judged_by_its_road_map(tmp_path: Path) -> None:
    network, season = _network(tmp_path), _season(Place(50.5, -3.97))
    (one_way,) = _findings(season, network, Rule.ROUTE_ONE_WAY)
    assert one_way.what.startswith("Points 1 and 2 stand on one carriageway of Moor Road")
    (home,) = _findings(season, network, Rule.VOLUNTEER_OFF_ROAD)
    assert home.what == "The home of V2 lies 250 m from the road that its drives begin on."
    assert _findings(season, network, Rule.ROUTE_TWO_ROADS) == []


def test_that_a_home_beyond_the_road_map_is_found_once_and_its_drives_are_said_to_be_estimates(tmp_path: Path) -> None:
    network, season = _network(tmp_path), _season(Place(50.5, -3.97))
    beyond = replace(season, volunteers=(season.volunteers[0], volunteer("V2", home=Place(50.7, -4.05))))
    (home,) = _findings(beyond, network, Rule.VOLUNTEER_OFF_ROAD)
    assert home.what.startswith("The home of V2 lies near no road of the map. Drives are estimated without roads")
    abroad = replace(season, volunteers=(*season.volunteers[:1], volunteer("V2", home=Place(-50.5, -4.1))))
    assert _findings(abroad, network, Rule.VOLUNTEER_OFF_ROAD) == []
    assert len(_findings(abroad, network, Rule.VOLUNTEER_FAR_AWAY)) == 1


def test_that_the_walk_to_a_point_is_part_of_every_drive_to_it_and_from_it(tmp_path: Path) -> None:
    network = _network(tmp_path)
    off_m = 300.0
    on_road, off_road = (
        season_problem(_season(Place(50.5 - metres * METRE_DEG, -3.97)), network).drives["R1"]
        for metres in (0.0, off_m)
    )
    walk = off_m / 1609.344 * 20.0
    legs = np.zeros((4, 4))
    legs[2, :] = legs[:, 2] = walk
    legs[2, 2] = 0.0
    np.testing.assert_allclose(off_road.legs.expected - on_road.legs.expected, legs, atol=0.02)
    points = np.array([0.0, 0.0, walk, 0.0])
    # The walk from V2's home to its road is none: the car stands at the home.
    np.testing.assert_allclose(off_road.out.expected - on_road.out.expected, np.tile(points, (2, 1)), atol=0.02)
    np.testing.assert_allclose(off_road.back.expected.T - on_road.back.expected.T, np.tile(points, (2, 1)), atol=0.02)


def test_that_points_go_to_the_roads_that_the_homes_reach_and_all_is_computed_anew_where_these_change(
    tmp_path: Path,
) -> None:
    # A scrap of lane by the points, joined to nothing, and by the homes a shorter one with another way past the points.
    nodes: dict[int, Node] = {n: (50.5, -3.995 + 0.01 * n) for n in range(6)}
    nodes |= {10 + n: (50.503, -4.1 + 0.04 * n) for n in range(5)}
    ways: list[Way] = [([a, b], LANE) for line in (range(6), range(10, 15)) for a, b in pairwise(line)]
    network = RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, ways))
    near = Checked(routes=(route("R1"),), volunteers=(volunteer("V1", home=Place(50.5, -3.98)),)).season
    far = replace(near, volunteers=(volunteer("V1", home=Place(50.503, -4.09)),))
    assert roads_from_homes(near, network) is network
    assert roads_from_homes(far, network) is not network
    problem = season_problem(far, network)
    assert np.isfinite(problem.drives["R1"].out.expected).all()
    after = season_problem_after(season_problem(near, network), far, network, same_roads=True)
    np.testing.assert_array_equal(after.drives["R1"].legs.expected, problem.drives["R1"].legs.expected)
    np.testing.assert_array_equal(after.drives["R1"].out.expected, problem.drives["R1"].out.expected)
