"""Each rule that does not need the light of a date: kept, and broken."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.finding import Rule, Severity, Subject
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.protocol import Gap, PeopleRule, VisitRule
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay, Strength
from planner.scheduling.audit import audit
from tests.unit.scheduling.audit_seasons import (
    ALWAYS,
    CLEAN,
    PROTOCOL,
    SEASON,
    Scene,
    changed,
    july,
    june,
    only,
    route,
    rules,
    visit,
    volunteer,
)


def busy(day: dt.date, *parts: PartOfDay) -> tuple[Availability, ...]:
    """Always free, but on one date for those parts alone."""
    return (ALWAYS, Availability(DateRange(day, day), frozenset(parts)))


def with_gap(*gaps: Gap) -> Scene:
    """A season of as many visits as gaps and one, each of which may lie anywhere."""
    visits = (VisitRule(1), *(VisitRule(number, gap=gap) for number, gap in enumerate(gaps, start=2)))
    protocol = replace(PROTOCOL, visits=visits, setup=None)
    return Scene(protocol=protocol, routes=(route("R1"),), visits=(SEASON,) * len(visits))


def test_that_a_clean_plan_has_no_findings() -> None:
    assert audit(Scene().problem(), CLEAN) == []


def test_that_an_empty_plan_breaks_nothing_and_lists_every_unfilled_visit() -> None:
    findings = audit(Scene().problem(), Plan())
    assert [str(finding.subject) for finding in findings] == [
        "route R1, visit 1",
        "route R1, visit 2",
        "route R2, visit 1",
        "route R2, visit 2",
    ]
    assert {(f.rule, f.severity) for f in findings} == {(Rule.VISIT_UNFILLED, Severity.TROUBLE)}


def test_that_findings_come_worst_first() -> None:
    plan = changed("R2", 2, reserve=None, date=june(8)).without(VisitKey("R1", 1))
    severities = [finding.severity for finding in audit(Scene().problem(), plan)]
    assert severities == sorted(severities)
    assert len(set(severities)) == 3


@pytest.mark.parametrize(
    ("odd", "said"),
    [
        (visit("R9", 1, "V1", june(15)), "no route 'R9'"),
        (visit("R1", 3, "V1", june(15)), "visits 1 to 2, not 3"),
        (visit("R1", 0, "V1", june(15)), "visits 1 to 2, not 0"),
    ],
)
def test_that_a_visit_of_an_unknown_route_or_number_is_found_and_nothing_else_is_said_of_it(
    odd: object, said: str
) -> None:
    finding = only(audit(Scene().problem(), Plan((*CLEAN.visits, odd))))  # type: ignore[arg-type]  # a planned visit
    assert finding.rule is Rule.VISIT_UNKNOWN
    assert finding.severity is Severity.BROKEN
    assert said in finding.what


def test_that_an_unknown_lead_is_found() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, lead="V9")))
    assert (finding.rule, finding.subject.volunteer) == (Rule.VISIT_UNKNOWN, "V9")


def test_that_an_unknown_second_is_found() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, second="V9")))
    assert (finding.rule, finding.subject.volunteer) == (Rule.VISIT_UNKNOWN, "V9")


def test_that_an_unknown_person_may_bring_what_the_route_needs() -> None:
    scene = Scene(routes=(route("R1", needs=frozenset({"4x4"})), route("R2")))
    plan = changed("R1", 1, second="V9").with_visit(visit("R1", 2, "V1", june(25), reserve=june(28), second="V9"))
    assert rules(audit(scene.problem(), plan)) == {Rule.VISIT_UNKNOWN}


def test_that_an_unknown_window_is_found_and_the_known_ones_are_named() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, window="noon")))
    assert finding.rule is Rule.VISIT_UNKNOWN
    assert "'dusk' and 'dawn'" in finding.todo


def test_that_a_date_outside_its_range_is_found_alone() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 2, date=june(11), reserve=june(20))))
    assert finding.rule is Rule.VISIT_DATE
    assert "Fri 11 Jun lies outside the dates of visit 2" in finding.what


def test_that_the_ends_of_a_range_belong_to_it() -> None:
    plan = Plan((visit("R1", 1, "V1", june(1), reserve=june(2), setup=june(1)),))
    assert rules(audit(Scene(routes=(route("R1"),)).problem(), plan)) == {Rule.VISIT_UNFILLED}
    late = changed("R1", 2, date=july(8), reserve=july(9))
    assert audit(Scene().problem(), late) == []


def test_that_a_routes_own_range_counts_before_the_seasons() -> None:
    own = ((2, DateRange(july(20), july(31))),)
    scene = Scene(routes=(route("R1", visit_dates=own), route("R2")))
    found = [finding.rule for finding in audit(scene.problem(), CLEAN)]
    assert found == [Rule.VISIT_DATE, Rule.RESERVE_DATE]


def test_that_a_routes_own_range_cannot_leave_the_season() -> None:
    own = ((2, DateRange(july(1), dt.date(2027, 8, 20))),)
    scene = Scene(routes=(route("R1", visit_dates=own), route("R2")))
    plan = changed("R1", 2, date=dt.date(2027, 8, 3), reserve=None, status=Status.DONE)
    finding = only(audit(scene.problem(), plan))
    assert finding.rule is Rule.VISIT_DATE
    assert finding.what.endswith("(2027-07-01 to 2027-08-20, the season 2027-06-01 to 2027-07-31).")


def test_that_a_range_that_begins_before_the_season_is_cut_too() -> None:
    own = ((2, DateRange(dt.date(2027, 5, 20), june(20))),)
    scene = Scene(routes=(route("R1", visit_dates=own), route("R2")))
    plan = changed("R1", 2, date=dt.date(2027, 5, 31), reserve=None, status=Status.DONE)
    finding = only(audit(scene.problem(), plan))
    assert (finding.rule, finding.subject.date) == (Rule.VISIT_DATE, dt.date(2027, 5, 31))
    assert "the season 2027-06-01" in finding.what


@pytest.mark.parametrize("reserve", [june(5), june(4)])
def test_that_a_reserve_date_must_follow_its_visit(reserve: dt.date) -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, reserve=reserve)))
    assert finding.rule is Rule.RESERVE_DATE
    assert "does not come after" in finding.what


def test_that_a_reserve_date_must_lie_in_the_visits_range() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 1, reserve=july(1))))
    assert finding.rule is Rule.RESERVE_DATE
    assert "lies outside the dates of visit 1" in finding.what


def test_that_a_visit_without_a_reserve_date_is_a_doubt_until_it_is_done() -> None:
    finding = only(audit(Scene().problem(), changed("R1", 2, reserve=None)))
    assert (finding.rule, finding.severity) == (Rule.VISIT_NO_RESERVE, Severity.DOUBT)
    assert audit(Scene().problem(), changed("R1", 2, reserve=None, status=Status.DONE)) == []


def test_that_the_least_gap_holds_from_the_reserve_date_of_the_visit_before() -> None:
    assert audit(Scene().problem(), changed("R1", 2, date=june(18))) == []
    finding = only(audit(Scene().problem(), changed("R1", 2, date=june(17))))
    assert finding.rule is Rule.VISIT_GAP
    assert "is 9 days after the reserve date of visit 1 (Tue 8 Jun); at least 10 days" in finding.what


def test_that_a_reserve_date_no_longer_counts_once_the_visit_is_done() -> None:
    plan = changed("R1", 2, date=june(15)).with_status(VisitKey("R1", 1), Status.DONE)
    assert audit(Scene().problem(), plan) == []


def test_that_the_most_gap_holds_for_the_reserve_date_of_the_later_visit() -> None:
    assert audit(Scene().problem(), changed("R1", 2, date=july(9), reserve=july(10))) == []
    finding = only(audit(Scene().problem(), changed("R1", 2, date=july(9), reserve=july(11))))
    assert finding.rule is Rule.VISIT_GAP
    assert "The reserve date of visit 2 (Sun 11 Jul) is 36 days after" in finding.what


def test_that_visits_come_in_their_order_even_without_a_gap_rule() -> None:
    plan = Plan((visit("R1", 1, "V1", june(9)), visit("R1", 2, "V2", june(8))))
    findings = audit(with_gap(Gap()).problem(), plan)
    assert rules(findings, Severity.BROKEN) == {Rule.VISIT_GAP}
    assert "1 day before" in findings[0].what


def test_that_two_visits_on_one_date_are_no_days_apart() -> None:
    plan = Plan((visit("R1", 1, "V1", june(9)), visit("R1", 2, "V2", june(9))))
    assert Rule.VISIT_GAP not in rules(audit(with_gap(Gap()).problem(), plan))
    found = [f for f in audit(with_gap(Gap(1)).problem(), plan) if f.rule is Rule.VISIT_GAP]
    assert "is 0 days after" in only(found).what


def test_that_a_skipped_visit_keeps_its_days() -> None:
    scene = with_gap(Gap(10, 20), Gap(7, 12)).problem()

    def found(day: int) -> set[Rule]:
        plan = Plan((visit("R1", 1, "V1", june(1)), visit("R1", 3, "V2", june(1) + dt.timedelta(day))))
        return rules(audit(scene, plan), Severity.BROKEN)

    assert [found(day) for day in (16, 17, 32, 33)] == [{Rule.VISIT_GAP}, set(), set(), {Rule.VISIT_GAP}]


def test_that_a_gap_without_an_upper_bound_on_the_way_has_none_altogether() -> None:
    plan = Plan((visit("R1", 1, "V1", june(1)), visit("R1", 3, "V2", july(30))))
    findings = audit(with_gap(Gap(10), Gap(7, 12)).problem(), plan)
    assert rules(findings, Severity.BROKEN) == set()


@pytest.mark.parametrize("days", [5, 40])
def test_that_a_preferred_gap_is_a_doubt_only(days: int) -> None:
    scene = with_gap(Gap(10, 30, Strength.PREFERRED)).problem()
    plan = Plan((visit("R1", 1, "V1", june(1)), visit("R1", 2, "V2", june(1) + dt.timedelta(days))))
    gap = [finding for finding in audit(scene, plan) if finding.rule is Rule.VISIT_GAP]
    assert only(gap).severity is Severity.DOUBT


def test_that_a_gap_finding_is_put_to_the_visit_that_can_still_be_moved() -> None:
    plan = changed("R1", 2, date=june(17), pinned=True)
    assert only(audit(Scene().problem(), plan)).subject.visit == 1
    both = plan.with_status(VisitKey("R1", 1), Status.CONFIRMED)
    assert only(audit(Scene().problem(), both)).subject.visit == 2


def test_that_a_protocol_that_wants_two_people_finds_each_visit_with_one() -> None:
    two = Scene(protocol=replace(PROTOCOL, people=PeopleRule(fewest=2, preferred=2, lead_training=("course",))))
    assert [f.rule for f in audit(two.problem(), CLEAN)] == [Rule.VISIT_PEOPLE] * 4


def test_that_a_route_may_want_a_second_person() -> None:
    scene = Scene(routes=(route("R1", people=2), route("R2")))
    plan = changed("R1", 1, second="V3")
    finding = only(audit(scene.problem(), plan))
    assert (finding.rule, finding.subject) == (Rule.VISIT_PEOPLE, Subject("R1", visit=2))
    assert audit(scene.problem(), plan.with_visit(replace(plan.by_key[VisitKey("R1", 2)], second="V3"))) == []


def test_that_the_lead_needs_the_training_and_the_second_does_not() -> None:
    scene = Scene(volunteers=(volunteer("V1"), volunteer("V2"), volunteer("V3", training=frozenset())))
    assert audit(scene.problem(), changed("R1", 1, second="V3")) == []
    finding = only(audit(scene.problem(), changed("R1", 1, lead="V3")))
    assert finding.rule is Rule.VISIT_TRAINING
    assert finding.what == "V3 leads without the training course."


def test_that_the_team_together_brings_what_the_route_needs() -> None:
    scene = Scene(
        routes=(route("R1", needs=frozenset({"4x4", "course"})), route("R2")),
        volunteers=(volunteer("V1"), volunteer("V2"), volunteer("V3", vehicle="4x4")),
    )
    plan = changed("R1", 1, second="V3")
    finding = only(audit(scene.problem(), plan))
    assert (finding.rule, finding.subject.visit) == (Rule.VISIT_VEHICLE, 2)
    assert finding.what == "Route R1 needs 4x4; V1 cannot offer that."


def test_that_an_agreed_lead_leads() -> None:
    agreed = Scene(routes=(route("R1", lead="V1"), route("R2")))
    assert audit(agreed.problem(), CLEAN) == []
    finding = only(audit(agreed.problem(), changed("R1", 2, lead="V3", second="V1")))
    assert (finding.rule, finding.subject.volunteer) == (Rule.ROUTE_LEAD, "V3")


@pytest.mark.parametrize(("day", "words"), [(5, "the date of visit 1"), (8, "the reserve date of visit 1")])
def test_that_everyone_has_given_the_evening_of_the_visit_and_of_its_reserve(day: int, words: str) -> None:
    lacking = volunteer("V3", availability=busy(june(day), PartOfDay.DAYLIGHT, PartOfDay.DAWN))
    scene = Scene(volunteers=(volunteer("V1"), volunteer("V2"), lacking))
    finding = only(audit(scene.problem(), changed("R1", 1, second="V3")))
    assert (finding.rule, finding.subject.volunteer) == (Rule.VISIT_AVAILABLE, "V3")
    assert finding.what == f"V3 has not given the evening of {june(day):%a} {day} Jun, {words}."


def test_that_the_lead_alone_has_given_the_daylight_of_the_set_up_day() -> None:
    lacking = volunteer("V1", availability=busy(june(3), PartOfDay.DUSK, PartOfDay.DAWN))
    scene = Scene(volunteers=(lacking, volunteer("V2"), volunteer("V3")))
    finding = only(audit(scene.problem(), CLEAN))
    assert (finding.rule, finding.subject.date) == (Rule.VISIT_AVAILABLE, june(3))
    assert "the daytime of Thu 3 Jun, the set-up day of visit 1" in finding.what
    assert audit(scene.problem(), changed("R1", 1, lead="V3", second="V1")) == []


def test_that_past_dates_and_done_visits_are_not_asked_for_again() -> None:
    gone = volunteer("V1", availability=(Availability(DateRange(june(25), june(30)), frozenset(PartOfDay)),))
    people = (gone, volunteer("V2"), volunteer("V3"))
    assert rules(audit(Scene(volunteers=people, today=june(5)).problem(), CLEAN)) == {Rule.VISIT_AVAILABLE}
    assert only(audit(Scene(volunteers=people, today=june(8)).problem(), CLEAN)).subject.date == june(8)
    assert audit(Scene(volunteers=people, today=june(9)).problem(), CLEAN) == []
    assert audit(Scene(volunteers=people).problem(), CLEAN.with_status(VisitKey("R1", 1), Status.DONE)) == []


def test_that_two_visits_of_one_person_on_one_date_are_found() -> None:
    finding = only(audit(Scene().problem(), changed("R2", 1, second="V1", date=june(5), reserve=june(9))))
    assert finding.rule is Rule.DAY_TWICE
    assert finding.what == "V1 is wanted twice on Sat 5 Jun: the date of R1 visit 1 and the date of R2 visit 1."
    assert finding.subject == Subject("R2", visit=1, volunteer="V1", date=june(5))


def test_that_reserve_dates_and_set_up_days_bind_their_people_too() -> None:
    twice = only(audit(Scene().problem(), changed("R2", 1, second="V1", date=june(6), reserve=june(8))))
    assert (twice.rule, twice.subject.date) == (Rule.DAY_TWICE, june(8))
    setup = only(audit(Scene().problem(), changed("R2", 1, lead="V1", setup=june(5), reserve=june(9))))
    assert (setup.rule, setup.subject.date) == (Rule.DAY_TWICE, june(5))
    assert "the set-up day of R2 visit 1" in setup.what


def test_that_a_set_up_binds_the_lead_and_not_the_second() -> None:
    assert audit(Scene().problem(), changed("R2", 1, second="V1", setup=june(5), reserve=june(9))) == []


def test_that_a_set_up_on_the_date_of_its_own_survey_is_one_outing() -> None:
    assert audit(Scene().problem(), changed("R1", 1, setup=june(5))) == []


def test_that_the_reserve_date_of_a_done_visit_binds_nobody() -> None:
    plan = changed("R2", 1, second="V1", date=june(6), reserve=june(8)).with_status(VisitKey("R1", 1), Status.DONE)
    assert audit(Scene().problem(), plan) == []


def test_that_a_double_booking_is_put_to_the_visit_that_can_still_be_moved() -> None:
    plan = changed("R2", 1, second="V1", date=june(5), reserve=june(9), pinned=True)
    assert only(audit(Scene().problem(), plan)).subject.route == "R1"


def test_that_an_unknown_person_is_not_counted() -> None:
    plan = changed("R1", 1, lead="V9").with_visit(visit("R2", 1, "V9", june(5), reserve=june(9), setup=june(4)))
    assert rules(audit(Scene().problem(), plan)) == {Rule.VISIT_UNKNOWN}


@pytest.mark.parametrize(("drive", "minutes"), [(52.4, "52"), (45.3, "45.3"), (45.004, "45.01")])
def test_that_a_drive_over_the_limit_is_found_with_its_figures(drive: float, minutes: str) -> None:
    findings = audit(Scene(out_minutes={"V1": drive}).problem(), CLEAN)
    assert [finding.rule for finding in findings] == [Rule.VISIT_DRIVE] * 2
    assert findings[0].what == f"V1 drives {minutes} min one way, limit 45."


def test_that_a_drive_of_just_the_limit_is_allowed() -> None:
    assert audit(Scene(out_minutes={"V1": 45.0}).problem(), CLEAN) == []


def test_that_the_drive_is_the_mean_of_out_and_back_at_the_nearer_end() -> None:
    problem = Scene().problem()
    for out, back, ends, far in ((40.0, 50.0, (0,), False), (41.0, 50.0, (0, -1), True), (41.0, 50.0, (0,), False)):
        drive = problem.drives["R1"]
        drive.out.expected[0], drive.back.expected[:, 0] = 90.0, 90.0
        drive.out.expected[0, 1:-1], drive.back.expected[1:-1, 0] = 1.0, 1.0
        drive.out.expected[0, list(ends)], drive.back.expected[list(ends), 0] = out, back
        if not far:
            drive.out.expected[0, -1], drive.back.expected[-1, 0] = 45.0, 45.0
        assert rules(audit(problem, CLEAN)) == ({Rule.VISIT_DRIVE} if far else set())


def test_that_a_home_without_a_road_to_the_route_is_said_as_such() -> None:
    findings = audit(Scene(out_minutes={"V1": float("inf")}).problem(), CLEAN)
    assert [finding.rule for finding in findings] == [Rule.VISIT_DRIVE] * 2
    assert "No road leads from the home of V1 to route R1" in findings[0].what


def test_that_nobody_goes_out_more_often_than_offered() -> None:
    people = (volunteer("V1", visits_limit=1), volunteer("V2"), volunteer("V3"))
    finding = only(audit(Scene(volunteers=people).problem(), CLEAN))
    assert finding.rule is Rule.LOAD_LIMIT
    assert finding.what == "V1 goes out on 2 visits, limit 1."
    assert (finding.subject.route, finding.subject.visit, finding.subject.volunteer) == ("R1", 2, "V1")


def test_that_just_as_many_visits_as_offered_are_allowed() -> None:
    people = (volunteer("V1", visits_limit=2), volunteer("V2", visits_limit=2), volunteer("V3"))
    assert audit(Scene(volunteers=people).problem(), CLEAN) == []


def test_that_going_as_second_counts_as_a_visit() -> None:
    people = (volunteer("V1", visits_limit=2), volunteer("V2"), volunteer("V3"))
    finding = only(audit(Scene(volunteers=people).problem(), changed("R2", 1, second="V1")))
    assert finding.rule is Rule.LOAD_LIMIT
    assert finding.what == "V1 goes out on 3 visits, limit 2."
    assert finding.todo == "Give 1 of them to others, or ask V1 for more."
