"""Volunteers without a usable date, and visits that nobody can lead."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.usecases.wording import some_of
from tests.unit.usecases.checked_seasons import (
    DATES,
    PROTOCOL,
    Checked,
    free,
    good_facts,
    june,
    route,
    volunteer,
)

NIGHT = "no nautical dusk: the sun does not sink 12 degrees below the horizon"


def people(**changes: object) -> tuple[Volunteer, ...]:
    """Three volunteers, the third of whom is different."""
    return (volunteer("V1"), volunteer("V2"), volunteer("V3", **changes))


def of_v3(check: Checked) -> Finding:
    finding = check.only()
    assert (finding.rule, finding.severity) == (Rule.VOLUNTEER_NO_EVENING, Severity.TROUBLE)
    assert finding.subject == Subject(volunteer="V3")
    return finding


def test_that_a_volunteer_without_any_date_is_asked_for_some() -> None:
    finding = of_v3(Checked(volunteers=people(availability=())))
    assert finding.what == "V3 has given no date in the season (2027-06-01 to 2027-06-20)."
    assert finding.todo == "Ask V3 for evenings."


def test_that_a_volunteer_who_goes_nowhere_needs_no_date() -> None:
    assert Checked(volunteers=people(availability=(), visits_limit=0)).findings() == []


def test_that_dates_for_other_parts_of_the_day_are_said_as_such() -> None:
    days = (*free(3, part=PartOfDay.DAYLIGHT), *free(4, part=PartOfDay.DAWN))
    finding = of_v3(Checked(volunteers=people(availability=days)))
    assert finding.what == "V3 has given daytimes and mornings only; the counts need evenings."
    assert of_v3(Checked(routes=(), volunteers=people(availability=days))).what == finding.what


def test_that_dates_outside_every_visit_are_said_as_such() -> None:
    from_6_to_10 = replace(Checked().visits[0], first=june(6))
    check = Checked(volunteers=people(availability=free(2, 4)), visits=(from_6_to_10, Checked().visits[1]))
    finding = of_v3(check)
    assert finding.what == (
        "None of the 2 evenings that V3 has given lies in the dates of a visit (2027-06-06 to 2027-06-20)."
    )
    assert replace(check, routes=()).findings() == []


def test_that_dates_without_a_window_are_said_with_the_reason() -> None:
    margin = np.where(np.isin(np.arange(20), [2, 3]), np.nan, 1.0)[None, :]
    facts = good_facts(margin_minutes=margin, no_window=({june(3): NIGHT, june(4): NIGHT},))
    check = Checked(volunteers=people(availability=free(3, 4)), facts={"R1": facts, "R2": facts})
    finding = of_v3(check)
    assert finding.what == f"None of the 2 evenings that V3 has given has a window: {NIGHT}."
    assert finding.todo == "Ask V3 for evenings on other dates."
    assert replace(check, facts={"R1": facts}).findings() == []
    assert replace(check, volunteers=people(availability=free(3, 5))).findings() == []
    silent = replace(facts, no_window=({},))
    assert of_v3(replace(check, facts={"R1": silent, "R2": silent})).what.endswith("the light rule is not met.")


def test_that_a_window_too_short_for_one_route_is_still_a_window() -> None:
    facts = good_facts(margin_minutes=np.where(np.arange(20) == 2, -5.0, 1.0)[None, :])
    check = Checked(volunteers=people(availability=free(3)), facts={"R1": facts, "R2": facts})
    assert check.findings() == []


def test_that_a_season_without_any_window_is_not_held_against_its_volunteers() -> None:
    facts = good_facts(margin_minutes=np.full((1, 20), np.nan))
    found = Checked(facts={"R1": facts, "R2": facts}).findings()
    assert [(f.rule, f.subject) for f in found] == [
        (Rule.VISIT_NO_LIGHT, Subject(visit=1)),
        (Rule.VISIT_NO_LIGHT, Subject(visit=2)),
    ]


def nobody(check: Checked) -> Finding:
    finding = check.only()
    assert (finding.rule, finding.severity) == (Rule.VISIT_NOBODY, Severity.TROUBLE)
    return finding


def test_that_a_training_that_nobody_has_is_one_finding_of_the_season() -> None:
    untrained = tuple(volunteer(code, training=frozenset()) for code in ("V1", "V2", "V3"))
    finding = nobody(Checked(volunteers=untrained))
    assert finding.subject == Subject()
    assert finding.what == "None of 3 volunteers has the training course, so nobody can lead."


def test_that_everybody_is_counted_by_what_keeps_them_from_leading() -> None:
    team = (
        volunteer("V1", training=frozenset()),
        volunteer("V2", drive_limit_minutes=45.0),
        volunteer("V3", drive_limit_minutes=50.0),
        volunteer("V4", availability=free(12)),
        volunteer("V5", visits_limit=0),
        volunteer("V6", training=frozenset()),
    )
    facts = {
        "R1": good_facts(one_way_minutes=np.array([20, 52.3, 56.0, 20, 20, 20])),
        "R2": good_facts(volunteers=6),
    }
    finding = nobody(Checked(volunteers=team, facts=facts))
    assert finding.subject == Subject("R1", visit=1)
    assert finding.what == (
        "Nobody can lead visit 1 of route R1. Of 6 volunteers 1 offers no visits, 2 lack the training course,"
        " 2 would drive too far and 1 has given no date with a window long enough. V3 drives 56 min one way, limit 50."
    )
    assert finding.todo == "Ask V4 for one of 10 dates, Tue 1 Jun to Thu 10 Jun."


def test_that_a_drive_of_just_the_limit_is_near_enough() -> None:
    facts = {"R1": good_facts(one_way_minutes=np.array([45.0, 60.0, 60.0]))}
    assert Checked(facts=facts).findings() == []


def test_that_visits_that_fail_alike_are_one_finding() -> None:
    finding = nobody(Checked(facts={"R1": good_facts(one_way_minutes=np.array([50.0, 60.0, np.inf]))}))
    assert finding.subject == Subject("R1")
    assert finding.what == (
        "Nobody can lead visits 1 and 2 of route R1. Of 3 volunteers 3 would drive too far."
        " V1 drives 50 min one way, limit 45."
    )
    assert finding.todo == "Ask V1, V2 or V3 to drive farther, or find somebody nearer."


def test_that_a_date_counts_only_where_the_window_is_long_enough() -> None:
    margin = np.where(np.isin(np.arange(20), [4, 14]), 1.0, -5.0)[None, :]
    given = tuple(volunteer(code, availability=free(4, 6, 15)) for code in ("V1", "V2", "V3"))
    finding = nobody(Checked(volunteers=given, facts={"R1": good_facts(margin_minutes=margin)}))
    assert finding.subject == Subject("R1", visit=1)
    assert finding.todo == "Ask V1, V2 or V3 for Sat 5 Jun."


def test_that_what_the_route_needs_is_asked_of_one_who_goes_alone() -> None:
    needy = route("R1", needs=frozenset({"4x4"}))
    finding = nobody(Checked(routes=(needy, route("R2"))))
    assert "Of 3 volunteers 3 cannot bring 4x4." in finding.what
    assert finding.todo == "Find somebody who can bring it, or take the need off the route."
    assert Checked(routes=(needy, route("R2")), volunteers=people(vehicle="4x4")).findings() == []


def test_that_two_who_go_together_bring_it_together() -> None:
    needy = route("R1", needs=frozenset({"4x4"}), people=2)
    driver = people(vehicle="4x4", training=frozenset())
    assert Checked(routes=(needy, route("R2")), volunteers=driver).findings() == []
    finding = nobody(Checked(routes=(needy, route("R2"))))
    assert finding.what == (
        "Nobody can lead visits 1 and 2 of route R1. V1, V2 or V3 could, but no second person lives near enough and"
        " is free on one of the same dates and together they bring 4x4."
    )


@pytest.mark.parametrize(
    "second", [{"availability": free(12)}, {"visits_limit": 0}, {"drive_limit_minutes": 10.0}], ids=str
)
def test_that_a_second_person_is_free_willing_and_near(second: dict[str, object]) -> None:
    pair = route("R1", people=2)
    team = (volunteer("V1"), volunteer("V2", training=frozenset(), **second))
    finding = nobody(Checked(routes=(pair,), volunteers=team))
    assert "V1 could, but no second person" in finding.what
    assert Checked(routes=(pair,), volunteers=(volunteer("V1"), volunteer("V2"))).findings() == []


def test_that_just_what_is_needed_is_enough() -> None:
    needy = route("R1", needs=frozenset({"4x4", "course"}))
    assert Checked(routes=(needy,), volunteers=people(vehicle="4x4")).findings() == []
    pair = replace(needy, people=2, needs=frozenset({"car", "4x4", "course"}))
    team = (volunteer("V1"), volunteer("V2", vehicle="4x4", training=frozenset(), drive_limit_minutes=20.0))
    assert Checked(routes=(pair,), volunteers=team).findings() == []


def test_that_an_agreed_lead_is_the_only_one_asked() -> None:
    agreed = route("R1", lead="V3")
    for changes, lacks in (
        ({"training": frozenset()}, "lacks the training course"),
        ({"drive_limit_minutes": 15.5}, "drives 20 min one way, limit 15.5"),
        ({"visits_limit": 0}, "offers no visits"),
        ({"availability": free(12)}, "has given no date with a window long enough"),
    ):
        finding = nobody(Checked(routes=(agreed, route("R2")), volunteers=people(**changes)))
        assert f"V3, who has agreed to lead, {lacks}." in finding.what
    assert Checked(routes=(agreed, route("R2"))).findings() == []


def test_that_a_home_without_a_road_to_this_route_is_said_as_such() -> None:
    facts = {"R1": good_facts(one_way_minutes=np.array([20.0, 20.0, np.inf]))}
    finding = nobody(Checked(routes=(route("R1", lead="V3"), route("R2")), facts=facts))
    assert "V3, who has agreed to lead, has no road there." in finding.what


def test_that_an_agreed_lead_whom_the_season_does_not_know_is_found() -> None:
    finding = Checked(routes=(route("R1", lead="V9"), route("R2"))).only()
    assert (finding.rule, finding.subject) == (Rule.ROUTE_LEAD, Subject("R1"))
    untrained = tuple(volunteer(code, training=frozenset()) for code in ("V1", "V2"))
    both = Checked(routes=(route("R1", lead="V9"),), volunteers=untrained).findings()
    assert [f.rule for f in both] == [Rule.VISIT_NOBODY, Rule.ROUTE_LEAD]


def test_that_one_person_asked_for_to_train_or_to_go_is_named() -> None:
    one = (volunteer("V1", training=frozenset()), volunteer("V2", visits_limit=0))
    finding = nobody(Checked(routes=(route("R1"),), volunteers=one, facts={"R1": good_facts(volunteers=2)}))
    assert finding.todo == "Train V1, or enter the training for those who have it."
    offer = nobody(Checked(routes=(route("R1"),), volunteers=(volunteer("V2", visits_limit=0),)))
    assert offer.what.endswith("V2 offers no visits.")
    assert offer.todo == "Ask V2 whether they would go out."


def test_that_a_route_too_long_or_without_light_is_not_also_one_that_nobody_can_lead() -> None:
    far = np.full(3, 90.0)
    long = good_facts(margin_minutes=np.full((1, 20), -5.0), one_way_minutes=far)
    assert Checked(facts={"R1": long}).only().rule is Rule.ROUTE_TOO_LONG
    half = good_facts(margin_minutes=np.where(np.arange(20) < 10, -5.0, 5.0)[None, :], one_way_minutes=far)
    found = Checked(facts={"R1": half}).findings()
    assert [(f.rule, f.subject.visit) for f in found] == [(Rule.ROUTE_TOO_LONG, 1), (Rule.VISIT_NOBODY, 2)]
    dark = good_facts(margin_minutes=np.full((1, 20), np.nan), one_way_minutes=far)
    assert {f.rule for f in Checked(facts={"R1": dark}).findings()} == {Rule.VISIT_NO_LIGHT}


def test_that_people_of_whom_all_is_said_are_not_counted_again_for_every_route() -> None:
    finding = Checked(volunteers=(volunteer("V1", availability=()),)).only()
    assert finding.rule is Rule.VOLUNTEER_NO_EVENING
    agreed = Checked(routes=(route("R1", lead="V3"), route("R2")), volunteers=people(availability=()))
    assert agreed.only().rule is Rule.VOLUNTEER_NO_EVENING


def test_that_a_protocol_without_training_asks_for_none() -> None:
    easy = replace(PROTOCOL, people=replace(PROTOCOL.people, lead_training=()))
    untrained = tuple(volunteer(code, training=frozenset()) for code in ("V1", "V2", "V3"))
    assert Checked(easy, volunteers=untrained).findings() == []
    assert len(DATES) == 20


def test_that_long_rows_of_names_are_cut() -> None:
    assert some_of(["V1"]) == "V1"
    assert some_of(["V1", "V2"]) == "V1 or V2"
    assert some_of(["V1", "V2", "V3"]) == "V1, V2 or V3"
    assert some_of(["V1", "V2", "V3", "V4", "V5"]) == "V1, V2, V3 or one of 2 more"
