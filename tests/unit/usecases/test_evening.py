"""The outings of a date, who is where, and what wants somebody to act."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from planner.domain.check_in import USUAL_GRACE, CheckIn, Stage, Whereabouts
from planner.domain.conditions import Condition, Conditions, Seen, Share
from planner.domain.errors import RuleError
from planner.domain.measures import Speed, Temperature
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.verdict import Call
from planner.domain.weather import Quantity
from planner.exchange import shipped_protocol
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.store import SeasonFile
from planner.usecases.check_in import check_in, moment_of, take_back_check_in
from planner.usecases.conditions import (
    conditions_for,
    forget_conditions,
    keep_conditions,
    read_measure,
    unverified_limits,
)
from planner.usecases.evening import (
    EveningOuting,
    date_to_show,
    fits,
    neighbour_dates,
    outing_dates,
    outings_on,
    time_away,
)
from planner.usecases.opening import whole_road_network
from planner.usecases.season_problem import season_problem
from planner.usecases.watch import (
    EveningRecords,
    StillOut,
    actions_due,
    dates_to_watch,
    evening_records,
    outings_now,
    still_out,
)
from tests.unit.scheduling.seasons import day, days, planned, protocol, setup_rule, volunteer
from tests.unit.scheduling.seasons import problem as small_season

pytestmark = pytest.mark.xdist_group("reedhaven")

GALE = Condition(Quantity.WIND, Speed(60, "km/h"))
BREEZE = Condition(Quantity.WIND, Speed(8, "km/h"))
DRY = Condition(Quantity.RAIN, seen=Seen.NONE)


@pytest.fixture
def problem(reedhaven: SeasonFile) -> SeasonProblem:
    season = reedhaven.season()
    return season_problem(season, whole_road_network(reedhaven.path, season.roads))


def busiest(plan: Plan) -> dt.date:
    """The date with most visits."""
    dates = [visit.date for visit in plan]
    return max(sorted(set(dates)), key=dates.count)


def first_of(problem: SeasonProblem, plan: Plan) -> EveningOuting:
    return outings_on(problem, plan, busiest(plan))[0]


def test_that_every_visit_and_set_up_day_stands_on_its_date_and_nowhere_else(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    shown = [(one.date, one.key, one.counts) for date in outing_dates(plan) for one in outings_on(problem, plan, date)]
    wanted = [(visit.date, visit.key, True) for visit in plan]
    wanted += [(v.setup, v.key, False) for v in plan if v.setup is not None and v.setup != v.date]
    assert sorted(shown) == sorted(wanted)
    assert outings_on(problem, plan, problem.days.first - dt.timedelta(days=1)) == ()


def test_that_times_are_those_of_the_timetable_and_the_first_to_leave_comes_first(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    for date in outing_dates(plan)[:12]:
        outings = outings_on(problem, plan, date)
        leaving = [one.leave_utc for one in outings if one.leave_utc is not None]
        assert leaving == sorted(leaving)
        for one in outings:
            visit = plan.by_key[one.key]
            for goer in one.people:
                timed = (
                    outing_for(problem, visit, goer.code) if one.counts else setup_outing_for(problem, visit, goer.code)
                )
                assert (goer.leave_utc, goer.due_utc) == time_away(timed)
                assert goer.telephone == problem.season.volunteer(goer.code).telephone
            assert [goer.leads for goer in one.people] == [True, False][: len(one.people)]


def test_that_a_set_up_day_of_its_own_is_the_leads_alone() -> None:
    season = small_season(
        rules=protocol(visits=1, setup=setup_rule(6)),
        visits=(days(0, 6),),
        length=7,
        volunteers=(volunteer("A"), volunteer("B")),
        leg_minutes=2.0,
    )
    plan = Plan((planned("R1/1", "A", 3, second="B", setup=1),))
    (setup,) = outings_on(season, plan, day(1))
    assert (setup.counts, setup.setup, setup.reserve) == (False, True, None)
    assert [goer.code for goer in setup.people] == ["A"]
    timed = setup_outing_for(season, plan.visits[0], "A")
    assert (setup.leave_utc, setup.due_utc) == time_away(timed)
    (counts,) = outings_on(season, plan, day(3))
    assert (counts.counts, counts.setup) == (True, False)
    assert [goer.code for goer in counts.people] == ["A", "B"]


def test_that_an_outing_without_a_timetable_says_why(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    visit = reedhaven.plan().visits[0]
    (one,) = outings_on(problem, Plan((replace(visit, window="noon", setup=None),)), visit.date)
    assert "no window 'noon'" in one.trouble
    assert one.leave_utc is None
    assert one.people[0].due_utc is None


def test_that_under_two_skies_the_longest_time_away_counts(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    visit = reedhaven.plan().visits[0]
    outing = outing_for(problem, visit, visit.lead)
    hour = dt.timedelta(hours=1)
    steps = [replace(step, start_utc=step.start_utc + hour, end_utc=step.end_utc + hour) for step in outing.steps]
    both = replace(outing, overcast=replace(outing, steps=tuple(steps)))
    assert time_away(both) == (outing.leave_home_utc, outing.due_home_utc + hour)


def test_that_the_date_shown_is_today_or_the_next_with_outings(reedhaven: SeasonFile) -> None:
    plan = reedhaven.plan()
    dates = outing_dates(plan)
    assert date_to_show(plan, dates[3]) == dates[3]
    gap = next(one for one in (d + dt.timedelta(days=1) for d in dates) if one not in dates and one < dates[-1])
    assert date_to_show(plan, gap) == min(date for date in dates if date > gap)
    assert date_to_show(plan, dates[-1] + dt.timedelta(days=9)) == dates[-1] + dt.timedelta(days=9)
    assert neighbour_dates(plan, dates[1]) == (dates[0], dates[2])
    assert neighbour_dates(plan, dates[0]) == (None, dates[1])
    assert neighbour_dates(plan, dates[-1])[1] is None
    assert neighbour_dates(Plan(), dates[0]) == (None, None)


def test_that_a_problem_fits_its_own_season_and_no_other(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    season = reedhaven.season()
    assert fits(problem, season)
    assert not fits(problem, replace(season, volunteers=season.volunteers[1:]))


def test_that_conditions_are_one_step_each_and_undone(reedhaven: SeasonFile) -> None:
    date = busiest(reedhaven.plan())
    keep_conditions(reedhaven, date, [GALE, DRY])
    keep_conditions(reedhaven, date, [BREEZE], [_a_route(reedhaven)])
    labels = [step.label for step in reedhaven.history()[-2:]]
    said = f"{date:%a} {date.day} {date:%b}"
    assert labels[0] == f"Conditions of {said}: wind 60 km/h, rain none"
    assert labels[1] == f"Conditions of {said} at {_a_route(reedhaven)}: wind 8 km/h"
    assert len(reedhaven.conditions()) == 2
    forget_conditions(reedhaven, date, [reedhaven.conditions()[1].route])
    assert [one.route for one in reedhaven.conditions()] == [""]
    forget_conditions(reedhaven, date)
    assert reedhaven.conditions() == ()
    reedhaven.undo()
    reedhaven.undo()
    assert len(reedhaven.conditions()) == 2


def _a_route(file: SeasonFile) -> str:
    return file.season().routes[0].code


def test_that_strange_conditions_and_check_ins_are_refused(reedhaven: SeasonFile) -> None:
    date = busiest(reedhaven.plan())
    with pytest.raises(RuleError, match="outside the season"):
        keep_conditions(reedhaven, dt.date(1999, 1, 1), [GALE])
    with pytest.raises(RuleError, match="no route"):
        keep_conditions(reedhaven, date, [GALE], ["X99"])
    with pytest.raises(RuleError, match="at least one"):
        keep_conditions(reedhaven, date, [])
    moment = dt.datetime.combine(date, dt.time(4), tzinfo=dt.UTC)
    with pytest.raises(RuleError, match="no volunteer"):
        check_in(reedhaven, [CheckIn(date, _a_route(reedhaven), "X99", Stage.LEFT, moment)])
    with pytest.raises(RuleError, match="nobody"):
        check_in(reedhaven, [])
    with pytest.raises(RuleError, match="nothing to take back"):
        take_back_check_in(reedhaven, date, _a_route(reedhaven), "V01", Stage.LEFT)


def test_that_a_verdict_stands_by_each_visit_and_not_by_a_set_up_day(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    date = busiest(plan)
    outings = outings_on(problem, plan, date)
    lucky = outings[0].key.route
    keep_conditions(reedhaven, date, [GALE, DRY])
    keep_conditions(reedhaven, date, [BREEZE], [lucky])
    now = outings_now(outings, problem.season.protocol, evening_records(reedhaven), _noon(date), USUAL_GRACE)
    calls = {one.outing.key.route: one.verdict.call for one in now if one.verdict is not None}
    assert calls.pop(lucky) is Call.GO
    assert set(calls.values()) <= {Call.NO_GO}
    setup = replace(outings[0], counts=False)
    (alone,) = outings_now([setup], problem.season.protocol, EveningRecords(), _noon(date), USUAL_GRACE)
    assert alone.verdict is None
    assert not alone.stands_against_weather


def _noon(date: dt.date) -> dt.datetime:
    return dt.datetime.combine(date - dt.timedelta(days=1), dt.time(12), tzinfo=dt.UTC)


def test_that_somebody_not_home_in_time_is_overdue_until_they_ring(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    one = first_of(problem, reedhaven.plan())
    goer = one.people[0]
    assert goer.leave_utc is not None
    assert goer.due_utc is not None
    late = goer.due_utc + USUAL_GRACE + dt.timedelta(minutes=1)
    check_in(reedhaven, [CheckIn(one.date, one.key.route, goer.code, Stage.LEFT, goer.leave_utc)])
    (now,) = outings_now([one], problem.season.protocol, evening_records(reedhaven), late, USUAL_GRACE)
    assert now.people[0].whereabouts is Whereabouts.OVERDUE
    assert now.people[0].heard == {Stage.LEFT: goer.leave_utc}
    assert now.overdue
    check_in(reedhaven, [CheckIn(one.date, one.key.route, person.code, Stage.HOME, late) for person in one.people])
    (now,) = outings_now([one], problem.season.protocol, evening_records(reedhaven), late, USUAL_GRACE)
    assert not now.overdue
    assert now.people[0].whereabouts is Whereabouts.SAFE
    take_back_check_in(reedhaven, one.date, one.key.route, goer.code, Stage.HOME)
    (now,) = outings_now([one], problem.season.protocol, evening_records(reedhaven), late, USUAL_GRACE)
    assert now.overdue
    assert reedhaven.history()[-1].label.startswith(f"Check-in taken back: {goer.code} safe home")


def test_that_without_a_timetable_somebody_who_left_is_missed_after_some_hours(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    visit = reedhaven.plan().visits[0]
    (one,) = outings_on(problem, Plan((replace(visit, window="noon", setup=None, second=""),)), visit.date)
    left = dt.datetime.combine(visit.date, dt.time(3), tzinfo=dt.UTC)
    records = EveningRecords(check_ins=(CheckIn(visit.date, visit.key.route, visit.lead, Stage.LEFT, left),))
    for hours, found in ((1, Whereabouts.ON_THE_WAY), (7, Whereabouts.OVERDUE)):
        (now,) = outings_now([one], problem.season.protocol, records, left + dt.timedelta(hours=hours), USUAL_GRACE)
        assert now.people[0].whereabouts is found


def test_that_only_a_no_go_that_still_stands_asks_for_something(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    one = next(o for d in outing_dates(reedhaven.plan()) for o in outings_on(problem, reedhaven.plan(), d) if o.counts)
    windy = EveningRecords((Conditions(one.date, known=(GALE,)),))
    before = _noon(one.date)

    def stands(outing: EveningOuting, records: EveningRecords) -> bool:
        (now,) = outings_now([outing], problem.season.protocol, records, before, USUAL_GRACE)
        return now.stands_against_weather

    assert stands(one, windy)
    assert not stands(one, EveningRecords())
    assert not stands(replace(one, status=Status.DONE), windy)
    home = tuple(CheckIn(one.date, one.key.route, goer.code, Stage.HOME, before) for goer in one.people)
    assert not stands(one, replace(windy, check_ins=home))


DAY = dt.date(2027, 6, 4)
NOON = dt.datetime(2027, 6, 4, 12, tzinfo=dt.UTC)
ONE_DAY = dt.timedelta(days=1)


def visit(route: str, date: dt.date, lead: str = "V1", **changes: object) -> PlannedVisit:
    return replace(PlannedVisit(VisitKey(route, 1), lead, date, "dusk"), **changes)  # type: ignore[arg-type]  # fields of a visit


def word(route: str, volunteer: str, stage: Stage, date: dt.date = DAY, hours: int = 0) -> CheckIn:
    return CheckIn(date, route, volunteer, stage, NOON + dt.timedelta(hours=hours))


def test_that_dates_are_watched_as_long_as_somebody_may_have_to_act() -> None:
    plan = Plan((
        visit("A", DAY - 9 * ONE_DAY),
        visit("B", DAY - ONE_DAY),
        visit("C", DAY),
        visit("D", DAY + 3 * ONE_DAY),
        visit("E", DAY + 4 * ONE_DAY),
    ))  # fmt: skip
    assert dates_to_watch(plan, EveningRecords(), DAY) == (DAY - ONE_DAY, DAY)
    forecast = (Conditions(DAY + 3 * ONE_DAY, known=(GALE,)),)
    left = (word("A", "V1", Stage.LEFT, DAY - 9 * ONE_DAY),)
    dates = dates_to_watch(plan, EveningRecords(forecast, left), DAY)
    assert dates == (DAY - 9 * ONE_DAY, DAY - ONE_DAY, DAY, DAY + 3 * ONE_DAY)
    home = (*left, word("A", "V1", Stage.HOME, DAY - 9 * ONE_DAY))
    assert dates_to_watch(plan, EveningRecords(check_ins=home), DAY) == (DAY - ONE_DAY, DAY)


@pytest.mark.parametrize(
    ("plan", "lost"),
    [
        (Plan((visit("A", DAY),)), False),
        (Plan((visit("A", DAY, "V2", second="V1"),)), False),
        (Plan((visit("A", DAY + ONE_DAY, setup=DAY),)), False),
        (Plan((visit("A", DAY + ONE_DAY, "V2", second="V1", setup=DAY),)), True),
        (Plan((visit("A", DAY + ONE_DAY),)), True),
        (Plan((visit("A", DAY, "V2"),)), True),
        (Plan(), True),
    ],
)
def test_that_who_is_out_for_what_the_plan_no_longer_has_is_named(plan: Plan, *, lost: bool) -> None:
    words = (word("A", "V1", Stage.ARRIVED, hours=1), word("A", "V1", Stage.LEFT))
    found = still_out(plan, EveningRecords(check_ins=words))
    assert found == ((StillOut("V1", "A", DAY, NOON),) if lost else ())
    home = EveningRecords(check_ins=(*words, word("A", "V1", Stage.HOME, hours=2)))
    assert still_out(plan, home) == ()
    assert actions_due([], found) == len(found)


LONDON = ZoneInfo("Europe/London")


@pytest.mark.parametrize(
    ("clock", "expected", "meant"),
    [
        ("19:10", "2027-06-04T18:05", "2027-06-04T18:10"),
        ("23:58", "2027-06-04T22:40", "2027-06-04T22:58"),
        ("00:20", "2027-06-04T22:40", "2027-06-04T23:20"),  # after midnight, summer time
        ("23:50", "2027-06-05T00:30", "2027-06-04T22:50"),
        ("01:30", "2027-10-31T00:40", "2027-10-31T00:30"),  # said twice that night: the first
        ("01:30", "2027-10-31T01:20", "2027-10-31T01:30"),  # and the second
    ],
)
def test_that_a_clock_time_means_the_moment_nearest_to_what_is_expected(clock: str, expected: str, meant: str) -> None:
    near = dt.datetime.fromisoformat(expected).replace(tzinfo=dt.UTC)
    wanted = dt.datetime.fromisoformat(meant).replace(tzinfo=dt.UTC)
    assert moment_of(dt.time.fromisoformat(clock), near, LONDON) == wanted


@pytest.mark.parametrize(
    ("quantity", "text", "unit", "read"),
    [
        (Quantity.WIND, "12", "km/h", Speed(12, "km/h")),
        (Quantity.WIND, " 12 mph ", "km/h", Speed(12, "mph")),
        (Quantity.WIND, "3,5", "m/s", Speed(3.5, "m/s")),
        (Quantity.AIR_TEMPERATURE, "-2", "C", Temperature(-2, "C")),
        (Quantity.AIR_TEMPERATURE, "45 °F", "C", Temperature(45, "F")),
        (Quantity.CLOUD, "80", "%", Share(80, "%")),
        (Quantity.CLOUD, "80 %", "%", Share(80, "%")),
    ],
)
def test_that_a_figure_is_read_as_it_is_typed(quantity: Quantity, text: str, unit: str, read: object) -> None:
    assert read_measure(quantity, text, unit) == read


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Quantity.WIND, ""),
        (Quantity.WIND, "much"),
        (Quantity.WIND, "12 C"),
        (Quantity.CLOUD, "120"),
        (Quantity.RAIN, "3"),
    ],
)
def test_that_what_is_no_figure_of_the_quantity_is_refused(quantity: Quantity, text: str) -> None:
    with pytest.raises(RuleError):
        read_measure(quantity, text, "km/h" if quantity is Quantity.WIND else "%")


def test_that_several_routes_show_what_they_have_in_common() -> None:
    kept = (
        Conditions(DAY, known=(BREEZE, DRY)),
        Conditions(DAY, "A", (GALE,)),
        Conditions(DAY + ONE_DAY, known=(GALE,)),
    )
    assert conditions_for(kept, DAY, ()) == kept[0]
    assert conditions_for(kept, DAY, ["A"]).known == (DRY, GALE)
    assert conditions_for(kept, DAY, ["B", "C"]).known == (DRY, BREEZE)
    assert conditions_for(kept, DAY, ["A", "B"]).known == (DRY,)
    assert conditions_for(kept, DAY - ONE_DAY, ()) == Conditions(DAY - ONE_DAY)


def test_that_limits_from_memory_are_known_as_such() -> None:
    assert unverified_limits(shipped_protocol("frogs_three_periods"))
    assert not unverified_limits(shipped_protocol("heath_nightjars"))
