"""One outing looked at closely: as the plan has it, and as it would go otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.outing import StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.window import MoonRule
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.store import SeasonFile
from planner.usecases.checking import Checked
from planner.usecases.evening.outing_view import (
    Occasion,
    OutingDate,
    OutingSight,
    WhatIf,
    findings_on,
    findings_on_visit,
    outing_sight,
    outings_of,
    outings_of_visit,
    try_out,
    way_of,
)
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from tests.unit.scheduling.seasons import (
    day,
    habitat_rule,
    pass_light,
    planned,
    problem,
    protocol,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

VISIT = planned("R1/1", "V1", 3, reserve=5, setup=1, second="V2")
MINUTE = dt.timedelta(minutes=1)


def season(homes: Sequence[float] = (10.0, 25.0), overcast: bool = False) -> SeasonProblem:
    rules = protocol(habitat=habitat_rule(), setup=setup_rule())
    light = {}
    if overcast:
        early = pass_light(14, 3, "20:50", 60.0)
        light = {"R1": route_light((window_light("dusk", (pass_light(14, 3, "21:00", 60.0),), (early,)),))}
    people = [volunteer("V1"), volunteer("V2")]
    return problem(rules=rules, volunteers=people, homes={"R1": list(homes)}, light=light)


def dated(visit: PlannedVisit, occasion: Occasion) -> OutingDate:
    return next(one for one in outings_of_visit(visit) if one.occasion is occasion)


def sight(occasion: Occasion = Occasion.VISIT, person: str = "V1", found: SeasonProblem | None = None) -> OutingSight:
    return outing_sight(found or season(), VISIT, dated(VISIT, occasion), person)


def test_that_a_plan_has_its_setup_days_visits_and_reserve_dates_by_date() -> None:
    alone = planned("R1/2", "V2", 4)
    same_day = planned("R2/1", "V1", 2, setup=2)
    found = outings_of(Plan((VISIT, alone, same_day)))
    assert [(one.date, one.key.route, one.occasion) for one in found] == [
        (day(1), "R1", Occasion.SETUP),
        (day(2), "R2", Occasion.VISIT),
        (day(3), "R1", Occasion.VISIT),
        (day(4), "R1", Occasion.VISIT),
        (day(5), "R1", Occasion.RESERVE),
    ]
    assert found[0].people == ("V1",)
    assert found[2].people == ("V1", "V2")


@pytest.mark.parametrize("person", ["V1", "V2"])
@pytest.mark.parametrize("reserve", [False, True])
def test_that_it_shows_what_the_plan_times(person: str, reserve: bool) -> None:
    found = season()
    shown = sight(Occasion.RESERVE if reserve else Occasion.VISIT, person, found).planned.outing
    expected = outing_for(found, VISIT, person, reserve=reserve)
    assert shown.leave_home_utc == expected.leave_home_utc
    assert (shown.order, shown.missed, shown.date) == (expected.order, expected.missed, expected.date)
    assert shown.margin_minutes == pytest.approx(expected.margin_minutes, abs=1e-4)
    assert [step.kind for step in shown.steps] == [step.kind for step in expected.steps]


def test_that_a_setup_day_is_shown_without_a_window() -> None:
    found = season()
    shown = sight(Occasion.SETUP, found=found)
    expected = setup_outing_for(found, VISIT, "V1")
    assert shown.planned.outing.due_home_utc - expected.due_home_utc < dt.timedelta(seconds=1)
    assert shown.window is None
    assert shown.moon is None
    assert shown.planned.outing.margin_minutes is None


def test_that_the_sunset_is_told_where_there_is_one() -> None:
    found = sight()
    assert found.sunset_utc == dt.datetime.combine(day(3), dt.time(20, 40), tzinfo=dt.UTC)
    assert replace(found, own=replace(found.own, sunset_utc=float("nan"))).sunset_utc is None
    assert found.count_minutes == 5.0


def test_that_a_later_departure_moves_the_whole_team() -> None:
    second = sight(person="V2")
    late = try_out(second, WhatIf(leave_utc=second.planned.outing.leave_home_utc + 30 * MINUTE))
    lead = sight()
    of_lead = try_out(lead, WhatIf(leave_utc=lead.planned.outing.leave_home_utc + 30 * MINUTE))
    assert late.outing.margin_minutes == pytest.approx(of_lead.outing.margin_minutes, abs=1e-4)
    assert late.outing.leave_home_utc + 15 * MINUTE == of_lead.outing.leave_home_utc


def test_that_nothing_tried_is_the_plan_and_longer_counts_cost_margin() -> None:
    found = sight()
    assert try_out(found, WhatIf()) == found.planned
    longer = try_out(found, WhatIf(count_minutes=7.0))
    assert longer.outing.margin_minutes == pytest.approx((found.planned.outing.margin_minutes or 0.0) - 6.0, abs=1e-4)


def test_that_each_sky_leaves_at_its_own_time_until_one_is_chosen() -> None:
    found = sight(Occasion.RESERVE, found=season(overcast=True))
    plan = outing_for(season(overcast=True), VISIT, "V1", reserve=True)
    assert found.planned.overcast is not None
    assert plan.overcast is not None
    assert found.planned.overcast.outing.leave_home_utc == plan.overcast.leave_home_utc
    assert found.planned.overcast.outing.order == plan.overcast.order
    chosen = found.planned.outing.leave_home_utc - 3 * MINUTE
    tried = try_out(found, WhatIf(leave_utc=chosen))
    assert tried.overcast is not None
    assert tried.outing.leave_home_utc == tried.overcast.outing.leave_home_utc == chosen


def test_that_habitat_between_the_counts_is_tried_out() -> None:
    found = season()
    visit = planned("R1/2", "V1", 9)
    seen = outing_sight(
        SeasonProblem(replace(found.season), found.light, found.drives), visit, dated(visit, Occasion.VISIT), "V1"
    )
    assert seen.plan.squeeze is not None
    tried = try_out(seen, WhatIf(habitat_between=True))
    kinds = [step.kind for step in tried.outing.steps if step.kind in (StepKind.HABITAT, StepKind.COUNT)]
    assert kinds == [StepKind.HABITAT, StepKind.COUNT] * 3


def test_that_the_sky_covers_the_outing_and_room_to_move() -> None:
    found = sight()
    outing = found.planned.outing
    assert found.sun.begin_utc <= outing.leave_home_utc - 4 * 60 * MINUTE
    assert found.sun.end_utc >= outing.due_home_utc + 4 * 60 * MINUTE


def test_that_the_moon_is_told_where_the_protocol_asks() -> None:
    found = season()
    asking = replace(found.season, protocol=replace(found.season.protocol, moon=MoonRule(0.5)))
    seen = sight(found=replace(found, season=asking))
    assert seen.moon is not None
    assert all(0.0 <= state.illuminated <= 1.0 for state in seen.moon)
    assert sight().moon is None


def test_that_the_way_follows_the_counts_or_the_setup() -> None:
    seen = sight()
    order, way = way_of(seen, seen.planned.outing, None)
    assert order == seen.planned.outing.order
    assert way == tuple(seen.route.point(number).place for number in order)
    setup = sight(Occasion.SETUP)
    assert sorted(way_of(setup, setup.planned.outing, None)[0]) == [1, 2, 3]


def test_that_the_findings_of_an_outing_are_those_of_its_visit_and_its_people_that_day() -> None:
    def finding(**of: object) -> Finding:
        return Finding(Rule.DAY_TWICE, Severity.TROUBLE, Subject(**of), "", "")  # type: ignore[arg-type]  # by name

    mine = finding(route="R1", visit=1)
    both = finding(volunteer="V2", date=day(3))
    other = [finding(route="R1", visit=2), finding(route="R1"), finding(volunteer="V2", date=day(4)), finding()]
    checked = Checked("", (other[0], mine, *other[1:], both), may_be_planned=True, may_be_printed=True)
    assert findings_on(checked, dated(VISIT, Occasion.VISIT)) == (mine, both)
    assert findings_on_visit(checked, VISIT.key) == (mine, other[1])


@pytest.mark.slow
@pytest.mark.xdist_group("reedhaven")
def test_that_every_outing_of_the_dawn_demo_is_shown_as_it_is_timed(reedhaven: SeasonFile) -> None:
    made, plan = reedhaven.season(), reedhaven.plan()
    network = road_network(reedhaven.path, made.roads)
    found = season_problem(made, network)
    seen = 0
    for one in outings_of(plan):
        visit = plan.by_key[one.key]
        for person in one.people:
            shown = outing_sight(found, visit, one, person)
            if one.occasion is not Occasion.SETUP:
                expected = outing_for(found, visit, person, reserve=one.occasion is Occasion.RESERVE)
                assert shown.planned.outing.order == expected.order
                assert shown.planned.outing.margin_minutes == pytest.approx(expected.margin_minutes, abs=1e-3)
                assert shown.planned.late_counts == ()
            order, way = way_of(shown, shown.planned.outing, network)
            assert len(way) >= len(order)
            seen += 1
    assert seen > 20
