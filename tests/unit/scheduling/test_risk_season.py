"""The risk of planned seasons: which dates count, and what is said of each route. p 0.5 and r 0 unless said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.lost_evenings import LostEvenings
from planner.domain.plan import Plan, Status
from planner.domain.protocol import Gap, PeopleRule
from planner.domain.window import MoonRule, PartOfDay
from planner.scheduling import SeasonProblem, season_risk
from planner.scheduling.risk import RouteRisk, SeasonRisk
from tests.unit.scheduling.seasons import (
    day,
    days,
    dusk,
    pass_light,
    planned,
    problem,
    protocol,
    route,
    route_light,
    volunteer,
    window_light,
)

HALF = LostEvenings((0.5,) * 24, 0.0)


def risk(given: SeasonProblem, plan: Plan, weather: LostEvenings = HALF) -> SeasonRisk:
    return season_risk(given, plan, weather)


def only(given: SeasonProblem, plan: Plan) -> RouteRisk:
    [one] = risk(given, plan).routes
    return one


def test_that_each_free_date_from_the_planned_one_on_is_another_try() -> None:
    # Range of visit 1: days 0 to 6. Free on 1, 3 and 5, planned on 3: two tries. Visit 2 from day 7 on: one try.
    given = problem(volunteers=[volunteer("V1", [1, 3, 5, 9])])
    one = only(given, Plan((planned("R1/1", "V1", 3), planned("R1/2", "V1", 9))))
    assert one.visits == pytest.approx((0.75, 0.5))
    assert one.complete == pytest.approx(0.375)
    assert one.expected_visits == pytest.approx(1.25)
    assert (one.weakest_visit, one.filled, one.whole) == (2, 2, True)


def test_that_a_date_without_light_or_moon_is_no_try() -> None:
    rules = protocol(visits=1)
    moon = replace(rules, moon=MoonRule(0.5))
    dark = route_light((window_light("dusk", (pass_light(8, 3, "21:00", 120.0, without=[4]),), moonless=[5]),))
    plan = Plan((planned("R1/1", "V1", 3),))
    for asked, tries in ((rules, 3), (moon, 2)):
        given = problem(rules=asked, visits=(days(0, 6),), length=8, volunteers=[volunteer("V1")], light={"R1": dark})
        assert only(given, plan).complete == pytest.approx(1 - 0.5**tries)


def test_that_only_the_part_of_day_of_the_window_counts() -> None:
    mornings = volunteer("V1", parts=frozenset({PartOfDay.DAWN}))
    given = problem(visits=(days(0, 6),), volunteers=[mornings], rules=protocol(visits=1))
    assert only(given, Plan((planned("R1/1", "V1", 3),))).complete == 0.0


def test_that_outings_on_other_routes_take_the_lead_away_but_the_own_reserve_date_does_not() -> None:
    # Visit range days 0 to 6. R1 planned on day 2 with its reserve on 4; V1 is for R2 out on 3, in reserve on 5 and
    # sets up on 6: days 2 and 4 are left. V2 does nothing else.
    given = problem(
        rules=protocol(visits=1), visits=(days(0, 6),), routes=[route("R1"), route("R2")], volunteers=[volunteer("V1")]
    )
    plan = Plan((planned("R1/1", "V1", 2, reserve=4), planned("R2/1", "V1", 3, reserve=5, setup=6)))
    found = {one.route: one for one in risk(given, plan).routes}
    assert found["R1"].complete == pytest.approx(0.75)
    # R2 from day 3 on, without days 2 and 4: 3, 5 and 6.
    assert found["R2"].complete == pytest.approx(0.875)


def test_that_a_visit_still_to_come_on_the_same_route_takes_no_date_away() -> None:
    # Ranges overlap: visit 1 planned on 2, visit 2 on 4 and at least a day later. Visit 1 may go on to day 4.
    given = problem(visits=(days(0, 4), days(0, 6)), volunteers=[volunteer("V1")])
    one = only(given, Plan((planned("R1/1", "V1", 2), planned("R1/2", "V1", 4))))
    # Visit 1 on day 2, 3, 4; visit 2 then from day 4, 4, 5.
    assert one.visits[0] == pytest.approx(0.875)
    assert one.complete == pytest.approx(0.5 * 0.875 + 0.25 * 0.875 + 0.125 * 0.75)


@pytest.mark.parametrize(("people", "tries"), [(PeopleRule(fewest=2, preferred=2), 1), (PeopleRule(1, 2), 3)])
def test_that_the_second_must_be_free_where_two_must_go(people: PeopleRule, tries: int) -> None:
    given = problem(
        rules=protocol(visits=1, people=people),
        visits=(days(0, 6),),
        volunteers=[volunteer("V1", [2, 3, 4]), volunteer("V2", [2, 5])],
    )
    plan = Plan((planned("R1/1", "V1", 2, second="V2"),))
    assert only(given, plan).complete == pytest.approx(1 - 0.5**tries)


def test_that_the_gap_of_the_protocol_holds_and_its_greatest_too() -> None:
    # Gap 2 to 3. Visit 1 on day 0 or 1, visit 2 from its planned day 2 on, free on 2, 3, 4, 5.
    given = problem(
        rules=protocol(gap=Gap(2, 3)),
        visits=(days(0, 1), days(2, 6)),
        length=8,
        volunteers=[volunteer("V1", [0, 1, 2, 3, 4, 5])],
    )
    one = only(given, Plan((planned("R1/1", "V1", 0), planned("R1/2", "V1", 2))))
    # Visit 1 on day 0: visit 2 on 2 or 3; on day 1: on 3 or 4.
    assert one.complete == pytest.approx(0.5 * 0.75 + 0.25 * 0.75)


def test_that_an_unfilled_visit_leaves_the_route_incomplete_and_the_others_expected() -> None:
    given = problem(volunteers=[volunteer("V1", [2, 9])])
    one = only(given, Plan((planned("R1/2", "V1", 9),)))
    assert one.visits == pytest.approx((0.0, 0.5))
    assert (one.complete, one.weakest_visit, one.filled, one.whole) == (0.0, 1, 1, False)


def test_that_a_visit_marked_done_is_certain() -> None:
    given = problem(volunteers=[volunteer("V1", [2, 9])])
    done = planned("R1/1", "V1", 2, status=Status.DONE)
    one = only(given, Plan((done, planned("R1/2", "V1", 9))))
    assert one.visits == pytest.approx((1.0, 0.5))
    outside = replace(done, date=day(-5))
    assert only(given, Plan((outside, planned("R1/2", "V1", 9)))).complete == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("today", "reserve", "chance", "words"),
    [
        (3, 5, 0.75, ""),
        (4, 5, 0.5, "visit 1 is past and not done: only its reserve date is left, Sun 6 Jun"),
        (5, 5, 0.5, "visit 1 is past and not done: only its reserve date is left, Sun 6 Jun"),
        (6, 5, 0.0, "visit 1 is past and not done: no reserve date is left"),
        (4, None, 0.0, "visit 1 is past and not done: no reserve date is left"),
    ],
)
def test_that_a_visit_that_is_past_and_not_done_has_only_its_reserve_date_left(
    today: int, reserve: int | None, chance: float, words: str
) -> None:
    # Range of visit 1: days 0 to 6, free on 3 and 5 and planned on 3; visit 2 is tried once, on day 9.
    given = problem(volunteers=[volunteer("V1", [1, 3, 5, 9])], today=day(today))
    first = planned("R1/1", "V1", 3, reserve=reserve)
    one = only(given, Plan((first, planned("R1/2", "V1", 9))))
    assert one.visits == pytest.approx((chance, 0.5))
    assert one.complete == pytest.approx(chance * 0.5)
    assert (one.past_words, one.missed) == (words, chance == 0.0)
    done = only(given, Plan((replace(first, status=Status.DONE), planned("R1/2", "V1", 9))))
    assert done.visits == pytest.approx((1.0, 0.5))
    assert done.past == ()


def test_that_what_the_plan_names_wrongly_is_never_done() -> None:
    given = problem(rules=protocol(visits=1), visits=(days(0, 6),), volunteers=[volunteer("V1")])
    good = planned("R1/1", "V1", 2)
    for wrong in (replace(good, lead="V9"), replace(good, window="noon")):
        assert only(given, Plan((wrong,))).complete == 0.0
    beyond = planned("R1/3", "V1", 4)
    assert only(given, Plan((good, beyond))).visits == pytest.approx((1 - 0.5**5,))


def test_that_the_weakest_route_comes_first_and_the_whole_is_their_sum() -> None:
    given = problem(
        rules=protocol(visits=1),
        visits=(days(0, 6),),
        routes=[route("R1"), route("R2"), route("R3")],
        volunteers=[volunteer("V1", [1, 2, 3]), volunteer("V2", [2]), volunteer("V3", [2, 3])],
    )
    plan = Plan((planned("R1/1", "V1", 1), planned("R2/1", "V2", 2), planned("R3/1", "V3", 2)))
    found = risk(given, plan)
    assert [one.route for one in found.routes] == ["R2", "R3", "R1"]
    assert found.filled == 3
    assert found.expected_visits == pytest.approx(0.5 + 0.75 + 0.875)


def test_that_no_lost_evening_leaves_every_filled_visit_and_persistence_takes_some() -> None:
    given = problem(rules=protocol(gap=Gap(2)), volunteers=[volunteer("V1")])
    plan = Plan((planned("R1/1", "V1", 3), planned("R1/2", "V1", 10)))
    assert risk(given, plan, LostEvenings((0.0,) * 24, 0.9)).expected_visits == 2.0
    complete = [risk(given, plan, LostEvenings((0.5,) * 24, r)).routes[0].complete for r in (0.0, 0.3, 0.6, 0.9)]
    assert np.all(np.diff(complete) < 0)


def test_that_a_season_without_routes_has_no_risk() -> None:
    empty = problem(rules=protocol(visits=1, windows=(dusk(),)), visits=(days(0, 6),))
    bare = SeasonProblem(replace(empty.season, routes=()), light={}, drives={})
    assert season_risk(bare, Plan(), HALF) == SeasonRisk(0.0, 0, ())
