"""A point under the cursor: where the road takes it, and the same figures that the check finds once it stands there."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from geopy.distance import geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import PointRule, Spacing, SpacingKind
from planner.domain.errors import RuleError
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.finding import Rule
from planner.domain.geo import Place
from planner.domain.measures import Length
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.travel import RoadNetwork
from planner.usecases.route_fixes import Surroundings, weigh
from planner.usecases.routes.moving_point import moving_point
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import roads_from_homes
from tests.unit.usecases.checked_seasons import PROTOCOL, route
from tests.unit.usecases.edited_seasons import heath_file

pytestmark = pytest.mark.xdist_group("heath routes")


class Heath:
    """The dusk demo's routes and roads; a test that fails shows no page of them."""

    def __init__(self, season: Season, network: RoadNetwork) -> None:
        self.season, self.network = season, network


@pytest.fixture(scope="module")
def heath(tmp_path_factory: pytest.TempPathFactory) -> Heath:
    with heath_file(tmp_path_factory.mktemp("heath")) as file:
        season = file.season()
        network = road_network(file.path, season.roads)
    assert network is not None
    return Heath(season, network)


@settings(max_examples=12)
@given(st.integers(1, 10), st.floats(-0.01, 0.01), st.floats(-0.015, 0.015), st.booleans(), st.booleans())
def test_that_what_is_said_under_the_cursor_is_what_the_check_finds_there(
    heath: Heath, number: int, north: float, east: float, along: bool, recorded: bool
) -> None:
    season, network = heath.season, heath.network
    if recorded:
        season = replace(season, drive_factors=DriveFactors(DriveFactor("", 1.3, 9), (DriveFactor("R05", 1.2, 5),)))
    if along:
        spacing = Spacing(SpacingKind.RANGE, Length(800.0, "m"), Length(1200.0, "m"))
        points = replace(season.protocol.points, spacing=spacing)
        season = replace(season, protocol=replace(season.protocol, points=points))
    one = season.route("R05")
    was = one.point(number).place
    cursor = Place(was.latitude + north, was.longitude + east)
    roads = roads_from_homes(season, network)
    found = moving_point(season.protocol, roads, one, number, cursor, season.drive_factors)
    points_now = tuple(replace(p, place=found.place) if p.number == number else p for p in one.points)
    before = weigh(Surroundings(season, Plan(), network), one)
    after = weigh(Surroundings(season, Plan(), network), replace(one, points=points_now))
    at = number - 1
    for neighbour, leg in ((found.before, at - 1), (found.behind, at)):
        if neighbour is None:
            assert (leg < 0) or leg == len(one.points) - 1
            continue
        assert neighbour.number == one.points[leg if leg < at else leg + 1].number
        assert neighbour.apart_m == pytest.approx(after.figures.apart_m(leg), abs=0.5)
        assert neighbour.was_apart_m == pytest.approx(before.figures.apart_m(leg), abs=0.5)
        assert neighbour.drive_minutes == pytest.approx(after.figures.points[leg].drive_minutes)
        assert neighbour.was_drive_minutes == pytest.approx(before.figures.points[leg].drive_minutes)
    assert found.drive_change_minutes == pytest.approx(after.figures.drive_minutes - before.figures.drive_minutes)
    # On top of another point it is that point twice, which is one finding with its circle.
    circles = [finding for finding in after.findings if finding.rule in (Rule.ROUTE_CIRCLES, Rule.ROUTE_TWICE)]
    if found.overlapping:
        assert circles


def test_that_the_point_stands_on_the_road_nearest_to_the_cursor(heath: Heath) -> None:
    season, network = heath.season, heath.network
    cursor = season.route("R09").point(4).place
    found = moving_point(season.protocol, network, season.route("R09"), 4, cursor)
    assert found.to_road_m == pytest.approx(298, abs=1)
    # Independent oracle: geopy's geodesic.
    assert geodesic(_pair(cursor), _pair(found.place)).m == pytest.approx(298, abs=1)
    assert network.snap([found.place])[0].distance_m < 1


def _pair(place: Place) -> tuple[float, float]:
    return place.latitude, place.longitude


def test_that_circles_that_would_overlap_are_named_and_those_that_may_are_not() -> None:
    one = route("R1")
    near = Place(50.5, one.point(2).place.longitude + 0.002)
    found = moving_point(replace(PROTOCOL, points=PointRule(1, 9)), None, one, 4, near)
    assert found.overlapping == (2,)
    assert found.to_road_m is None
    assert found.place == Place(50.5, round(near.longitude, 5))
    assert PROTOCOL.habitat is not None
    free = replace(PROTOCOL, habitat=replace(PROTOCOL.habitat, circles_may_overlap=True))
    assert moving_point(free, None, one, 4, near).overlapping == ()
    assert moving_point(replace(PROTOCOL, habitat=None), None, one, 4, near).overlapping == ()


@pytest.mark.parametrize(("east_m", "spaced"), [(700, False), (720, True), (880, True), (900, False)])
def test_that_the_spacing_is_judged_with_its_tolerance(east_m: float, spaced: bool) -> None:
    # 800 m, give or take 10 %; without roads as the crow flies.
    one = route("R1", 2)
    metre = 0.01 / geodesic(_pair(one.point(1).place), _pair(one.point(2).place)).m
    edge = 0.5 if east_m == 720 else -0.5 if east_m == 880 else 0.0
    cursor = Place(50.5, one.point(1).place.longitude + (east_m + edge) * metre)
    found = moving_point(PROTOCOL, None, one, 2, cursor)
    assert found.before is not None
    assert found.behind is None
    assert found.before.spaced is spaced


def test_that_a_point_on_its_own_has_no_neighbours() -> None:
    one = route("R1", 1)
    found = moving_point(PROTOCOL, None, one, 1, Place(50.6, -4.0))
    assert (found.before, found.behind, found.drive_change_minutes) == (None, None, 0)


def test_that_a_point_that_is_not_there_is_refused() -> None:
    with pytest.raises(RuleError, match="no point 9"):
        moving_point(PROTOCOL, None, route("R1"), 9, Place(50.0, -4.0))


def test_that_the_figures_follow_the_mouse(heath: Heath) -> None:
    season, network = heath.season, heath.network
    one = season.route("R05")
    took = []
    for step in range(20):
        begun = time.process_time()
        moving_point(season.protocol, network, one, 5, Place(54.68 + step / 5000, 2.34))
        took.append(time.process_time() - begun)
    assert np.median(took) < 0.05


def test_that_a_place_without_a_road_near_stays_under_the_cursor(heath: Heath) -> None:
    season, network = heath.season, heath.network
    at_sea = Place(55.5, 3.5)
    found = moving_point(season.protocol, network, season.route("R05"), 5, at_sea)
    assert (found.place, found.to_road_m) == (at_sea, None)
