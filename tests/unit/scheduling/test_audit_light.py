"""The rules of a date's light: the window, the moon, the counts inside it, and the daylight of a set-up."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from planner.domain.counting import CountRule, Direction, OrderRule, PointRule, Segment
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.measures import Length, Speed
from planner.domain.plan import Plan, VisitKey
from planner.domain.protocol import Protocol, SetupRule, TravelRule
from planner.domain.window import (
    Edge,
    Event,
    FinishRule,
    MoonRule,
    PartOfDay,
    Pass,
    PassDirection,
    StartRule,
    Strength,
    Window,
)
from planner.scheduling.audit import audit
from tests.unit.scheduling.audit_seasons import (
    CLEAN,
    DAWN,
    PROTOCOL,
    Scene,
    changed,
    june,
    line_legs,
    only,
    route,
    rules,
    visit,
)

# Four points 5 minutes apart and counts of 6 minutes take 4 x 6 + 3 x 5 = 39 minutes.
RUN_MINUTES = 39.0


def window_rule(*passes: Pass) -> Window:
    return Window("dusk", PartOfDay.DUSK, passes)


def run(**changes: object) -> Pass:
    base = Pass(Edge(Event.SUNSET, 20), Edge(Event.SUNSET, 80))
    return replace(base, **changes)  # type: ignore[arg-type]  # fields of a pass


def protocol(*passes: Pass, direction: Direction = Direction.EITHER, **changes: object) -> Protocol:
    """The plain protocol without set-up, with those passes at dusk."""
    base = replace(PROTOCOL, windows=(window_rule(*passes or (run(),)), DAWN), order=OrderRule(direction), setup=None)
    return replace(base, **changes)  # type: ignore[arg-type]  # fields of a protocol


ONE = Plan((visit("R1", 1, "V1", june(5), reserve=june(8)),))


def judged(scene: Scene, plan: Plan = ONE) -> list[Finding]:
    """Findings on one route, unfilled visits left out."""
    scene = replace(scene, routes=scene.routes[:1])
    return [finding for finding in audit(scene.problem(), plan) if finding.rule is not Rule.VISIT_UNFILLED]


@pytest.mark.parametrize(("day", "words"), [(5, "date"), (8, "reserve date")])
def test_that_a_date_without_a_window_is_found_with_its_reason(day: int, words: str) -> None:
    dark = {june(day): "no nautical dusk: the sun does not sink 12 degrees below the horizon"}
    finding = only(audit(Scene(dark=dark).problem(), CLEAN))
    assert (finding.rule, finding.subject.date) == (Rule.VISIT_NO_LIGHT, june(day))
    assert f"The {words} {june(day):%a} {day} Jun has no dusk window: no nautical dusk" in finding.what


def test_that_a_window_missing_at_one_point_is_missing() -> None:
    problem = Scene().problem()
    problem.light["R1"].windows[0].passes[0].open_utc[4, 2] = np.nan
    finding = only(audit(problem, CLEAN))
    assert (finding.rule, finding.subject.route) == (Rule.VISIT_NO_LIGHT, "R1")
    assert "some of its points have none" in finding.what


def test_that_an_overcast_span_that_is_missing_is_a_window_missing() -> None:
    problem = Scene(overcast=((15, 75),)).problem()
    problem.light["R1"].windows[0].overcast[0].close_utc[4, 2] = np.nan
    finding = only(audit(problem, CLEAN))
    assert (finding.rule, finding.subject.route) == (Rule.VISIT_NO_LIGHT, "R1")


def test_that_a_required_moon_breaks_the_plan_and_nothing_else_is_said_of_that_date() -> None:
    moon = replace(PROTOCOL, moon=MoonRule(0.5))
    dark = {june(5): "the moon is less than 50% lit"}
    for scene in (Scene(protocol=moon, moonless=frozenset({june(5)})), Scene(moon, dark=dark)):
        missing = replace(scene, moonless=frozenset({june(5)}))
        finding = only(audit(missing.problem(), CLEAN))
        assert (finding.rule, finding.severity, finding.subject.date) == (Rule.VISIT_MOON, Severity.BROKEN, june(5))
        assert "50%" in finding.what


def test_that_a_preferred_moon_is_a_note_and_the_light_is_still_judged() -> None:
    moon = replace(PROTOCOL, moon=MoonRule(0.5, strength=Strength.PREFERRED))
    scene = Scene(protocol=moon, moonless=frozenset({june(8)}))
    finding = only(audit(scene.problem(), CLEAN))
    assert (finding.rule, finding.severity) == (Rule.VISIT_MOON, Severity.NOTE)
    both = replace(scene, dark={june(8): "no dusk"})
    assert rules(audit(both.problem(), CLEAN)) == {Rule.VISIT_MOON, Rule.VISIT_NO_LIGHT}


def test_that_a_moon_that_nobody_asks_for_is_not_judged() -> None:
    assert audit(Scene(moonless=frozenset({june(5)})).problem(), CLEAN) == []


@pytest.mark.parametrize(("close", "fits"), [(20 + RUN_MINUTES, True), (20 + RUN_MINUTES - 0.05, False)])
def test_that_counts_fit_to_the_second(close: float, fits: bool) -> None:
    found = judged(Scene(protocol(), spans=((20, close),)))
    assert rules(found) == (set() if fits else {Rule.VISIT_WINDOW})


def test_that_an_overrun_is_said_in_minutes_and_local_time() -> None:
    finding = judged(Scene(protocol(), spans=((20, 50),)))[0]
    assert finding.severity is Severity.BROKEN
    # 20:20 to 20:50 UTC is an hour later by the clock of a British summer; 39 minutes are 9 too many.
    assert finding.what == "The counts overrun the dusk window of Sat 5 Jun (21:20 to 21:50) by 9 min."
    assert finding.todo == "Choose a date with a longer window, or shorten the route."


def test_that_settling_belongs_to_the_count() -> None:
    settle = protocol(count=CountRule((Segment("listen", 6.0),), settle_minutes=1.0))
    assert judged(Scene(settle, spans=((20, 63),))) == []
    assert rules(judged(Scene(settle, spans=((20, 62.9),)))) == {Rule.VISIT_WINDOW}


def test_that_the_cautious_drives_are_used() -> None:
    scene = Scene(protocol(), spans=((20, 20 + RUN_MINUTES),), routes=(route("R1"),))
    problem = scene.problem()
    slow = replace(problem.drives["R1"].legs, cautious=line_legs(4, 6.0))
    problem = replace(problem, drives={"R1": replace(problem.drives["R1"], legs=slow)})
    assert rules(audit(problem, ONE), Severity.BROKEN) == {Rule.VISIT_WINDOW}


def test_that_every_count_lies_inside_the_window_of_its_own_point() -> None:
    # Each point's window comes 3 minutes later than the last one's: going along gains 9 minutes, going back loses 9.
    fixed = protocol(direction=Direction.FIXED)
    assert judged(Scene(fixed, spans=((20, 50),), point_shift_minutes=3)) == []
    assert rules(judged(Scene(fixed, spans=((20, 66),), point_shift_minutes=-3))) == {Rule.VISIT_WINDOW}


def test_that_either_direction_will_do_where_the_protocol_says_so() -> None:
    # Downhill one way: 5 minutes along, 9 minutes back.
    legs = np.where(line_legs(4) > 0, line_legs(4, 9.0), 0.0)
    forward_quick = np.triu(line_legs(4, 5.0)) + np.tril(legs)
    for quick, fixed_fits in ((forward_quick, True), (forward_quick.T.copy(), False)):
        scene = Scene(protocol(), spans=((20, 20 + RUN_MINUTES),), legs=quick)
        assert judged(scene) == []
        fixed = replace(scene, protocol=protocol(direction=Direction.FIXED))
        assert rules(judged(fixed)) == (set() if fixed_fits else {Rule.VISIT_WINDOW})


def test_that_an_exact_start_waits_for_no_later_window() -> None:
    # Started at its opening, the run ends at 59; a closing at 58 is missed although the window is an hour long
    # at the last point.
    exact = protocol(run(start=StartRule.EXACTLY), direction=Direction.FIXED)
    assert judged(Scene(exact, spans=((20, 59),))) == []
    assert rules(judged(Scene(exact, spans=((20, 58),)))) == {Rule.VISIT_WINDOW}


def test_that_the_run_keeps_its_longest_time() -> None:
    def found(within: float, shift: float, start: StartRule) -> set[Rule]:
        rule = protocol(run(start=start, within_minutes=within), direction=Direction.FIXED)
        return rules(judged(Scene(rule, spans=((20, 90),), point_shift_minutes=shift)))

    assert found(RUN_MINUTES, 0, StartRule.NO_EARLIER) == set()
    assert found(RUN_MINUTES - 1, 0, StartRule.NO_EARLIER) == {Rule.VISIT_WINDOW}
    # Points that open 13 minutes one after the other make an early start wait 2 minutes at each of three;
    # a start 6 minutes later does not wait. One that must start exactly has no such choice.
    assert found(RUN_MINUTES, 13, StartRule.NO_EARLIER) == set()
    assert found(RUN_MINUTES, 13, StartRule.EXACTLY) == {Rule.VISIT_WINDOW}
    assert found(RUN_MINUTES + 6, 13, StartRule.EXACTLY) == set()


def test_that_a_second_pass_follows_the_first_and_keeps_its_own_direction() -> None:
    back = run(open=Edge(Event.SUNSET, 70), close=Edge(Event.SUNSET, 130), direction=PassDirection.REVERSE)
    two = protocol(run(direction=PassDirection.FORWARD), back)
    assert judged(Scene(two, spans=((20, 60), (60, 100)))) == []
    # The first pass ends at 59 at the last point; 15 minutes back to the first one make the second too late.
    both = protocol(run(direction=PassDirection.FORWARD), replace(back, direction=PassDirection.FORWARD))
    assert rules(judged(Scene(both, spans=((20, 60), (60, 100))))) == {Rule.VISIT_WINDOW}
    assert judged(Scene(both, spans=((20, 60), (60, 113)))) == []


def test_that_a_reverse_pass_goes_against_the_first_whichever_way_that_went() -> None:
    # Uphill one way: only a first pass against the route's order ends in time, and only going forward does the second.
    legs = np.triu(line_legs(4, 9.0)) + np.tril(line_legs(4, 5.0))
    back = run(open=Edge(Event.SUNSET, 70), direction=PassDirection.REVERSE)
    scene = Scene(protocol(run(), back), spans=((20, 59), (59, 110)), legs=legs)
    assert judged(scene) == []
    assert rules(judged(replace(scene, spans=((20, 59), (59, 109))))) == {Rule.VISIT_WINDOW}
    for fixed in (
        protocol(run(), back, direction=Direction.FIXED),
        protocol(run(direction=PassDirection.FORWARD), back),
    ):
        assert rules(judged(replace(scene, protocol=fixed))) == {Rule.VISIT_WINDOW}
        assert judged(replace(scene, protocol=fixed, spans=((20, 71), (71, 110)))) == []


def test_that_a_reverse_pass_against_an_order_of_ones_own_choice_is_judged_where_it_can_be() -> None:
    back = run(open=Edge(Event.SUNSET, 70), direction=PassDirection.REVERSE)
    free = Scene(protocol(run(), back, direction=Direction.ANY))
    assert judged(replace(free, spans=((20, 59), (59, 98)))) == []
    assert {f.severity for f in judged(replace(free, spans=((20, 59), (59, 97))))} == {Severity.BROKEN}
    # Round a one-way ring: each pass by itself fits, but not the second against the first.
    ring = np.array([[0.0, 1, 2, 3], [3, 0, 1, 2], [2, 3, 0, 1], [1, 2, 3, 0]])
    found = judged(replace(free, legs=ring, spans=((20, 47), (47, 77))))
    assert {(f.rule, f.severity) for f in found} == {(Rule.VISIT_WINDOW, Severity.DOUBT)}


def test_that_a_second_pass_may_turn_round_where_the_order_rule_leaves_it_open() -> None:
    two = protocol(run(), run(open=Edge(Event.SUNSET, 70)))
    assert judged(Scene(two, spans=((20, 60), (60, 100)))) == []
    fixed = protocol(run(), run(open=Edge(Event.SUNSET, 70)), direction=Direction.FIXED)
    assert rules(judged(Scene(fixed, spans=((20, 60), (60, 100))))) == {Rule.VISIT_WINDOW}


def test_that_a_second_pass_that_must_start_exactly_is_not_reached_late() -> None:
    second = run(open=Edge(Event.SUNSET, 70), start=StartRule.EXACTLY, direction=PassDirection.REVERSE)
    two = protocol(run(direction=PassDirection.FORWARD), second)
    assert judged(Scene(two, spans=((20, 60), (59, 120)))) == []
    assert rules(judged(Scene(two, spans=((20, 60), (58, 120))))) == {Rule.VISIT_WINDOW}


def test_that_finish_by_holds_for_every_count() -> None:
    by = protocol(run(finish=FinishRule.BY))
    assert judged(Scene(by, spans=((20, 59),))) == []
    assert rules(judged(Scene(by, spans=((20, 58),)))) == {Rule.VISIT_WINDOW}


def test_that_an_overcast_sky_that_spoils_a_visit_is_trouble_and_breaks_nothing() -> None:
    fine = Scene(protocol(), overcast=((15, 75),))
    assert judged(fine) == []
    finding = judged(replace(fine, overcast=((15, 50),)))[0]
    assert (finding.rule, finding.severity) == (Rule.VISIT_WINDOW, Severity.TROUBLE)
    assert "under an overcast sky by 4 min" in finding.what
    assert finding.todo == "Go out under a clear sky only."
    clear = judged(replace(fine, spans=((20, 50),), overcast=((15, 50),)))
    assert {f.severity for f in clear} == {Severity.BROKEN}


def test_that_a_route_whose_points_no_road_joins_is_said_as_such() -> None:
    legs = line_legs(4)
    legs[:, 2], legs[2, :] = np.inf, np.inf
    found = judged(Scene(protocol(), legs=legs))
    assert rules(found) == {Rule.ROUTE_UNREACHABLE}


def test_that_a_driven_line_takes_the_protocols_own_speed() -> None:
    # 30 km at 60 km/h are 30 minutes, though the roads would allow 15.
    line = protocol(
        points=PointRule(0, 0, line=Length(30.0, "km")), travel=TravelRule(survey_speed=Speed(60.0, "km/h"))
    )
    for routes in ((route("R1"),), (route("R1", points=1),)):
        assert judged(Scene(line, routes, spans=((20, 50),))) == []
        assert rules(judged(Scene(line, routes, spans=((20, 49),)))) == {Rule.VISIT_WINDOW}


def test_that_a_driven_line_without_a_speed_takes_its_drives() -> None:
    line = protocol(points=PointRule(0, 0, line=Length(30.0, "km")))
    assert judged(Scene(line, spans=((20, 35),))) == []
    assert rules(judged(Scene(line, spans=((20, 34),)))) == {Rule.VISIT_WINDOW}


def scattered(points: int) -> Scene:
    """Points along a road that are numbered out of order, any order allowed."""
    shuffle = np.random.default_rng(7).permutation(points)
    legs = line_legs(points, 2.0)[np.ix_(shuffle, shuffle)]
    return Scene(protocol(direction=Direction.ANY), (route("R1", points=points),), legs=legs)


@pytest.mark.parametrize("points", [6, 12])
def test_that_any_order_means_the_best_one(points: int) -> None:
    needed = points * 6 + (points - 1) * 2
    assert judged(replace(scattered(points), spans=((20, 20 + needed),))) == []
    found = judged(replace(scattered(points), spans=((20, 20 + needed - 1),)))
    assert {(f.rule, f.severity) for f in found} == {(Rule.VISIT_WINDOW, Severity.BROKEN)}


def test_that_a_long_route_is_a_doubt_where_nothing_is_proven() -> None:
    # Two groups of points, ten minutes apart: the shortest legs into each point do not see the way between them.
    legs = np.full((10, 10), 10.0)
    legs[:5, :5], legs[5:, 5:] = 1.0, 1.0
    np.fill_diagonal(legs, 0.0)
    scene = Scene(protocol(direction=Direction.ANY), (route("R1", points=10),), legs=legs)
    assert judged(replace(scene, spans=((20, 98),))) == []
    found = judged(replace(scene, spans=((20, 95),)))
    assert {(f.rule, f.severity) for f in found} == {(Rule.VISIT_WINDOW, Severity.DOUBT)}
    assert found[0].what.endswith("by 3 min in every order tried; there may be a better one.")
    assert {f.severity for f in judged(replace(scene, spans=((20, 88),)))} == {Severity.BROKEN}
    sky = replace(scene, spans=((20, 98),), overcast=((20, 95),))
    assert {f.severity for f in judged(sky)} == {Severity.DOUBT}


def test_that_one_point_far_from_all_others_proves_nothing_against_starting_there() -> None:
    legs = np.full((10, 10), 10.0)
    legs[:5, :5], legs[5:, 5:] = 1.0, 1.0
    legs[1:, 0] = 60.0
    np.fill_diagonal(legs, 0.0)
    scene = Scene(protocol(direction=Direction.ANY), (route("R1", points=10),), legs=legs)
    assert judged(replace(scene, spans=((20, 98),))) == []
    assert {f.severity for f in judged(replace(scene, spans=((20, 95),)))} == {Severity.DOUBT}


def test_that_one_pass_too_short_for_its_counts_proves_a_long_route_impossible() -> None:
    later = run(open=Edge(Event.SUNSET, 90), close=Edge(Event.SUNSET, 160))
    two = protocol(run(), later, direction=Direction.ANY)
    scene = Scene(two, (route("R1", points=10),), legs=line_legs(10, 1.0))
    assert judged(replace(scene, spans=((20, 89), (89, 158)))) == []
    assert {f.severity for f in judged(replace(scene, spans=((20, 89), (89, 150))))} == {Severity.BROKEN}


def test_that_a_required_set_up_day_may_not_be_missing() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, setup=None)))
    assert finding.rule is Rule.SETUP_DATE
    assert "must lie within 7 days before it" in finding.what
    optional = replace(PROTOCOL, setup=replace(PROTOCOL.setup or SetupRule(False, 1.0), required=False))
    assert audit(Scene(optional).problem(), changed("R1", 1, setup=None)) == []


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (changed("R1", 2, setup=june(20)), "only visit 1 has one"),
        (changed("R1", 1, setup=june(7)), "comes after the visit"),
        (changed("R1", 1, date=june(12), reserve=june(13), setup=june(4)), "is 8 days before the visit, limit 7"),
        (changed("R1", 1, date=june(2), reserve=june(8), setup=dt.date(2027, 5, 30)), "lies outside the season"),
    ],
)
def test_that_a_set_up_day_stands_before_visit_1_and_near_it(plan: Plan, said: str) -> None:
    finding = only(audit(Scene().problem(), plan))
    assert finding.rule is Rule.SETUP_DATE
    assert said in finding.what


def test_that_a_set_up_day_may_be_as_far_before_as_the_protocol_says() -> None:
    plan = changed("R1", 1, date=june(11), reserve=june(13), setup=june(4))
    assert audit(Scene().problem(), plan) == []


def test_that_a_protocol_without_set_up_has_no_set_up_day() -> None:
    findings = audit(Scene(replace(PROTOCOL, setup=None)).problem(), CLEAN)
    assert [finding.rule for finding in findings] == [Rule.SETUP_DATE] * 2
    assert "the protocol has none" in findings[0].what


def test_that_a_set_up_on_the_day_of_the_survey_needs_leave() -> None:
    own_day = replace(PROTOCOL, setup=SetupRule(required=True, minutes_per_point=15.0, same_day_allowed=False))
    finding = only(audit(Scene(own_day).problem(), changed("R1", 1, setup=june(5))))
    assert finding.rule is Rule.SETUP_DATE
    assert "the protocol wants a day of its own" in finding.what
    assert finding.subject.route == "R1"


# A set-up takes 20 + 4 x 15 + 3 x 5 + 20 = 115 minutes, the way out and home included.
@pytest.mark.parametrize(("minutes", "fits"), [(115.0, True), (114.0, False)])
def test_that_a_set_up_day_has_daylight_for_the_whole_trip(minutes: float, fits: bool) -> None:
    found = audit(Scene(sun_hours=(20.0 - minutes / 60, 20.0)).problem(), CLEAN)
    assert [f.rule for f in found] == ([] if fits else [Rule.SETUP_LIGHT] * 2)
    if not fits:
        assert found[0].what.startswith("The set-up on Thu 3 Jun ends 1 min after sunset: 15 min at each of 4 points")


def test_that_on_the_date_of_the_survey_nobody_drives_home_before_the_counts() -> None:
    plan = changed("R1", 1, setup=june(5)).without(VisitKey("R2", 1))
    scene = Scene(sun_hours=(20.0 - 95 / 60, 20.0))
    assert Rule.SETUP_LIGHT not in rules(audit(scene.problem(), plan))
    short = Scene(sun_hours=(20.0 - 94 / 60, 20.0))
    assert Rule.SETUP_LIGHT in rules(audit(short.problem(), plan))


def test_that_a_set_up_on_the_date_of_the_survey_is_done_before_the_counts() -> None:
    # The window lies before sunset here: from 80 to 35 minutes before it.
    early = Scene(spans=((-80, -35),))
    assert audit(early.problem(), changed("R1", 1, setup=june(5))) == []
    rushed = replace(early, sun_hours=(18.5, 20.0 + 50 / 60))
    found = audit(rushed.problem(), changed("R1", 1, setup=june(5)).without(VisitKey("R2", 1)))
    finding = only([f for f in found if f.rule is not Rule.VISIT_UNFILLED])
    assert finding.rule is Rule.SETUP_LIGHT
    assert "begin before a set-up on the same date can be done" in finding.what


def test_that_a_dawn_survey_cannot_follow_a_set_up_of_the_same_date() -> None:
    found = audit(Scene().problem(), changed("R1", 1, window="dawn", setup=june(5)))
    assert only(found).rule is Rule.SETUP_LIGHT
    assert audit(Scene().problem(), changed("R1", 1, window="dawn", setup=june(4))) == []


def test_that_a_date_without_a_window_is_not_also_a_set_up_without_light() -> None:
    found = audit(Scene(dark={june(5): "no dusk"}).problem(), changed("R1", 1, setup=june(5)))
    assert only(found).rule is Rule.VISIT_NO_LIGHT


def test_that_an_unknown_window_or_date_leaves_the_set_up_to_be_judged_alone() -> None:
    assert rules(audit(Scene().problem(), changed("R1", 1, window="x", setup=june(5)))) == {Rule.VISIT_UNKNOWN}


def test_that_a_set_up_by_somebody_unknown_or_without_a_road_is_not_judged_again() -> None:
    assert rules(audit(Scene().problem(), changed("R1", 1, lead="V9"))) == {Rule.VISIT_UNKNOWN}
    assert rules(audit(Scene(out_minutes={"V1": np.inf}).problem(), CLEAN)) == {Rule.VISIT_DRIVE}


@pytest.mark.parametrize(("latitude", "found"), [(70.0, set()), (-70.0, {Rule.SETUP_LIGHT})])
def test_that_a_sun_that_does_not_set_is_daylight_and_one_that_does_not_rise_is_none(
    latitude: float, found: set[Rule]
) -> None:
    place = replace(route("R1").points[0].place, latitude=latitude)
    far = replace(route("R1"), points=(replace(route("R1").points[0], place=place), *route("R1").points[1:]))
    problem = Scene(routes=(far, route("R2"))).problem()
    problem.light["R1"].sunrise_utc[:], problem.light["R1"].sunset_utc[:] = np.nan, np.nan
    assert rules(audit(problem, CLEAN)) == found
