"""Why visits stay unfilled, and what would help: each situation small enough to know the answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from planner.domain.calendar import DateRange
from planner.domain.change import Change, ChangeKind
from planner.domain.plan import Explanation, Plan
from planner.domain.protocol import Gap, PeopleRule, Protocol
from planner.domain.volunteer import Volunteer
from planner.domain.window import MoonRule, PartOfDay
from planner.scheduling import RouteLight, SeasonProblem, plan_season
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.explain import explain
from planner.scheduling.explain.words import counted, listed
from tests.unit.scheduling.seasons import (
    day,
    days,
    pass_light,
    planned,
    problem,
    protocol,
    route,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

DUSK = frozenset({PartOfDay.DUSK})
ONE = (days(0, 6),)


def one_route(
    volunteers: Sequence[Volunteer],
    /,
    *,
    rules: Protocol | None = None,
    visits: tuple[DateRange, ...] = ONE,
    home: float | Sequence[float] = 10.0,
    light: RouteLight | None = None,
    **changes: object,
) -> SeasonProblem:
    """A season of route R1 with some changes."""
    homes = [home] * len(volunteers) if isinstance(home, float) else list(home)
    return problem(
        rules=rules or protocol(visits=len(visits)),
        visits=visits,
        routes=[route("R1", **changes)],  # type: ignore[arg-type]  # fields by name
        volunteers=volunteers,
        homes={"R1": homes},
        light={"R1": light} if light else None,
    )


def explained(season: SeasonProblem) -> Explanation:
    """The one explanation of its best plan."""
    (found,) = plan_season(season).explanations
    return found


def whats(explanation: Explanation) -> list[str]:
    """What is offered, somebody new alone left aside."""
    return [
        one.what for one in explanation.relaxations if one.changes not in [(new,) for new in newcomers(explanation)]
    ]


def newcomers(explanation: Explanation) -> tuple[Change, ...]:
    """The offers of somebody new."""
    return tuple(
        one.changes[0] for one in explanation.relaxations if [c.kind for c in one.changes] == [ChangeKind.NEWCOMER]
    )


def test_that_a_season_without_gaps_has_nothing_to_explain() -> None:
    assert plan_season(one_route([volunteer("V1")])).explanations == ()


def test_that_one_more_evening_is_offered_by_its_date() -> None:
    found = explained(one_route([volunteer("V1", [9])]))
    assert found.reasons == (
        (
            "Nobody who may lead it and lives within the drive limit is free at dusk on one of the 7 possible dates"
            " from Tue 1 Jun to Mon 7 Jun."
        ),
        "Of 1 volunteer 1 is free on none of the 7 dates.",
    )
    assert whats(found)[0] == "V1 gives 1 evening more: Tue 1 Jun."
    assert "The dates of the route's visits end 3 days later." in whats(found)
    assert [one.cost for one in found.relaxations] == sorted(one.cost for one in found.relaxations)
    assert not found.lacks_reserve_only


def test_that_a_longer_drive_and_another_visit_are_offered() -> None:
    people = [volunteer("V1", drive_limit_minutes=45.0), volunteer("V2", visits_limit=0), volunteer("V3")]
    found = explained(one_route(people, home=[52.0, 10.0, 99.0]))
    assert whats(found) == [
        "V1 drives 52 minutes one way, 7 more than their limit.",
        "V2 takes one visit more than the 0 offered.",
    ]
    assert found.reasons[1] == (
        "Of 3 volunteers 2 live beyond their drive limit and 1 has all the visits they offered."
    )


def test_that_training_vehicle_and_fixed_lead_are_named() -> None:
    rules = protocol(visits=1, people=PeopleRule(lead_training=("course",)))
    untrained = explained(one_route([volunteer("V1")], rules=rules))
    assert whats(untrained) == ["V1 learns course."]
    assert "and has course" in untrained.reasons[0]
    unequipped = explained(one_route([volunteer("V1")], needs=frozenset({"4x4"})))
    assert whats(unequipped) == ["V1 comes with 4x4."]
    assert unequipped.reasons[1] == "Of 1 volunteer 1 lacks 4x4."
    led = explained(one_route([volunteer("V1"), volunteer("V2", [9])], lead="V2"))
    assert "Somebody other than V2 may lead." in whats(led)
    assert "1 is not V2, who leads this route" in led.reasons[1]


def test_that_a_missing_second_person_is_named() -> None:
    found = explained(one_route([volunteer("V1"), volunteer("V2", [9])], people=2))
    assert "Two must go, and no second person is free with anybody who could lead." in found.reasons
    assert "One person goes instead of two." in whats(found)
    assert "V2 gives 1 evening more: Tue 1 Jun." in whats(found)


def test_that_two_people_without_what_the_route_needs_may_bring_it() -> None:
    found = explained(one_route([volunteer("V1"), volunteer("V2")], people=2, needs=frozenset({"4x4"})))
    assert "V1 comes with 4x4." in whats(found)


def test_that_a_setup_without_daylight_is_named() -> None:
    rules = protocol(visits=1, setup=setup_rule(1))
    found = explained(one_route([volunteer("V1", parts=DUSK)], rules=rules))
    assert found.reasons[0].startswith("Nobody who could lead visit 1 is free in daylight for its set-up")
    assert whats(found)[0].startswith("V1 gives 1 daytime more: ")


def test_that_an_earlier_setup_is_offered() -> None:
    rules = protocol(visits=1, setup=setup_rule(1, same_day=False))
    found = explained(one_route([volunteer("V1", [0, 5])], rules=rules, visits=(days(5, 6),)))
    assert "The set-up may be up to 5 days before visit 1." in whats(found)


def test_that_a_gap_in_the_way_is_named_and_may_be_shortened() -> None:
    rules = protocol(visits=2, gap=Gap(4))
    season = one_route([volunteer("V1", [0, 2])], rules=rules, visits=(days(0, 0), days(1, 6)))
    found = next(one for one in plan_season(season).explanations if not one.lacks_reserve_only)
    assert "Those who could come cannot keep the gap to the route's other visits." in found.reasons
    assert "The gap between the route's visits is 2 days shorter." in whats(found)


def test_that_people_on_other_outings_are_counted_as_busy() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=(days(0, 0),),
        routes=[route("R1"), route("R2")],
        volunteers=[volunteer("V1")],
    )
    unfilled = next(one for one in plan_season(season).explanations if not one.lacks_reserve_only)
    assert "1 is on another outing on every date they could come" in unfilled.reasons[1]


def test_that_a_missing_reserve_date_is_explained_and_mended() -> None:
    found = explained(one_route([volunteer("V1", [2])]))
    assert found.lacks_reserve_only
    assert found.reasons[0].startswith("No team has a second free date after its visit up to Mon 7 Jun")
    assert whats(found)[0] == "V1 gives 1 evening more: Tue 1 Jun."


def test_that_no_light_too_long_counts_and_no_moon_are_told_apart() -> None:
    people = [volunteer("V1")]
    dark = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0, without=range(14)),)),))
    none = explained(one_route(people, light=dark))
    assert none.reasons == (
        "There is no window 'dusk' on any date from 2027-06-01 to 2027-06-07: the sun stays above.",
    )
    long = explained(one_route(people, rules=protocol(visits=1, count=50.0)))
    assert long.reasons == ("The counts are at best 34 minutes too long for window 'dusk': 1 of 3 points do not fit.",)
    moonless = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0),), moonless=range(14)),))
    rules = replace(protocol(visits=1), moon=MoonRule(0.5))
    moon = explained(one_route(people, rules=rules, light=moonless))
    assert moon.reasons[0].startswith("The moon is not as the protocol asks")


def test_that_windows_lost_without_a_stated_reason_are_said_plainly() -> None:
    dark = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0, without=range(14)),)),))
    silent = replace(dark, windows=(replace(dark.windows[0], reasons={}),))
    found = explained(one_route([volunteer("V1")], light=silent))
    assert found.reasons[0].endswith("from 2027-06-01 to 2027-06-07.")


def test_that_past_dates_missing_points_and_missing_people_are_said() -> None:
    past = replace(one_route([volunteer("V1")]), today=day(10))
    assert explained(past).reasons == ("Its dates (2027-06-01 to 2027-06-07) are past.",)
    assert explained(one_route([volunteer("V1")], points=0)).reasons == ("The route has no points.",)
    nobody = explained(one_route([]))
    assert nobody.reasons == ("The season has no volunteers.",)
    assert [new.amount for new in newcomers(nobody)] == [40]


def test_that_a_plan_stopped_too_soon_is_told_to_plan_again() -> None:
    season = one_route([volunteer("V1")])
    compiled = compile_season(season, Plan())
    (found,) = explain(compiled, Plan())
    assert whats(found) == ["Plan again: everybody and everything needed is free as things stand."]
    assert found.reasons == ("Nothing stands in the way: planning ended before this was found.",)


def test_that_fixed_visits_are_not_explained() -> None:
    season = one_route([volunteer("V1")], visits=(days(0, 6), days(7, 13)))
    stands = Plan((replace(planned("R1/1", "V1", 2), pinned=True),))
    assert plan_season(season, start=stands).explanations == ()


def test_that_earlier_dates_are_offered() -> None:
    found = explained(one_route([volunteer("V1", [1])], visits=(days(3, 6),)))
    assert "The dates of the route's visits begin 2 days earlier." in whats(found)


@pytest.mark.parametrize(
    ("words", "said"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_that_words_are_listed_as_they_are_said(words: list[str], said: str) -> None:
    assert listed(words) == said


def test_that_numbers_agree_with_their_words() -> None:
    assert (counted(1, "date", "dates"), counted(2, "date", "dates")) == ("1 date", "2 dates")


def test_that_each_offered_evening_really_fills_the_visit() -> None:
    people = [volunteer("V1", [9]), volunteer("V2", [8])]
    found = explained(one_route(people))
    offered = [what for what in whats(found) if "evening" in what]
    assert len(offered) == 2
    for what in offered:
        code = what.split()[0]
        given = [
            replace(one, availability=volunteer("X", [0]).availability) if one.code == code else one for one in people
        ]
        assert what.endswith("Tue 1 Jun.")
        assert len(plan_season(one_route(given)).plan) == 1


def test_that_drives_unknown_to_any_road_are_never_offered() -> None:
    found = explained(one_route([volunteer("V1")], home=[np.inf]))
    assert whats(found) == []
