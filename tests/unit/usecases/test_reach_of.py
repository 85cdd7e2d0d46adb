"""What a volunteer can reach: roads where there are some, a ring where there are none, and the routes in order."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from geopy.distance import geodesic

from planner.domain.geo import Place
from planner.scheduling import drive_one_way_minutes
from planner.store import SeasonFile
from planner.travel import RoadNetwork, estimate_minutes
from planner.usecases.people.reach import reach_of, routes_in_reach
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

pytestmark = pytest.mark.xdist_group("reedhaven")


@pytest.fixture
def roads(reedhaven: SeasonFile) -> RoadNetwork:
    network = road_network(reedhaven.path, reedhaven.season().roads)
    assert network is not None
    return network


def test_that_on_roads_every_line_begins_and_ends_within_the_limit(reedhaven: SeasonFile, roads: RoadNetwork) -> None:
    home = reedhaven.season().volunteer("V01").home
    reach = reach_of(home, 6.0, roads, stop_overhead_minutes=1.0)
    assert not reach.estimated
    assert all(len(line) > 1 for line in reach.lines)
    ends = [(end.latitude, end.longitude) for line in reach.lines for end in (line[0], line[-1])]
    minutes = roads.minutes([(home.latitude, home.longitude)], ends)
    assert 4.9 < minutes.max() <= 5.001
    farther = reach_of(home, 12.0, roads, stop_overhead_minutes=1.0)
    assert len(farther.lines) > len(reach.lines)


def test_that_without_roads_it_is_a_ring_said_to_be_an_estimate() -> None:
    home = Place(54.7, 2.2)
    reach = reach_of(home, 31.0, None, stop_overhead_minutes=1.0)
    assert reach.estimated
    (ring,) = reach.lines
    metres = [geodesic((home.latitude, home.longitude), (p.latitude, p.longitude)).m for p in ring]
    assert max(metres) - min(metres) < 1
    assert estimate_minutes([home], list(ring)).max() == pytest.approx(30.0, abs=0.01)


def test_that_a_home_off_the_map_gets_a_ring(roads: RoadNetwork) -> None:
    assert reach_of(Place(0, 0), 30.0, roads).estimated


def test_that_a_limit_shorter_than_a_stop_reaches_nothing(roads: RoadNetwork) -> None:
    assert reach_of(Place(0, 0), 0.5, roads, stop_overhead_minutes=1.0).lines == ()


def test_that_routes_come_nearest_first_with_the_minutes_the_plan_goes_by(reedhaven: SeasonFile) -> None:
    problem = season_problem(reedhaven.season(), None)
    plan = reedhaven.plan()
    found = routes_in_reach(problem, plan, "V01")
    minutes = {code: float(drive_one_way_minutes(drives)[0]) for code, drives in problem.drives.items()}
    assert {one.route: one.minutes for one in found} == minutes
    assert [one.minutes for one in found] == sorted(minutes.values())
    assert all(one.within == (one.minutes <= 30.0) and one.estimated for one in found)
    mine = {(visit.key.route, visit.key.number) for visit in plan.of_volunteer("V01")}
    assert {(one.route, number) for one in found for number in one.visits} == mine


def test_that_with_roads_nothing_is_an_estimate_and_what_no_road_leads_to_is_not_within(
    reedhaven: SeasonFile, roads: RoadNetwork
) -> None:
    problem = season_problem(reedhaven.season(), roads)
    assert not any(one.estimated for one in routes_in_reach(problem, reedhaven.plan(), "V02"))
    drives = problem.drives["M01"]
    nowhere = replace(drives.out, expected=np.full_like(drives.out.expected, np.inf))
    torn = replace(problem, drives={**problem.drives, "M01": replace(drives, out=nowhere)})
    cut_off = next(one for one in routes_in_reach(torn, reedhaven.plan(), "V02") if one.route == "M01")
    assert not cut_off.within
    assert cut_off.minutes == np.inf
