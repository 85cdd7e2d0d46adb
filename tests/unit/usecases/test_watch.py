"""Who is where, who is overdue, and what wants somebody to act."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from planner.domain.check_in import USUAL_GRACE, CheckIn, Stage, Whereabouts
from planner.domain.conditions import Condition, Conditions, Seen
from planner.domain.measures import Speed
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.verdict import Call
from planner.domain.weather import Quantity
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.evening.check_in import Early, check_in, moment_of, take_back_check_in, too_early
from planner.usecases.evening.conditions import (
    keep_conditions,
)
from planner.usecases.evening.outings import (
    EveningOuting,
    outing_dates,
    outings_on,
)
from planner.usecases.evening.watch import (
    EveningRecords,
    StillOut,
    actions_due,
    dates_to_watch,
    evening_records,
    outings_now,
    still_out,
)
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem

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


def test_that_of_a_done_visit_nothing_is_judged_and_nobody_waited_for_unless_they_left_and_are_not_home(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    planned = first_of(problem, reedhaven.plan())
    one = replace(planned, status=Status.DONE)
    goer = one.people[0]
    assert goer.leave_utc is not None
    before, later = goer.leave_utc - dt.timedelta(hours=3), goer.leave_utc + dt.timedelta(days=5)
    left = EveningRecords(check_ins=(CheckIn(one.date, one.key.route, goer.code, Stage.LEFT, goer.leave_utc),))

    def where(records: EveningRecords, moment: dt.datetime) -> Whereabouts:
        (now,) = outings_now([one], problem.season.protocol, records, moment, USUAL_GRACE)
        assert now.verdict is None
        return now.people[0].whereabouts

    assert where(EveningRecords(), before) is where(EveningRecords(), later) is Whereabouts.DONE
    assert where(left, later) is Whereabouts.OVERDUE
    (now,) = outings_now([planned], problem.season.protocol, EveningRecords(), before, USUAL_GRACE)
    assert now.people[0].whereabouts is Whereabouts.AT_HOME


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
    ("said", "now", "left", "wanted"),
    [
        ("2027-06-03T20:30", "2027-06-03T20:30", False, Early.EVENING),
        ("2027-06-04T22:30", "2027-06-03T20:30", True, Early.EVENING),
        ("2027-06-03T22:59", "2027-06-03T22:59", False, Early.EVENING),
        ("2027-06-03T23:00", "2027-06-03T23:00", False, Early.LEAVING),
        ("2027-06-04T18:57", "2027-06-04T19:30", False, Early.LEAVING),
        ("2027-06-04T18:57", "2027-06-04T19:30", True, None),
        ("2027-06-04T18:58", "2027-06-04T18:58", False, None),
        ("2027-06-04T22:30", "2027-06-04T19:30", False, Early.MOMENT),
        ("2027-06-05T00:10", "2027-06-05T00:10", False, None),
    ],
)
def test_that_a_check_in_before_its_time_is_called_so(said: str, now: str, *, left: bool, wanted: Early | None) -> None:
    """An outing on 4 June that leaves at 18:58 UTC; the date begins at 23:00 UTC the evening before."""
    leave = None if left else dt.datetime(2027, 6, 4, 18, 58, tzinfo=dt.UTC)
    said_utc, now_utc = (dt.datetime.fromisoformat(one).replace(tzinfo=dt.UTC) for one in (said, now))
    assert too_early(dt.date(2027, 6, 4), leave, said_utc, now_utc, LONDON) is wanted
