"""What a route's points, roads and light, and a volunteer's home and dates, have against a plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.calendar import DateRange
from planner.domain.counting import PointRule, Spacing, SpacingKind
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place
from planner.domain.measures import Length
from planner.domain.window import Edge, Event, PartOfDay, Pass, Window
from planner.usecases.route_checks.facts import FloatArray
from tests.unit.usecases.checked_seasons import (
    DATES,
    DUSK,
    HABITAT,
    PROTOCOL,
    SPACING,
    Checked,
    free,
    good_facts,
    june,
    line_m,
    moved,
    route,
    volunteer,
)

NIGHT = "no nautical dusk: the sun does not sink 12 degrees below the horizon"


def spaced(spacing: Spacing | None, *, circles: bool = False) -> Checked:
    """A check under another spacing rule, without habitat circles unless wanted."""
    habitat = HABITAT if circles else None
    return Checked(replace(PROTOCOL, points=PointRule(1, 60, spacing), habitat=habitat), routes=(route("R1"),))


def apart(*steps_m: float) -> FloatArray:
    """Metres between points along a straight road, by the steps from each to the next."""
    place = np.concatenate([[0.0], np.cumsum(steps_m)])
    metres: FloatArray = np.abs(place[:, None] - place[None, :])
    return metres


def margins(*by_day: float) -> FloatArray:
    """Margins of one window, by date; the last one holds for all dates that follow."""
    return np.array([[*by_day, *[by_day[-1]] * (len(DATES) - len(by_day))]])


def test_that_a_season_in_order_has_no_findings() -> None:
    assert Checked().findings() == []


def test_that_a_season_without_routes_or_volunteers_has_nothing_to_judge() -> None:
    assert Checked(routes=(), volunteers=()).findings() == []
    assert Checked(volunteers=()).findings() == []
    assert Checked(routes=()).findings() == []


@pytest.mark.parametrize(
    ("points", "what", "todo"),
    [
        (2, "Route R1 has 2 points; the protocol wants 3 to 5.", "Add 1 point."),
        (7, "Route R1 has 7 points; the protocol wants 3 to 5.", "Drop 2 points."),
    ],
)
def test_that_a_route_has_as_many_points_as_the_protocol_wants(points: int, what: str, todo: str) -> None:
    finding = Checked(routes=(route("R1", points), route("R2", 3), route("R3", 5))).only()
    assert (finding.rule, finding.severity) == (Rule.ROUTE_POINTS, Severity.TROUBLE)
    assert (finding.what, finding.todo) == (what, todo)


def test_that_a_fixed_number_of_points_is_said_as_one() -> None:
    exact = replace(PROTOCOL, points=PointRule(10, 10, SPACING))
    assert "the protocol wants 10." in Checked(exact, routes=(route("R1"),)).only().what


def test_that_a_driven_line_may_have_any_number_of_points() -> None:
    line = replace(PROTOCOL, points=PointRule(0, 0, line=Length(30.0, "km")), habitat=None)
    assert Checked(line).findings() == []


@pytest.mark.parametrize(("step", "fits"), [(719.0, False), (720.0, True), (880.0, True), (881.0, False)])
def test_that_exact_spacing_holds_along_the_road_within_its_tolerance(step: float, fits: bool) -> None:
    check = spaced(SPACING)
    one = replace(check, facts={"R1": good_facts(road_m=apart(800.0, step, 800.0), straight_m=line_m(4, 500.0))})
    assert one.rules() == ([] if fits else [Rule.ROUTE_SPACING])


def test_that_points_no_road_joins_have_no_spacing() -> None:
    road = line_m(4)
    road[:2, 2:] = road[2:, :2] = np.inf
    assert replace(spaced(SPACING), facts={"R1": good_facts(road_m=road)}).findings() == []


def test_that_a_spacing_finding_names_points_figures_and_rule() -> None:
    facts = good_facts(road_m=apart(800.0, 1000.0, 800.0))
    finding = replace(spaced(SPACING), facts={"R1": facts}).only()
    assert finding.subject == Subject("R1", point=3)
    assert finding.severity is Severity.TROUBLE
    assert finding.what == (
        "Points 2 and 3 stand too far apart: 1.0 km along the road; the protocol wants 800 m, give or take 10 %."
    )


def test_that_the_shorter_way_counts_where_a_one_way_street_lengthens_the_other() -> None:
    road = apart(800.0, 800.0, 800.0)
    road[1, 2] = 2_000.0
    assert replace(spaced(SPACING), facts={"R1": good_facts(road_m=road)}).findings() == []


def test_that_a_rule_as_the_crow_flies_is_held_against_that() -> None:
    crow = spaced(replace(SPACING, along_road=False))
    facts = good_facts(road_m=line_m(4, 1500.0), straight_m=apart(800.0, 800.0, 600.0))
    finding = replace(crow, facts={"R1": facts}).only()
    assert finding.what.startswith("Points 3 and 4 stand too near: 600 m as the crow flies")
    assert finding.severity is Severity.TROUBLE


def test_that_without_a_road_map_too_near_is_a_doubt_and_too_far_is_certain() -> None:
    facts = good_facts(road_m=None, straight_m=apart(800.0, 600.0, 1000.0))
    found = replace(spaced(SPACING), facts={"R1": facts}).findings()
    assert [(f.subject.point, f.severity) for f in found] == [(4, Severity.TROUBLE), (3, Severity.DOUBT)]


def test_that_at_least_and_range_are_said_in_the_protocols_own_unit() -> None:
    least = Spacing(SpacingKind.AT_LEAST, Length(0.5, "mi"), tolerance_percent=0.0)
    facts = good_facts(road_m=apart(804.0, 5_000.0, 900.0))
    assert replace(spaced(least), facts={"R1": facts}).only().what.endswith("the protocol wants 0.5 mi or more.")
    ranged = Spacing(SpacingKind.RANGE, Length(0.5, "km"), Length(2.0, "km"), tolerance_percent=0.0)
    found = replace(spaced(ranged), facts={"R1": facts}).only()
    assert "too far apart: 5.0 km along the road; the protocol wants 0.5 km to 2 km." in found.what


def test_that_many_wrong_distances_of_one_route_are_one_finding_with_the_worst() -> None:
    facts = good_facts(road_m=apart(600.0, 500.0, 600.0, 600.0), points=5)
    check = replace(spaced(SPACING), routes=(route("R1", 5),), facts={"R1": facts})
    finding = check.only()
    assert finding.what.startswith("4 of 4 neighbours stand too near: 500 m along the road at worst, points 2 and 3;")
    assert len(replace(check, facts={"R1": good_facts(road_m=apart(600, 500, 600, 800), points=5)}).findings()) == 3


def test_that_no_spacing_rule_asks_for_none() -> None:
    assert replace(spaced(None), facts={"R1": good_facts(road_m=line_m(4, 5.0))}).findings() == []


def test_that_habitat_circles_that_overlap_are_found_between_any_two_points() -> None:
    straight = line_m(4)
    straight[0, 3] = straight[3, 0] = 290.0
    finding = Checked(routes=(route("R1"),), facts={"R1": good_facts(straight_m=straight)}).only()
    assert (finding.rule, finding.severity) == (Rule.ROUTE_CIRCLES, Severity.TROUBLE)
    assert finding.what == (
        "Points 1 and 4 stand 290 m apart, so their habitat circles of 200 m radius overlap;"
        " they must stand 400 m apart."
    )
    assert finding.todo == "Move point 4 farther away, by 110 m, or drop one of the two."


def test_that_a_distance_a_hair_off_the_limit_does_not_read_like_the_limit() -> None:
    def found(check: Checked, *steps_m: float) -> list[Finding]:
        facts = good_facts(straight_m=apart(*steps_m), road_m=apart(*steps_m))
        return replace(check, facts={"R1": facts}).findings()

    (circles,) = found(spaced(None, circles=True), 399.7, 500, 500)
    assert circles.what.startswith("Points 1 and 2 stand just under 400 m apart, so their habitat circles of 200 m")
    assert circles.todo == "Move point 2 farther away, by 1 m, or drop one of the two."
    bounds = Spacing(SpacingKind.RANGE, Length.parse("400 m"), Length.parse("600 m"), 0.0, along_road=False)
    near, far = found(spaced(bounds), 399.7, 600.3, 500)
    assert near.what.startswith("Points 1 and 2 stand too near: just under 400 m as the crow flies; the protocol wants")
    assert far.what.startswith("Points 2 and 3 stand too far apart: just over 600 m as the crow flies; the protocol")


def test_that_circles_that_touch_do_not_overlap_and_that_some_protocols_let_them() -> None:
    def found(metres: float, habitat: object) -> list[Rule]:
        straight = line_m(4)
        straight[0, 3] = straight[3, 0] = metres
        protocol = replace(PROTOCOL, habitat=habitat)  # type: ignore[arg-type]  # a habitat rule or none
        return Checked(protocol, (route("R1"),), facts={"R1": good_facts(straight_m=straight)}).rules()

    assert found(400.0, HABITAT) == []
    assert found(399.9, HABITAT) == [Rule.ROUTE_CIRCLES]
    assert found(399.9, replace(HABITAT, circles_may_overlap=True)) == []
    assert found(399.9, None) == []


def test_that_neighbours_whose_circles_overlap_are_not_also_too_near() -> None:
    facts = good_facts(road_m=apart(300.0, 700.0, 800.0), straight_m=apart(300.0, 700.0, 800.0))
    found = replace(spaced(SPACING, circles=True), facts={"R1": facts}).findings()
    assert [(f.rule, f.subject.point) for f in found] == [(Rule.ROUTE_CIRCLES, 2), (Rule.ROUTE_SPACING, 3)]


def test_that_many_overlaps_of_one_route_are_one_finding() -> None:
    facts = good_facts(straight_m=apart(150.0, 100.0, 150.0), road_m=apart(150.0, 100.0, 150.0))
    finding = replace(spaced(SPACING, circles=True), facts={"R1": facts}).only()
    assert finding.what == (
        "The habitat circles of 5 pairs of points overlap, most of all those of points 2 and 3, 100 m apart;"
        " all must stand 400 m apart."
    )
    assert finding.subject.point == 3
    three = line_m(4)
    three[0, 1:] = three[1:, 0] = 390.0
    found = Checked(routes=(route("R1"),), facts={"R1": good_facts(straight_m=three)}).findings()
    assert [f.subject.point for f in found] == [2, 3, 4]


@pytest.mark.parametrize(
    ("metres", "said"),
    [
        (100.0, None),
        (300.0, "Point 4 stands 300 m from the nearest road."),
        (np.inf, "Point 4 stands near no road of the map."),
        (np.nan, "Point 4 stands near no road of the map."),
    ],
)
def test_that_a_point_off_the_road_is_found(metres: float, said: str | None) -> None:
    check = Checked(facts={"R1": good_facts(snap_m=np.array([0.0, 50.0, 0.0, metres]))})
    if said is None:
        assert check.findings() == []
        return
    finding = check.only()
    assert (finding.rule, finding.severity, finding.subject) == (
        Rule.ROUTE_OFF_ROAD,
        Severity.DOUBT,
        Subject("R1", point=4),
    )
    assert finding.what == said


def test_that_many_points_off_the_road_are_one_finding() -> None:
    finding = Checked(facts={"R1": good_facts(snap_m=np.full(4, 150.0))}).only()
    assert finding.what == "Points 1, 2, 3 and 4 stand more than 100 m from the nearest road."
    three = Checked(facts={"R1": good_facts(snap_m=np.array([150.0, 150.0, 0.0, 150.0]))})
    assert [f.subject.point for f in three.findings()] == [1, 2, 4]


def test_that_points_by_a_road_of_its_own_are_found_once() -> None:
    on_main = np.array([True, False, False, True])
    finding = Checked(facts={"R1": good_facts(on_main=on_main)}).only()
    assert finding.what.startswith("The nearest road to points 2 and 3 is not joined")
    also_off = good_facts(on_main=np.array([True, False, True, True]), snap_m=np.array([0.0, 400.0, 0.0, 0.0]))
    assert Checked(facts={"R1": also_off}).rules() == [Rule.ROUTE_OFF_ROAD]
    single = Checked(facts={"R1": good_facts(on_main=np.array([True, False, True, True]))}).only()
    assert single.what.startswith("The nearest road to point 2 is not joined")


def test_that_snaps_are_not_judged_without_a_road_map() -> None:
    assert Checked(facts={"R1": good_facts(snap_m=None, on_main=None, road_m=None)}).findings() == []
    assert Checked(facts={"R1": good_facts(on_main=None)}).findings() == []


def legs_without(*cut: int, points: int = 4) -> FloatArray:
    legs = line_m(points) / 400
    for point in cut:
        legs[point, :] = legs[:, point] = np.inf
        legs[point, point] = 0.0
    return legs


def test_that_a_point_cut_off_is_found_and_nothing_else_is_said_of_it_or_of_the_routes_length() -> None:
    facts = good_facts(
        legs_minutes=legs_without(2),
        on_main=np.array([True, True, False, True]),
        margin_minutes=np.full((1, 20), -np.inf),
        one_way_minutes=np.full(3, 90.0),
    )
    finding = Checked(facts={"R1": facts}).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_UNREACHABLE, Subject("R1", point=3))
    assert finding.what == "No road leads from the other points of route R1 to point 3 and back."


def test_that_a_point_without_a_way_back_is_cut_off_too() -> None:
    legs = line_m(4) / 400
    legs[0, 1:] = np.inf
    assert Checked(facts={"R1": good_facts(legs_minutes=legs)}).only().subject.point == 1


def test_that_a_route_in_two_halves_names_all_its_points() -> None:
    legs = line_m(5) / 400
    legs[:2, 2:] = legs[2:, :2] = np.inf
    finding = Checked(routes=(route("R1", 5),), facts={"R1": good_facts(5, legs_minutes=legs)}).only()
    assert finding.what == "No road joins points 1 and 2 of route R1 to the others."
    even = line_m(4) / 400
    even[:2, 2:] = even[2:, :2] = np.inf
    assert "points 1, 2, 3 and 4" in Checked(facts={"R1": good_facts(legs_minutes=even)}).only().what


def test_that_one_broken_leg_names_both_its_ends() -> None:
    legs = line_m(4) / 400
    legs[0, 3] = np.inf
    assert "points 1 and 4" in Checked(facts={"R1": good_facts(legs_minutes=legs)}).only().what


def test_that_a_route_no_home_can_reach_is_found_once() -> None:
    finding = Checked(facts={"R1": good_facts(one_way_minutes=np.full(3, np.inf))}).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_UNREACHABLE, Subject("R1"))
    assert finding.what == "No road leads from any of 3 homes to route R1."


def test_that_a_home_that_reaches_no_route_is_found_once() -> None:
    minutes = np.array([20.0, np.inf, 20.0])
    facts = {code: good_facts(one_way_minutes=minutes) for code in ("R1", "R2")}
    finding = Checked(facts=facts).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_UNREACHABLE, Subject(volunteer="V2"))
    assert Checked(facts={"R1": facts["R1"]}).findings() == []


def test_that_routes_that_nobody_reaches_are_not_also_homes_that_reach_nothing() -> None:
    facts = {code: good_facts(one_way_minutes=np.full(3, np.inf)) for code in ("R1", "R2")}
    assert [f.subject.route for f in Checked(facts=facts).findings()] == ["R1", "R2"]


def test_that_a_misplaced_point_is_found_with_the_slip_that_explains_it_and_nothing_follows_from_it() -> None:
    swapped = moved(route("R1"), 3, Place(-4.0, 50.5))
    far = line_m(4)
    far[2, [0, 1, 3]] = far[[0, 1, 3], 2] = 8e6
    facts = good_facts(straight_m=far, road_m=None, margin_minutes=np.full((1, 20), -900.0))
    finding = Checked(routes=(swapped, route("R2")), facts={"R1": facts}).only()
    assert (finding.rule, finding.severity) == (Rule.ROUTE_FAR_AWAY, Severity.DOUBT)
    assert finding.subject == Subject("R1", point=3)
    assert "Point 3 lies 7,9" in finding.what
    assert " km from the middle of the season." in finding.what
    assert finding.todo == "Look at -4.00000, 50.50000: latitude and longitude look swapped."


@pytest.mark.parametrize(
    ("place", "slip"),
    [
        (Place(50.5, 4.0), "the sign of the longitude looks wrong."),
        (Place(-50.5, -4.0), "the sign of the latitude looks wrong."),
        (Place(10.0, 170.0), "Look at its coordinates, 10.00000, 170.00000."),
    ],
)
def test_that_a_lost_sign_is_recognised(place: Place, slip: str) -> None:
    finding = Checked(volunteers=(volunteer("V1"), volunteer("V2"), volunteer("V3", home=place))).only()
    assert (finding.rule, finding.subject) == (Rule.VOLUNTEER_FAR_AWAY, Subject(volunteer="V3"))
    assert finding.todo.endswith(slip)


def test_that_several_misplaced_points_are_one_finding() -> None:
    wrong = moved(moved(route("R1"), 2, Place(50.5, 4.0)), 3, Place(50.5, 4.0))
    finding = Checked(routes=(wrong, route("R2"))).only()
    assert finding.what.startswith("Points 2 and 3 lie far from the middle of the season, the first of them 56")


def test_that_a_whole_route_far_away_is_one_finding_and_its_own_distances_are_still_judged() -> None:
    away = replace(route("R2"), points=tuple(replace(p, place=Place(58.5, -4.0)) for p in route("R2").points))
    facts = good_facts(one_way_minutes=np.full(3, 900.0), road_m=apart(800.0, 1_000.0, 800.0))
    found = Checked(routes=(route("R1"), away), facts={"R2": facts}).findings()
    assert [f.rule for f in found] == [Rule.ROUTE_SPACING, Rule.ROUTE_FAR_AWAY]
    assert found[1].what == "Route R2 lies 889 km from the middle of the season."


def test_that_near_enough_is_not_far_away() -> None:
    near = volunteer("V3", home=Place(53.0, -4.0))
    assert Checked(volunteers=(volunteer("V1"), volunteer("V2"), near)).findings() == []


def test_that_places_all_round_the_world_have_no_middle() -> None:
    homes = (Place(0.0, 0.0), Place(0.0, 120.0), Place(0.0, -120.0))
    people = tuple(volunteer(f"V{number}", home=home) for number, home in enumerate(homes))
    assert Checked(routes=(), volunteers=people).findings() == []


def test_that_a_season_across_the_date_line_has_its_middle_there() -> None:
    places = (Place(-17.0, 179.8), Place(-17.0, -179.8), Place(-17.0, 179.9))
    people = tuple(volunteer(f"V{number}", home=home) for number, home in enumerate(places))
    assert Checked(routes=(), volunteers=people).findings() == []


def test_that_a_route_too_long_for_every_date_is_one_finding_with_the_best_case() -> None:
    facts = good_facts(margin_minutes=margins(-9.0, -6.2, -12.0), points_lost=np.full((1, 20), 2, dtype=np.int64))
    facts = replace(facts, margin_minutes=np.where(np.arange(20) == 12, -5.0, facts.margin_minutes))
    finding = Checked(facts={"R1": facts}).only()
    assert (finding.rule, finding.severity, finding.subject) == (Rule.ROUTE_TOO_LONG, Severity.TROUBLE, Subject("R1"))
    assert finding.what == (
        "Route R1 is too long for its light window even in the best case:"
        " by 7 min on Wed 2 Jun for visit 1; by 5 min on Sun 13 Jun for visit 2."
    )
    assert finding.todo == "Drop 2 points, split the route, or choose dates with a longer window."


def test_that_a_route_too_long_for_one_visit_names_it() -> None:
    facts = good_facts(margin_minutes=np.where(np.arange(20) < 10, -1.0, 0.0)[None, :])
    finding = Checked(facts={"R1": facts}).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_TOO_LONG, Subject("R1", visit=1))
    assert "by 1 min on Tue 1 Jun for visit 1." in finding.what
    assert finding.todo.startswith("Drop points, split")
    lost = replace(facts, points_lost=np.ones((1, 20), dtype=np.int64))
    assert Checked(facts={"R1": lost}).only().todo.startswith("Drop 1 point, split")


def test_that_as_many_points_are_to_be_dropped_as_the_worst_visit_asks() -> None:
    lost = np.where(np.arange(20) < 10, 1, 3)[None, :]
    facts = good_facts(margin_minutes=np.where(np.arange(20) < 10, -5.0, -15.0)[None, :], points_lost=lost)
    assert Checked(facts={"R1": facts}).only().todo.startswith("Drop 3 points")


def test_that_one_date_long_enough_will_do() -> None:
    one_day = np.where(np.isin(np.arange(20), [4, 15]), 0.0, -30.0)[None, :]
    assert Checked(facts={"R1": good_facts(margin_minutes=one_day)}).findings() == []


def test_that_an_alternative_window_long_enough_will_do() -> None:
    dawn = Window("dawn", PartOfDay.DAWN, (Pass(Edge(Event.NAUTICAL_DAWN), Edge(Event.SUNRISE)),))
    two = replace(PROTOCOL, windows=(DUSK, dawn))
    ever = (*free(*range(1, 21), part=PartOfDay.DAWN),)
    people = tuple(volunteer(code, availability=ever) for code in ("V1", "V2", "V3"))
    both = np.vstack([np.full(20, -5.0), np.full(20, 3.0)])
    facts = {code: good_facts(margin_minutes=both, no_window=({}, {})) for code in ("R1", "R2")}
    assert Checked(two, volunteers=people, facts=facts).findings() == []


def test_that_a_visit_without_a_window_on_any_date_is_found_with_its_reason() -> None:
    dark = {june(day): NIGHT for day in range(11, 21)} | {june(11): "something else"}
    facts = good_facts(margin_minutes=np.where(np.arange(20) < 10, 1.0, np.nan)[None, :], no_window=(dark,))
    finding = Checked(facts={"R1": facts}).only()
    assert (finding.rule, finding.severity) == (Rule.VISIT_NO_LIGHT, Severity.TROUBLE)
    assert finding.subject == Subject("R1", visit=2)
    assert finding.what == (f"No date of visit 2 (2027-06-11 to 2027-06-20) has a window on route R1: {NIGHT}.")


def test_that_a_visit_without_a_window_on_any_route_is_one_finding() -> None:
    facts = good_facts(margin_minutes=np.where(np.arange(20) < 10, 1.0, np.nan)[None, :])
    check = Checked(facts={"R1": facts, "R2": facts})
    finding = check.only()
    assert finding.subject == Subject(visit=2)
    assert finding.what.endswith("(2027-06-11 to 2027-06-20): the light rule is met on none of them.")
    assert replace(check, routes=(route("R1"),)).only().subject == Subject("R1", visit=2)


def test_that_a_routes_own_dates_are_judged() -> None:
    own = route("R1", visit_dates=((1, DateRange(june(19), june(20))),))
    late = good_facts(margin_minutes=np.where(np.arange(20) < 18, 1.0, -3.0)[None, :])
    finding = Checked(routes=(own, route("R2")), facts={"R1": late}).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_TOO_LONG, Subject("R1", visit=1))
