"""Points near busy roads, on real little maps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from planner.domain.counting import BusyRoadRule, PointRule
from planner.domain.errors import RuleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.geo import Place
from planner.domain.measures import Length, Speed
from planner.domain.route import Point, Route
from planner.exchange import shipped_protocol
from planner.forms import protocol_from_plain, protocol_to_plain
from planner.travel import RoadNetwork, busy_edges, busy_roads_near
from planner.usecases.route_fixes import FixKind, Surroundings, fixes_for, weigh
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm
from tests.unit.usecases.checked_seasons import PROTOCOL
from tests.unit.usecases.test_route_fixes import planned_on_nothing

TRUNK = {"highway": "trunk", "name": "Long Street", "maxspeed": "60 mph"}
RULE = BusyRoadRule(Length(200.0, "m"), kinds=("trunk", "motorway"))


def north_of(longitude: float, metres: float) -> Place:
    """A place so far north of the trunk road on 50 N: pyproj's geodesic."""
    east, north, _ = Geod(ellps="WGS84").fwd(longitude, 50.0, 0.0, metres)
    return Place(north, east)


@pytest.fixture(scope="module")
def lanes(tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    """A trunk road along 50 N with a tunnel in its east, a lane that follows it 400 m north, and one that crosses."""
    nodes = {
        **row(5),
        11: (50.0036, 10.0),
        12: (50.0036, 10.04),
        13: (49.99, 10.01),
        14: (50.0036, 10.01),
        15: (50.05, 10.01),
    }
    ways = [
        ((1, 2, 3), TRUNK),
        ((3, 4, 5), {**TRUNK, "tunnel": "yes"}),
        ((11, 14, 12), {**RESIDENTIAL, "name": "Quiet Lane"}),
        ((13, 2, 14, 15), {**RESIDENTIAL, "maxspeed": "30 mph"}),
    ]
    return RoadNetwork.read(write_osm(tmp_path_factory.mktemp("busy") / "lanes.osm", nodes, ways))


def beside(lane: Route, network: RoadNetwork | None, points: PointRule) -> Surroundings:
    """A season of that route alone, without anybody who lives far from it."""
    around = planned_on_nothing(lane, network, points=points, habitat=None)
    return replace(around, season=replace(around.season, volunteers=()))


def findings(network: RoadNetwork | None, rule: BusyRoadRule | None, *places: Place) -> list[Finding]:
    lane = Route("R1", "", tuple(Point(number, place) for number, place in enumerate(places, start=1)))
    around = beside(lane, network, PointRule(1, 9, busy_road=rule))
    return [finding for finding in weigh(around, lane).findings if finding.rule is Rule.ROUTE_BUSY_ROAD]


def test_that_a_point_near_a_busy_road_is_found_with_road_and_metres(lanes: RoadNetwork) -> None:
    (finding,) = findings(lanes, RULE, north_of(10.003, 120.0), north_of(10.003, 400.0), north_of(10.006, 400.0))
    assert (finding.severity, finding.subject.point) == (Severity.TROUBLE, 1)
    assert finding.what == (
        "Point 1 stands 120 m from Long Street (trunk); the protocol wants 200 m or more from busy roads."
    )


def test_that_points_near_busy_roads_are_one_finding_with_the_nearest(lanes: RoadNetwork) -> None:
    places = (north_of(10.003, 120.0), north_of(10.006, 2.0), north_of(10.015, 190.0), north_of(10.018, 400.0))
    (finding,) = findings(lanes, RULE, *places)
    assert finding.subject.point == 2
    assert finding.what == (
        "Points 1 to 3 stand near busy roads, point 2 nearest, on Long Street (trunk);"
        " the protocol wants 200 m or more from busy roads."
    )


def test_that_a_protocol_that_does_not_ask_and_a_season_without_roads_say_nothing(lanes: RoadNetwork) -> None:
    assert findings(lanes, None, north_of(10.003, 5.0)) == []
    assert findings(None, RULE, north_of(10.003, 5.0)) == []


def test_that_no_road_is_heard_in_its_tunnel(lanes: RoadNetwork) -> None:
    assert findings(lanes, RULE, north_of(10.035, 50.0)) == []


@pytest.mark.parametrize(
    ("limit", "found"), [(Speed(60, "mph"), True), (Speed(96, "km/h"), True), (Speed(97, "km/h"), False)]
)
def test_that_a_posted_limit_makes_a_road_busy(lanes: RoadNetwork, limit: Speed, found: bool) -> None:
    rule = BusyRoadRule(Length(200.0, "m"), limit_at_least=limit)
    assert bool(findings(lanes, rule, north_of(10.003, 100.0))) is found


@settings(max_examples=20)
@given(st.floats(10.0005, 10.0195), st.floats(-400.0, 400.0).filter(lambda metres: abs(abs(metres) - 200) > 0.05))
def test_that_metres_to_the_busy_road_are_those_of_the_geodesic(
    lanes: RoadNetwork, longitude: float, metres: float
) -> None:
    # The road runs along a parallel that a chord of 0.01 degrees follows to 5 cm; pyproj says how far off the place is.
    busy = busy_edges(lanes.roads, RULE.kinds, None)
    (near,) = busy_roads_near(lanes.roads, [north_of(longitude, metres)], busy, 200.0)
    assert (near is not None) == (abs(metres) < 200.0)
    if near is not None:
        assert near.metres == pytest.approx(abs(metres), abs=0.05)


def test_that_points_near_a_busy_road_go_by_a_click_where_enough_are_left(lanes: RoadNetwork) -> None:
    places = (north_of(10.003, 120.0), north_of(10.006, 400.0), north_of(10.015, 190.0), north_of(10.018, 400.0))
    lane = Route("R1", "", tuple(Point(number, place) for number, place in enumerate(places, start=1)))
    for fewest, kinds in ((2, [(FixKind.DROP, (1, 3))]), (3, [])):
        around = beside(lane, lanes, PointRule(fewest, 9, busy_road=RULE))
        weighed = weigh(around, lane)
        (finding,) = [one for one in weighed.findings if one.rule is Rule.ROUTE_BUSY_ROAD]
        assert [(offer.fix.kind, offer.fix.numbers) for offer in fixes_for(around, weighed, finding)] == kinds


def test_that_the_rule_says_which_roads_and_how_far() -> None:
    with pytest.raises(RuleError, match="which roads are busy"):
        BusyRoadRule(Length(200.0, "m"))
    with pytest.raises(RuleError, match="above 0"):
        BusyRoadRule(Length(0.0, "m"), kinds=("trunk",))


def test_that_the_rule_is_kept_with_the_protocol_and_none_is_shipped_without_a_source() -> None:
    rule = BusyRoadRule(Length(0.25, "mi"), ("motorway",), Speed(50, "mph"))
    protocol = replace(PROTOCOL, points=replace(PROTOCOL.points, busy_road=rule))
    plain = protocol_to_plain(protocol)
    assert plain["points"]["busy_road"] == {"least": "0.25 mi", "kinds": ["motorway"], "limit_at_least": "50 mph"}
    assert protocol_from_plain(plain) == protocol
    assert shipped_protocol("heath_nightjars").points.busy_road is None


def test_that_a_map_of_plain_paths_is_no_trouble(tmp_path: Path) -> None:
    small = RoadNetwork.read(write_osm(tmp_path / "small.osm", row(3), [((1, 2, 3), RESIDENTIAL)]))
    assert findings(small, RULE, Place(50.0, 10.001)) == []
    assert busy_roads_near(small.roads, [], busy_edges(small.roads, (), None), 200.0) == ()
