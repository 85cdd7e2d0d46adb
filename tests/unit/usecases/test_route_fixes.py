"""What is offered against a finding on a route does end it, changes what it says, and is done as one step."""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from geopy.distance import geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import PointRule, Spacing, SpacingKind
from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.geo import Place
from planner.domain.measures import Length
from planner.domain.plan import Plan
from planner.domain.route import Point, Route
from planner.domain.volunteer import Volunteer
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.checking import check
from planner.usecases.route_fixes import (
    Fix,
    FixKind,
    Surroundings,
    WeighedFix,
    WeighedRoute,
    apply_fix,
    fixes_for,
    order_fixes,
    route_figures,
    weigh,
    weigh_fix,
)
from planner.usecases.route_fixes.dropping import drops_that_fit, drops_to_count
from planner.usecases.route_fixes.roads import slips_mended
from planner.usecases.route_fixes.spacing import ANOTHER_POINT_M, MOST_SHIFT_M, STEP_M, spaced_out
from planner.usecases.routes.editing import change_point
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm
from tests.unit.usecases.checked_seasons import HABITAT, PROTOCOL, good_facts, june, route
from tests.unit.usecases.edited_seasons import SEASON, heath_file, visit

pytestmark = pytest.mark.xdist_group("heath routes")


@pytest.fixture(scope="module")
def heath_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the season file of the dusk demo, not planned; do not change it."""
    with heath_file(tmp_path_factory.mktemp("heath")) as file:
        return file.path


@pytest.fixture
def heath(heath_made: Path, tmp_path: Path) -> Iterator[SeasonFile]:
    """Open a copy of the dusk demo that a test may change."""
    for path in heath_made.parent.glob("heath.*"):
        if path.suffix in (".dimpsy", ".npz"):
            shutil.copy(path, tmp_path / path.name)
    with SeasonFile.open(tmp_path / "heath.dimpsy") as file:
        yield file


def around(file: SeasonFile) -> Surroundings:
    season = file.season()
    return Surroundings(season, file.plan(), road_network(file.path, season.roads))


def only(weighed: WeighedRoute, rule: Rule) -> Finding:
    (finding,) = [finding for finding in weighed.findings if finding.rule is rule]
    return finding


def offers(file: SeasonFile, code: str, rule: Rule) -> tuple[WeighedFix, ...]:
    place = around(file)
    weighed = weigh(place, place.season.route(code))
    return fixes_for(place, weighed, only(weighed, rule))


PLANTED = [("R05", Rule.ROUTE_CIRCLES), ("R17", Rule.ROUTE_TOO_LONG), ("R09", Rule.ROUTE_OFF_ROAD)]


def test_that_a_route_weighed_alone_has_the_findings_that_the_whole_check_has(heath: SeasonFile) -> None:
    place, whole = around(heath), check(heath).findings
    known = replace(place, known=season_problem(place.season, place.network))
    for at, one in enumerate(place.season.routes):
        alone = weigh(place if at % 3 == 0 else known, one).findings
        assert list(alone) == [finding for finding in whole if finding.subject.route == one.code]


def test_that_figures_of_a_route_as_it_stands_are_those_it_is_weighed_with(heath: SeasonFile) -> None:
    place = around(heath)
    problem = season_problem(place.season, place.network)
    for one in place.season.routes[:4]:
        figures = route_figures(problem, place.network, one)
        assert figures == weigh(place, one).figures
        line = [(point.place.latitude, point.place.longitude) for point in one.points]
        crow = [float(geodesic(here, there).m) for here, there in itertools.pairwise(line)]
        assert [point.straight_m for point in figures.points[:-1]] == pytest.approx(crow, abs=0.01)
        assert all(road >= straight - 200 for road, straight in zip(_roads(figures.points), crow, strict=True))


def _roads(points: tuple[object, ...]) -> list[float]:
    return [float(getattr(point, "road_m")) for point in points[:-1]]  # noqa: B009  # None for the last one


@pytest.mark.parametrize(("code", "rule"), PLANTED)
def test_that_every_offer_ends_the_planted_trouble_in_the_whole_check_and_brings_none(
    heath: SeasonFile, code: str, rule: Rule
) -> None:
    before = heath.season()
    offered = offers(heath, code, rule)
    assert offered
    for offer in offered:
        assert offer.come == ()
        assert [finding.rule for finding in offer.gone] == [rule]
        assert apply_fix(heath, offer.fix).label == heath.history()[-1].label
        left = [finding for finding in check(heath).findings if finding.subject.route == code]
        # What is dropped on purpose leaves its number behind: a note, and a click to number anew.
        numbers = [point.number for point in offer.fix.after.points]
        holes = offer.fix.kind is FixKind.DROP and numbers != list(range(1, len(numbers) + 1))
        expected = [(Rule.ROUTE_NUMBERS, Severity.NOTE)] if holes else []
        assert [(finding.rule, finding.severity) for finding in left] == expected
        heath.undo()
        assert heath.season() == before


def test_that_the_planted_troubles_get_the_fixes_they_ask_for(heath: SeasonFile) -> None:
    kinds = {
        code: [(offer.fix.kind, offer.fix.numbers) for offer in offers(heath, code, rule)] for code, rule in PLANTED
    }
    assert kinds["R05"] == [(FixKind.SPACE_OUT, (6, 7)), (FixKind.DROP, (7,)), (FixKind.DROP, (6,))]
    assert kinds["R09"] == [(FixKind.TO_ROAD, (4,)), (FixKind.DROP, (4,))]
    assert {kind for kind, _ in kinds["R17"]} == {FixKind.DROP}
    assert all(len(numbers) == 2 for _, numbers in kinds["R17"])


def test_that_points_shifted_along_the_road_stand_on_it_and_as_far_apart_as_they_must(heath: SeasonFile) -> None:
    network = around(heath).network
    assert network is not None
    fix = offers(heath, "R05", Rule.ROUTE_CIRCLES)[0].fix
    places = [(point.place.latitude, point.place.longitude) for point in fix.after.points]
    # Independent oracle: geopy's geodesic, over every pair.
    assert min(geodesic(a, b).m for a, b in itertools.combinations(places, 2)) >= 800
    moved = [point.place for point in fix.after.points if point.number in fix.numbers]
    assert max(snap.distance_m for snap in network.snap(moved)) < 1
    assert [(p.number, p.note) for p in fix.after.points] == [(p.number, p.note) for p in fix.before.points]
    far = [geodesic(_pair(fix.before.point(n).place), _pair(fix.after.point(n).place)).m for n in fix.numbers]
    assert max(far) == pytest.approx(fix.furthest_m, abs=0.01)


def _pair(place: Place) -> tuple[float, float]:
    return place.latitude, place.longitude


def test_that_the_points_left_out_leave_the_most_margin_of_all_pairs(heath: SeasonFile) -> None:
    place = around(heath)
    # Who might lead it, and what other routes there are, is nothing to its light.
    alone = replace(place.season, routes=(place.season.route("R17"),), volunteers=place.season.volunteers[:3])
    place = replace(place, season=alone)
    weighed = weigh(place, place.season.route("R17"))
    first = weigh_fix(place, weighed, drops_that_fit(weighed, 1)[0]).after.figures.margin_minutes
    margins = []
    for gone in itertools.combinations(weighed.route.points, 2):
        points = tuple(point for point in weighed.route.points if point not in gone)
        margins.append(weigh(place, replace(weighed.route, points=points), weighed).figures.margin_minutes)
    assert first == pytest.approx(max(margin for margin in margins if margin is not None), abs=0.02)
    one_less = drops_to_count(weighed, 1, 3)
    assert len(one_less) == 3
    assert all(weigh(place, fix.after, weighed).figures.margin_minutes < 0 for fix in one_less)  # type: ignore[operator]


def test_that_points_are_left_out_one_after_the_other_where_there_are_too_many_sets(heath: SeasonFile) -> None:
    place = around(heath)
    whole = place.season.route("R17")
    dense = replace(whole, points=tuple(replace(p, number=n) for n, p in enumerate(_halved(whole), start=1)))
    rules = replace(place.protocol, points=PointRule(1, 60), habitat=replace(HABITAT, circles_may_overlap=True))
    place = replace(place, season=replace(place.season, protocol=rules))
    weighed = weigh(place, dense)
    fixes = drops_that_fit(weighed, 2)
    assert fixes
    gone = len(dense.points) - len(fixes[0].after.points)
    assert gone > 2
    margin = weigh(place, fixes[0].after).figures.margin_minutes
    assert margin is not None
    assert margin >= 0


def _halved(whole: Route) -> list[Point]:
    """The points of a route with one more half-way between any two."""
    between = [
        Point(1, Place((a.place.latitude + b.place.latitude) / 2, (a.place.longitude + b.place.longitude) / 2))
        for a, b in itertools.pairwise(whole.points)
    ]
    pairs = itertools.zip_longest(whole.points, between)
    return [point for pair in pairs for point in pair if point is not None]


def test_that_no_set_of_points_is_given_where_all_or_none_would_be_left_out(heath: SeasonFile) -> None:
    place = around(heath)
    weighed = weigh(place, place.season.route("R17"))
    assert drops_to_count(weighed, 0, 3) == ()
    assert drops_to_count(weighed, 11, 3) == ()


def test_that_points_are_not_left_out_below_the_protocols_fewest(heath: SeasonFile) -> None:
    place = around(heath)
    strict = replace(place.protocol, points=replace(place.protocol.points, fewest=10))
    place = replace(place, season=replace(place.season, protocol=strict))
    for code, rule in PLANTED:
        weighed = weigh(place, place.season.route(code))
        kinds = {offer.fix.kind for offer in fixes_for(place, weighed, only(weighed, rule))}
        assert FixKind.DROP not in kinds


def test_that_a_fix_of_a_route_that_has_changed_since_is_refused(heath: SeasonFile) -> None:
    fix = offers(heath, "R09", Rule.ROUTE_OFF_ROAD)[0].fix
    change_point(heath, "R09", 1, note="moved since")
    before = heath.season()
    with pytest.raises(ImpossibleError, match="has changed since"):
        apply_fix(heath, fix)
    assert heath.season() == before


def test_that_visits_of_the_plan_that_a_fix_breaks_are_said(heath: SeasonFile) -> None:
    place = around(heath)
    planned = replace(visit("R05", 1, june(1)), lead="V01")
    place = replace(place, plan=Plan((planned, replace(planned, key=visit("R09", 1, june(1)).key))))
    broken = [finding for finding in weigh(place, place.season.route("R05")).findings if finding.severity == 0]
    assert broken
    assert {finding.subject.route for finding in broken} == {"R05"}


def planned_on_nothing(route_: Route, network: RoadNetwork | None = None, **protocol: object) -> Surroundings:
    rules = replace(PROTOCOL, **protocol)  # type: ignore[arg-type]  # fields of a protocol
    return Surroundings(replace(SEASON, protocol=rules, routes=(route_,)), Plan(), network)


def number_at(route_: Route, place: Place) -> int:
    return next(point.number for point in route_.points if point.place == place)


ALONG_M = 71_695.0  # metres of a degree of longitude at 50 N: geopy.distance.geodesic((50, 10), (50, 11)).m


def on_parallel(*metres: float) -> Route:
    """A route along the parallel of 50 N, points so many metres to the east of 10 E."""
    points = tuple(Point(k, Place(50.0, round(10 + m / ALONG_M, 5))) for k, m in enumerate(metres, start=1))
    return Route("R1", "Straight Lane", points)


@pytest.fixture(scope="module")
def straight(tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    """A straight road along the parallel of 50 N, 10 E and 7 km on."""
    return RoadNetwork.read(
        write_osm(tmp_path_factory.mktemp("roads") / "straight.osm", row(11), [(range(1, 12), RESIDENTIAL)])
    )


EIGHT_HUNDRED = Spacing(SpacingKind.AT_LEAST, Length(800.0, "m"), tolerance_percent=0.0)
ABOUT_EIGHT_HUNDRED = Spacing(SpacingKind.EXACT, Length(800.0, "m"), tolerance_percent=5.0)


def _cost(shifts: tuple[float, ...]) -> float:
    return sum(abs(shift) + ANOTHER_POINT_M * (shift != 0) for shift in shifts)


@settings(max_examples=15)
@given(st.lists(st.integers(50, 115), min_size=3, max_size=3), st.sampled_from([EIGHT_HUNDRED, ABOUT_EIGHT_HUNDRED]))
def test_that_shifting_costs_no_more_than_the_best_shift_of_one_or_two_points(
    straight: RoadNetwork, tens: list[int], spacing: Spacing
) -> None:
    stands = [1500.0, *(1500.0 + 10 * total for total in itertools.accumulate(tens))]
    lane = on_parallel(*stands)
    stands = [(point.place.longitude - 10) * ALONG_M for point in lane.points]  # as rounded to a place
    rules = replace(PROTOCOL, points=PointRule(1, 9, spacing), habitat=None)
    fix = spaced_out(rules, straight, lane)
    found = _shifts(fix, stands) if fix is not None else (0.0,) * 4
    brute = _best_of_one_or_two(stands, spacing)
    if brute is None:
        return
    if _cost(brute) == 0:
        assert fix is None
        return
    assert _stands_well([stand + shift for stand, shift in zip(stands, found, strict=True)], spacing, slack=0.8)
    # Rounding to the metre, and the guard against it, may ask for one step more at each point shifted.
    assert _cost(tuple(round(shift / STEP_M) * STEP_M for shift in found)) <= _cost(brute) + 4 * STEP_M


def _shifts(fix: Fix, stands: list[float]) -> tuple[float, ...]:
    now = [(point.place.longitude - 10) * ALONG_M for point in fix.after.points]
    return tuple(
        after - stand if point.number in fix.numbers else 0.0
        for after, stand, point in zip(now, stands, fix.after.points, strict=True)
    )


def _stands_well(stands: list[float], spacing: Spacing, slack: float = 0.0) -> bool:
    most = spacing.most_allowed_m or np.inf
    steps = [b - a for a, b in itertools.pairwise(stands)]
    return all(spacing.least_allowed_m - slack <= step <= most + slack for step in steps)


def _best_of_one_or_two(stands: list[float], spacing: Spacing) -> tuple[float, ...] | None:
    """Try every shift, in steps of 10 m, of every point and every pair: the oracle.

    A pair of which one is shifted is held 2.5 m off the limits, against rounding.
    """
    grid = np.arange(-MOST_SHIFT_M, MOST_SHIFT_M + 1, 10.0)
    least, most = spacing.least_allowed_m, spacing.most_allowed_m or np.inf
    best: tuple[float, tuple[float, ...]] = np.inf, ()
    for first, second in itertools.combinations(range(4), 2):
        shifts = np.zeros((4, len(grid), len(grid)))
        shifts[first], shifts[second] = grid[:, None], grid[None, :]
        steps = np.diff(np.array(stands)[:, None, None] + shifts, axis=0)
        guard = 2.5 * ((shifts[1:] != 0) | (shifts[:-1] != 0))
        good = ((steps >= least + guard) & (steps <= most - guard)).all(axis=0)
        cost = (np.abs(shifts) + ANOTHER_POINT_M * (shifts != 0)).sum(axis=0)
        cost[~good] = np.inf
        at = np.unravel_index(int(np.argmin(cost)), cost.shape)
        if cost[at] < best[0]:
            best = float(cost[at]), tuple(shifts[:, at[0], at[1]].tolist())
    return best[1] or None


def test_that_the_last_point_may_be_shifted_on_along_the_road_beyond_the_route(straight: RoadNetwork) -> None:
    lane = on_parallel(1500, 2300, 3100, 3600)
    fix = spaced_out(replace(PROTOCOL, points=PointRule(1, 9, EIGHT_HUNDRED), habitat=None), straight, lane)
    assert fix is not None
    assert fix.numbers == (4,)
    assert 300 <= fix.furthest_m <= 310


def test_that_circles_of_points_that_are_no_neighbours_keep_apart_too(straight: RoadNetwork) -> None:
    rules = replace(PROTOCOL, points=PointRule(1, 9, None), habitat=HABITAT)
    lane = on_parallel(1500, 1700, 3100, 3500)
    fix = spaced_out(rules, straight, lane)
    assert fix is not None
    places = [_pair(point.place) for point in fix.after.points]
    assert min(geodesic(a, b).m for a, b in itertools.combinations(places, 2)) >= 400


def test_that_a_route_that_no_road_joins_is_not_shifted(tmp_path: Path) -> None:
    nodes = {**row(2), 3: (50.2, 10.0), 4: (50.2, 10.01)}
    halves = RoadNetwork.read(write_osm(tmp_path / "halves.osm", nodes, [((1, 2), RESIDENTIAL), ((3, 4), RESIDENTIAL)]))
    apart = Route("R1", "", (Point(1, Place(50.0, 10.001)), Point(2, Place(50.2, 10.001))))
    assert spaced_out(PROTOCOL, halves, apart) is None
    assert spaced_out(PROTOCOL, halves, replace(apart, points=apart.points[:1])) is None
    near = replace(apart, points=(*apart.points, Point(3, Place(50.0, 10.003))))
    place = planned_on_nothing(near, halves, points=PointRule(1, 9), habitat=HABITAT)
    weighed = weigh(place, near)
    found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_CIRCLES))
    assert {offer.fix.kind for offer in found} == {FixKind.DROP}


HOMES = tuple(Volunteer(f"V{k}", f"Person {k}", Place(50.0, 10.0 + k / 100)) for k in range(6))


@pytest.mark.parametrize(
    ("slip", "kind"),
    [
        (lambda place: Place(place.longitude, place.latitude), FixKind.SWAP),
        (lambda place: Place(place.latitude, -place.longitude), FixKind.TURN_SIGN),
        (lambda place: Place(-place.latitude, place.longitude), FixKind.TURN_SIGN),
    ],
)
def test_that_a_slip_of_the_pen_is_put_right(slip: object, kind: FixKind) -> None:
    assert callable(slip)
    right = on_parallel(0, 800, 1600, 2400)
    wrong = replace(right, points=(*right.points[:3], replace(right.points[3], place=slip(right.points[3].place))))
    place = planned_on_nothing(wrong)
    place = replace(place, season=replace(place.season, volunteers=HOMES))
    weighed = weigh(place, wrong)
    found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_FAR_AWAY))
    assert [offer.fix.after for offer in found if offer.fix.kind is kind] == [right]
    assert found[-1].fix.kind is FixKind.DROP


def test_that_too_many_points_are_brought_down_to_the_most(straight: RoadNetwork) -> None:
    seven = on_parallel(*(400.0 * k for k in range(1, 8)))
    place = planned_on_nothing(seven, straight, points=PointRule(3, 5), habitat=None)
    weighed = weigh(place, seven)
    found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_POINTS))
    assert found
    assert {len(offer.after.route.points) for offer in found} == {5}


def test_that_without_roads_points_that_are_too_near_are_left_out(straight: RoadNetwork) -> None:
    near = on_parallel(1500, 1700, 3100, 4000)
    rules = {"points": PointRule(1, 9), "habitat": HABITAT}
    for network, kinds in ((None, {FixKind.DROP}), (straight, {FixKind.DROP, FixKind.SPACE_OUT})):
        place = planned_on_nothing(near, network, **rules)
        weighed = weigh(place, near)
        found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_CIRCLES))
        assert {offer.fix.kind for offer in found} == kinds


def test_that_a_point_beside_the_road_is_moved_to_it_and_along_it_if_it_would_crowd_another(
    straight: RoadNetwork,
) -> None:
    lane = on_parallel(1500, 2300, 3100, 3900)
    aside = replace(lane.points[1], place=Place(50.0072, lane.points[1].place.longitude - 550 / ALONG_M))
    route_ = replace(lane, points=(lane.points[0], aside, *lane.points[2:]))
    place = planned_on_nothing(route_, straight, points=PointRule(1, 9), habitat=HABITAT)
    weighed = weigh(place, route_)
    found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_OFF_ROAD))
    both = next(offer for offer in found if offer.fix.kind is FixKind.TO_ROAD_SPACED)
    assert both.come == ()
    assert 2 in both.fix.numbers
    plain = [offer for offer in found if offer.fix.kind is FixKind.TO_ROAD]
    assert all(Rule.ROUTE_CIRCLES in {one.rule for one in offer.come} for offer in plain)


def test_that_a_point_near_no_road_can_only_be_left_out(straight: RoadNetwork) -> None:
    lane = on_parallel(1500, 2300, 3100)
    lost = replace(lane, points=(*lane.points, Point(4, Place(50.05, 10.05))))
    place = planned_on_nothing(lost, straight, points=PointRule(1, 9), habitat=None)
    weighed = weigh(place, lost)
    found = fixes_for(place, weighed, only(weighed, Rule.ROUTE_OFF_ROAD))
    assert [offer.fix.kind for offer in found] == [FixKind.DROP]


def test_that_a_shortest_order_that_is_quicker_one_way_keeps_that_way() -> None:
    # A ring of one-way streets from 3 over 1 and 4 to 2: any other way takes far longer.
    legs = np.full((4, 4), 30.0)
    for here, there in ((2, 0), (0, 3), (3, 1)):
        legs[here, there] = 1.0
    four = route("R1")
    weighed = replace(weigh(planned_on_nothing(four), four), facts=good_facts(4, legs_minutes=legs))
    fix = next(fix for fix in order_fixes(weighed) if fix.kind is FixKind.REORDER)
    assert [number_at(four, point.place) for point in fix.after.points] == [3, 1, 4, 2]


def test_that_a_shortest_order_begins_where_the_route_does_if_it_may() -> None:
    along = np.array([0.0, 2.0, 1.0, 3.0])
    four = route("R1")
    facts = good_facts(4, legs_minutes=np.abs(along[:, None] - along[None, :]))
    weighed = replace(weigh(planned_on_nothing(four), four), facts=facts)
    fix = next(fix for fix in order_fixes(weighed) if fix.kind is FixKind.REORDER)
    assert [number_at(four, point.place) for point in fix.after.points] == [1, 3, 2, 4]


def test_that_a_slip_that_would_lead_off_the_earth_is_not_offered() -> None:
    east = Route("R1", "", (Point(1, Place(50.0, 120.0)), Point(2, Place(50.0, 10.0))))
    assert FixKind.SWAP not in {fix.kind for fix in slips_mended(east, [1])}
    even = Route("R1", "", (Point(1, Place(10.0, 10.0)), Point(2, Place(50.0, 10.0))))
    assert FixKind.SWAP not in {fix.kind for fix in slips_mended(even, [1])}


def test_that_a_lead_whom_the_season_does_not_have_is_taken_off(tmp_path: Path) -> None:
    strange = replace(route("R1"), lead="V9")
    place = planned_on_nothing(strange, points=PointRule(1, 9))
    weighed = weigh(place, strange)
    (offer,) = fixes_for(place, weighed, only(weighed, Rule.ROUTE_LEAD))
    assert offer.fix.kind is FixKind.NO_LEAD
    with SeasonFile.create(tmp_path / "season.dimpsy", replace(SEASON, routes=(strange,))) as file:
        assert apply_fix(file, offer.fix).label == "Route R1: change the lead"
        assert file.season().route("R1").lead == ""


def test_that_nothing_is_offered_against_a_finding_that_the_route_no_longer_has(heath: SeasonFile) -> None:
    place = around(heath)
    weighed = weigh(place, place.season.route("R05"))
    finding = only(weighed, Rule.ROUTE_CIRCLES)
    shorter = replace(weighed.route, points=weighed.route.points[:6])
    assert fixes_for(place, weigh(place, shorter), finding) == ()


def test_that_a_finding_that_only_a_person_can_mend_gets_no_fix(heath: SeasonFile) -> None:
    assert offers(heath, "R22", Rule.VISIT_NOBODY) == ()


def test_that_a_route_without_points_is_weighed_as_nothing() -> None:
    bare = Route("R1", "", ())
    weighed = weigh(planned_on_nothing(bare), bare)
    assert (weighed.figures.points, weighed.findings) == ((), ())
    assert weighed.figures.margin_minutes is None
    assert weighed.figures.least_apart_m is None
    assert weighed.figures.drive_minutes == weighed.figures.length_m == 0
    problem = season_problem(SEASON, None)
    assert route_figures(problem, None, bare) == weighed.figures
