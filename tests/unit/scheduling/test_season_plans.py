"""Whole season plans against an independent integer program, and against the rules one by one."""

from __future__ import annotations

import threading
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from planner.domain.finding import Severity
from planner.domain.lost_evenings import LostEvenings
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.protocol import Gap, PeopleRule
from planner.domain.window import MoonRule, PartOfDay, Strength
from planner.scheduling import (
    Outcome,
    Progress,
    SeasonProblem,
    SeasonResult,
    after_rounds,
    after_seconds,
    any_of,
    audit,
    never,
    plan_season,
    when_set,
)
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.reach import could_be_filled, could_be_reserved
from tests.unit.scheduling.random_seasons import one_in, tiny_season
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    days,
    dusk,
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
from tests.unit.scheduling.whole_season import least_objective

ONE_VISIT = (days(0, 6),)


def only(result: SeasonResult) -> PlannedVisit:
    """The one visit of a plan."""
    (visit,) = result.plan
    return visit


def breaks(season: SeasonProblem, plan: Plan) -> list[str]:
    return [str(finding) for finding in audit(season, plan) if finding.severity is Severity.BROKEN]


@pytest.mark.parametrize("seed", one_in(2, range(40)))
def test_that_a_plan_is_as_good_as_any_by_an_independent_program(seed: int) -> None:
    season = tiny_season(seed)
    events: list[Progress] = []
    result = plan_season(season, on_event=events.append)
    assert result.objective == pytest.approx(least_objective(season), abs=0.02)
    assert result.bound == pytest.approx(result.objective, abs=0.02)
    assert result.outcome is Outcome.FINISHED
    assert result.why == "the plan is proven best"
    assert breaks(season, result.plan) == []
    for event in events:
        assert event.objective is not None
        assert event.bound is None or event.bound <= event.objective + 1e-6
    bounds = [event.bound for event in events if event.bound is not None]
    assert bounds == sorted(bounds)
    objectives = [event.objective or 0.0 for event in events]
    assert objectives == sorted(objectives, reverse=True)


@pytest.mark.parametrize("seed", one_in(2, range(100, 112)))
def test_that_fixing_part_of_a_best_plan_leaves_it_best(seed: int) -> None:
    season = replace(tiny_season(seed), today=None)
    best = plan_season(season)
    rng = np.random.default_rng(seed)
    status = [Status.PLANNED, Status.CONFIRMED, Status.DONE]
    mixed = Plan(tuple(replace(v, status=status[int(rng.integers(3))]) for v in best.plan))
    again = plan_season(season, start=mixed)
    held = {visit.key: visit for visit in mixed if visit.fixed}
    assert all(again.plan.by_key[key] == visit for key, visit in held.items())
    assert again.objective <= best.objective + 0.02
    # A visit that is done frees its reserve date, so only with none of them is the old optimum still the least.
    if all(visit.status is not Status.DONE for visit in mixed):
        assert again.objective == pytest.approx(best.objective, abs=0.02)
    assert again.tiers[0].value == len(again.plan)


@pytest.mark.parametrize("seed", one_in(2, range(200, 206)))
def test_that_a_standing_plan_is_where_the_search_begins(seed: int) -> None:
    season = tiny_season(seed)
    best = plan_season(season)
    again = plan_season(season, stop=after_rounds(1), start=best.plan)
    assert again.outcome is (Outcome.STOPPED if season.season.routes else Outcome.FINISHED)
    assert again.objective == pytest.approx(best.objective, abs=1e-6)
    assert again.plan == best.plan


def test_that_visits_of_a_standing_plan_which_the_rules_no_longer_allow_are_planned_anew() -> None:
    rules = protocol(visits=1, setup=setup_rule(2), windows=(dusk(),))
    season = problem(
        rules=rules,
        visits=ONE_VISIT,
        routes=[route("R1"), route("R2", people=2), route("R3"), route("R4"), route("R5")],
        volunteers=[volunteer("V1"), volunteer("V2"), volunteer("V3", [0])],
    )
    wrong = Plan(
        (
            planned("R1/1", "V3", 3, setup=3),
            replace(planned("R2/1", "V1", 2, setup=2), second="V9"),
            replace(planned("R3/1", "V1", 3, setup=3), window="noon"),
            planned("R4/1", "V2", 5, setup=1),
            planned("R5/1", "V2", 6),
        )
    )
    result = plan_season(season, start=wrong)
    assert breaks(season, result.plan) == []
    assert len(result.plan) == 5


def test_that_one_visit_for_each_of_many_is_the_cheapest_assignment() -> None:
    rng = np.random.default_rng(4)
    minutes = rng.integers(5, 40, size=(6, 6)).astype(np.float64)
    season = problem(
        rules=protocol(visits=1),
        visits=(days(0, 0),),
        length=1,
        routes=[route(f"R{r}", points=1) for r in range(6)],
        volunteers=[volunteer(f"V{v}") for v in range(6)],
        homes={f"R{r}": minutes[r].tolist() for r in range(6)},
    )
    result = plan_season(season)
    rows, columns = linear_sum_assignment(minutes)
    assert result.tiers[2].value == pytest.approx(2 * minutes[rows, columns].sum())


def test_that_the_same_seed_gives_the_same_plan() -> None:
    season = tiny_season(7)
    assert plan_season(season, seed=3).plan == plan_season(season, seed=3).plan


def test_that_stopping_keeps_the_best_plan_so_far_and_says_so() -> None:
    season = tiny_season(1)
    pressed = threading.Event()
    pressed.set()
    for stop in (when_set(pressed), after_seconds(0.0), any_of(never, after_rounds(1))):
        result = plan_season(season, stop=stop)
        assert result.outcome is Outcome.STOPPED
        assert "stopped as asked" in result.why
        assert breaks(season, result.plan) == []


def test_that_empty_seasons_say_what_they_lack() -> None:
    assert plan_season(problem(routes=[route()])).why == "there are no volunteers to plan with"
    season = problem(routes=[route()], volunteers=[volunteer("V1")])
    bare = SeasonProblem(replace(season.season, routes=()), {}, {})
    result = plan_season(bare)
    assert result.why == "there are no routes to plan"
    assert len(result.plan) == 0
    assert result.outcome is Outcome.FINISHED


def test_that_routes_without_points_or_light_stay_unfilled() -> None:
    dark = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0, without=range(14)),)),))
    season = problem(routes=[route("R1"), route("R2", points=0)], volunteers=[volunteer("V1")], light={"R1": dark})
    result = plan_season(season)
    assert len(result.plan) == 0
    assert [explanation.key.route for explanation in result.explanations] == ["R1", "R1", "R2", "R2"]


def test_that_confirmed_done_pinned_and_past_visits_stay_exactly_as_they_stand() -> None:
    stands = Plan(
        (
            planned("R1/1", "V1", 1, reserve=9),
            replace(planned("R2/1", "V2", 5, reserve=6, setup=4), status=Status.CONFIRMED),
            replace(planned("R2/2", "V9", 12), pinned=True, second="V1"),
            replace(planned("R3/1", "V2", 6), status=Status.DONE),
        )
    )
    season = problem(
        routes=[route("R1"), route("R2"), route("R3")],
        volunteers=[volunteer("V1"), volunteer("V2")],
        today=day(4),
    )
    result = plan_season(season, start=stands)
    assert [result.plan.by_key[visit.key] for visit in stands] == list(stands)
    assert {visit.key for visit in result.plan} == {VisitKey(f"R{r}", n) for r in (1, 2, 3) for n in (1, 2)}
    new = [visit for visit in result.plan if visit not in list(stands)]
    taken = {("V1", day(9)), ("V1", day(12)), ("V2", day(5)), ("V2", day(6)), ("V2", day(4))}
    for visit in new:
        assert visit.date >= day(4)
        assert not {(visit.lead, visit.date), (visit.lead, visit.reserve)} & taken


def test_that_gaps_to_fixed_visits_are_kept_on_both_sides() -> None:
    season = problem(
        rules=protocol(visits=3, gap=Gap(3, 5)),
        visits=(days(0, 13), days(0, 13), days(0, 13)),
        volunteers=[volunteer("V1")],
    )
    middle = replace(planned("R1/2", "V1", 6, reserve=7), status=Status.CONFIRMED)
    result = plan_season(season, start=Plan((middle,)))
    first, third = (result.plan.by_key[VisitKey("R1", n)] for n in (1, 3))
    assert (middle.date - (first.reserve or first.date)).days >= 3
    assert ((middle.reserve or middle.date) - first.date).days <= 5
    assert middle.reserve is not None
    assert (third.date - middle.reserve).days >= 3
    assert ((third.reserve or third.date) - middle.date).days <= 5


def test_that_a_wholly_fixed_route_counts_as_led_by_one() -> None:
    season = problem(volunteers=[volunteer("V1")])
    stands = Plan((replace(planned("R1/1", "V1", 1), pinned=True), replace(planned("R1/2", "V1", 8), pinned=True)))
    result = plan_season(season, start=stands)
    assert result.plan == stands
    assert result.tiers[3].value == 1
    # Two visits, 10 minutes each way, no lateness but a day each, load 2 squared, one lead.
    assert result.objective == pytest.approx(-20_000 + 2 * 2 * 10 + 2 * 1 + 4 * 4 - 40)


def test_that_a_preferred_gap_is_kept_where_that_costs_little_and_missed_where_it_costs_a_visit() -> None:
    rules = protocol(visits=2, gap=Gap(6, strength=Strength.PREFERRED))
    free = problem(rules=rules, visits=(days(0, 3), days(0, 13)), volunteers=[volunteer("V1", range(9))])
    kept = plan_season(free).plan
    first, second = kept
    assert (second.date - (first.reserve or first.date)).days >= 6
    tight = problem(rules=rules, visits=(days(0, 3), days(0, 13)), volunteers=[volunteer("V1", [0, 2])])
    assert len(plan_season(tight).plan) == 2


def test_that_a_required_moon_bars_and_a_preferred_one_only_costs() -> None:
    light = {"R1": route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0),), moonless=[0, 1]),))}

    def planned_with(strength: Strength, free: list[int]) -> SeasonResult:
        rules = replace(protocol(visits=1), moon=MoonRule(0.5, strength=strength))
        people = [volunteer("V1", free)]
        return plan_season(problem(rules=rules, visits=ONE_VISIT, volunteers=people, light=light))

    assert len(planned_with(Strength.REQUIRED, [0, 1]).plan) == 0
    assert only(planned_with(Strength.PREFERRED, [0, 1])).date == day(0)
    assert only(planned_with(Strength.PREFERRED, [0, 2, 3])).date == day(2)


def test_that_another_window_serves_where_the_first_does_not() -> None:
    rules = protocol(visits=1, windows=(dusk(), dawn()))
    people = [volunteer("V1", parts=frozenset({PartOfDay.DAWN}))]
    visit = only(plan_season(problem(rules=rules, visits=ONE_VISIT, volunteers=people)))
    assert visit.window == "dawn"
    assert visit.reserve is not None


def test_that_setup_is_on_the_evening_itself_where_daylight_is_given_and_before_it_elsewhere() -> None:
    rules = protocol(visits=1, setup=setup_rule(2))
    both = only(plan_season(problem(rules=rules, visits=ONE_VISIT, volunteers=[volunteer("V1")])))
    assert both.setup == both.date
    apart = problem(
        rules=protocol(visits=1, setup=setup_rule(2, same_day=False)),
        visits=(days(3, 6),),
        volunteers=[volunteer("V1")],
    )
    visit = only(plan_season(apart))
    assert visit.setup is not None
    assert 1 <= (visit.date - visit.setup).days <= 2


def test_that_setup_before_a_dawn_window_is_on_a_day_before() -> None:
    rules = protocol(visits=1, windows=(dawn(),), setup=setup_rule(2))
    visit = only(plan_season(problem(rules=rules, visits=ONE_VISIT, volunteers=[volunteer("V1")])))
    assert visit.setup is not None
    assert visit.setup < visit.date


@pytest.mark.parametrize(("minutes", "filled"), [(6.0, 1), (400.0, 0)])
def test_that_setup_needs_daylight_enough(minutes: float, filled: int) -> None:
    rules = protocol(visits=1, setup=setup_rule(2, minutes=minutes))
    season = problem(rules=rules, visits=ONE_VISIT, volunteers=[volunteer("V1")])
    assert len(plan_season(season).plan) == filled


def test_that_a_polar_summer_is_all_daylight_and_a_polar_winter_none() -> None:
    rules = protocol(visits=1, setup=setup_rule(2))
    light = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0),)),))
    light.sunrise_utc[:] = np.nan
    season = problem(rules=rules, visits=ONE_VISIT, volunteers=[volunteer("V1")], light={"R1": light})
    assert len(plan_season(season).plan) == 1
    southern = replace(
        season.season.routes[0],
        points=tuple(replace(p, place=replace(p.place, latitude=-70.0)) for p in season.season.routes[0].points),
    )
    winter = replace(season, season=replace(season.season, routes=(southern,)))
    assert len(plan_season(winter).plan) == 0


def test_that_a_second_is_added_where_two_are_preferred_and_somebody_is_free() -> None:
    rules = protocol(visits=1, people=PeopleRule(fewest=1, preferred=2))
    people = [
        volunteer("V1"),
        volunteer("V2", drive_limit_minutes=5.0),
        volunteer("V3", visits_limit=0),
        volunteer("V4", [0]),
        volunteer("V5"),
        volunteer("V6"),
    ]
    homes = {"R1": [9.0, 10.0, 10.0, 10.0, 12.0, 11.0], "R2": [9.0, 90.0, 90.0, 90.0, 90.0, 90.0]}
    season = problem(rules=rules, visits=ONE_VISIT, routes=[route("R1"), route("R2")], volunteers=people, homes=homes)
    result = plan_season(season)
    by_route = {visit.key.route: visit for visit in result.plan}
    assert by_route["R1"].second in {"V1", "V5", "V6"}
    assert by_route["R2"].second == ""
    assert breaks(season, result.plan) == []
    again = plan_season(season, start=Plan(tuple(replace(visit, pinned=True) for visit in result.plan)))
    assert [visit.second for visit in again.plan] == [visit.second for visit in result.plan]


def test_that_the_six_aims_are_told_with_what_is_possible() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=(days(0, 1),),
        routes=[route("R1"), route("R2"), route("R3", lead="V9")],
        volunteers=[volunteer("V1", [0, 1]), volunteer("V2", [0])],
        homes={"R2": [10.0, 50.0]},
    )
    result = plan_season(season)
    names = [tier.name for tier in result.tiers]
    assert names[:3] == ["visits filled", "visits with a reserve date", "minutes of driving"]
    assert [tier.value for tier in result.tiers] == [2.0, 1.0, 40.0, 2.0, 2.0, 0.0]
    assert [tier.bound for tier in result.tiers if tier.name != "routes with one lead"] == [2.0, 1.0, 40.0, 2.0, 0.0]
    assert result.tiers[3].bound is None, "one lead for all visits is no aim where there is one visit"


def test_that_what_could_be_reached_looks_at_pairs_and_setups_too() -> None:
    rules = protocol(visits=1, setup=setup_rule(1, same_day=False))
    season = problem(
        rules=rules,
        visits=(days(1, 2),),
        routes=[route("R1", people=2), route("R2")],
        volunteers=[volunteer("V1", [1, 2]), volunteer("V2", [0, 1])],
    )
    compiled = compile_season(season, Plan())
    assert could_be_filled(compiled) == 2
    assert could_be_reserved(compiled) == 0
    # Both routes want the same one evening of the same volunteer.
    assert plan_season(season).tiers[0].bound == 1.0


def test_that_early_dates_are_worth_a_detour_where_evenings_are_often_lost() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=(days(0, 9),),
        routes=[route("R1")],
        volunteers=[volunteer("V1", [8, 9]), volunteer("V2", [0, 1, 2, 3])],
        homes={"R1": [10.0, 40.0]},
    )

    def lead(weather: LostEvenings | None) -> str:
        wild = replace(season, season=replace(season.season, lost_evenings=weather))
        return plan_season(wild).plan.by_key[VisitKey("R1", 1)].lead

    # Both have a reserve date; the one farther off has four evenings for it, the other two.
    assert lead(None) == "V1"
    assert lead(LostEvenings((0.6,) * 24, 0.0)) == "V2"
