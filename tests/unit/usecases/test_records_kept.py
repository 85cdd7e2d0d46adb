"""Records kept in a real season file: the visit becomes done in the same step, and stands as planned again without."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from planner.domain.counting import Direction, OrderRule
from planner.domain.disruption import PartlyDone, Remains
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.visit_record import RecordKey, RecordState, Stood, Stopped, VisitRecord
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.protocol import VisitRule
from planner.scheduling import SeasonProblem, WindowLight
from planner.store import SeasonFile
from planner.usecases.checking import check
from planner.usecases.evening.cancelling import accept, ways_on
from planner.usecases.records import (
    breaks,
    forget_record,
    judge_record,
    keep_record,
    keep_records,
    let_visit_stand,
    record_findings,
    reopen_record,
    settled_records,
)
from planner.usecases.season.problem import season_problem
from tests.unit.usecases.checked_seasons import PROTOCOL, Checked, june, route
from tests.unit.usecases.record_seasons import record_of

FIRST = PlannedVisit(VisitKey("R1", 1), "V1", june(3), "dusk", "V2", june(5))
SECOND = PlannedVisit(VisitKey("R1", 2), "V1", june(14), "dusk", "V2", june(16))
OTHER = PlannedVisit(VisitKey("R2", 1), "V3", june(3), "dusk", reserve=june(6))
PLAN = Plan((FIRST, SECOND, OTHER))
TODAY = june(8)
SEASON = Checked(
    protocol=replace(PROTOCOL, order=OrderRule(Direction.EITHER, finish_another_day=True, least_points=2))
).season


@pytest.fixture(scope="module")
def problem() -> SeasonProblem:
    return season_problem(SEASON, None, TODAY)


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    with SeasonFile.create(tmp_path / "moor.dimpsy", SEASON) as opened:
        with opened.step("Plan"):
            opened.save_plan(PLAN)
        yield opened


@pytest.fixture(scope="module")
def good(problem: SeasonProblem) -> VisitRecord:
    return record_of(problem, FIRST)


def on(record: VisitRecord, date: dt.date) -> VisitRecord:
    """The record on another date; its times go along, dusk moves by a minute a day."""
    by = date - record.key.date

    def moved(moment: dt.datetime | None) -> dt.datetime | None:
        return moment + by + dt.timedelta(minutes=by.days) if moment is not None else None

    counts = tuple(
        replace(one, arrived_utc=moved(one.arrived_utc), began_utc=moved(one.began_utc), ended_utc=moved(one.ended_utc))
        for one in record.counts
    )
    key = replace(record.key, date=date)
    return replace(record, key=key, counts=counts, left_utc=moved(record.left_utc), home_utc=moved(record.home_utc))


def test_that_a_final_record_makes_its_visit_done_in_one_step_that_is_undone_to_the_letter(
    file: SeasonFile, good: VisitRecord
) -> None:
    steps = len(file.history())
    kept = keep_record(file, good, TODAY)
    assert kept.judged.findings == ()
    (step,) = file.history()[steps:]
    assert step.label == kept.changed.label == "Record of R1 visit 1 on Thu 3 Jun 2027: the visit is done"
    assert kept.changed.tables == {"planned_visit", "visit_record"}
    assert file.plan() == PLAN.with_status(FIRST.key, Status.DONE)
    assert file.records() == (replace(good, stood=Stood(FIRST)),)
    file.undo()
    assert (file.plan(), file.records()) == (PLAN, ())


def test_that_the_plan_takes_the_date_and_the_people_that_really_were(file: SeasonFile, good: VisitRecord) -> None:
    really = replace(on(good, june(5)), team=("V3", "V1"))
    kept = keep_record(file, really, TODAY)
    done = file.plan().by_key[FIRST.key]
    assert (done.date, done.people, done.reserve, done.status) == (june(5), ("V3", "V1"), None, Status.DONE)
    assert kept.changed.label.endswith("the visit is done on Sat 5 Jun by V3 and V1, other than planned")
    assert {one.severity for one in kept.judged.findings} == {Severity.NOTE}


@pytest.mark.parametrize("take_back", [reopen_record, forget_record])
def test_that_taking_a_record_back_restores_the_visit_as_it_was_planned(
    file: SeasonFile, good: VisitRecord, take_back: object
) -> None:
    really = replace(on(good, june(5)), team=("V3",))
    keep_record(file, really, TODAY)
    keep_record(file, replace(really, note="copied again"), TODAY)
    assert file.plan() != PLAN
    assert callable(take_back)
    take_back(file, really.key, TODAY)
    assert file.plan() == PLAN
    left = file.records()
    assert [one.state for one in left] == ([RecordState.DRAFT] if take_back is reopen_record else [])
    assert all(one.stood is None for one in left)
    assert "planned again" in file.history()[-1].label


def test_that_a_visit_never_planned_is_put_into_the_plan_and_taken_out_again(
    file: SeasonFile, problem: SeasonProblem
) -> None:
    record = record_of(problem, PlannedVisit(VisitKey("R2", 2), "V3", june(12), "dusk"))
    kept = keep_record(file, record, june(20))
    assert file.plan().by_key[record.key.visit_key] == PlannedVisit(
        record.key.visit_key, "V3", june(12), "dusk", status=Status.DONE
    )
    assert kept.changed.label.endswith("the visit is done, which was not planned")
    forget_record(file, record.key, june(20))
    assert file.plan() == PLAN


def test_that_people_the_season_does_not_have_leave_the_planned_ones_in_the_plan(
    file: SeasonFile, good: VisitRecord, problem: SeasonProblem
) -> None:
    keep_record(file, replace(good, team=("V88", "V99")), TODAY)
    assert file.plan().by_key[FIRST.key].people == FIRST.people
    unplanned = record_of(problem, PlannedVisit(VisitKey("R2", 2), "V3", june(12), "dusk"))
    keep_record(file, replace(unplanned, team=("V88",)), june(20))
    assert unplanned.key.visit_key not in file.plan().by_key, "nobody known led it"


def test_that_a_draft_changes_no_plan_and_keeps_whatever_it_says(file: SeasonFile, good: VisitRecord) -> None:
    nowhere = VisitRecord(RecordKey("R9", 7, june(30)), ("V1",), note="whose is this?")
    kept = keep_records(file, [replace(good, state=RecordState.DRAFT), nowhere], TODAY)
    assert [one.judged.known for one in kept] == [True, False]
    assert (file.plan(), len(file.records())) == (PLAN, 2)
    assert kept[0].changed.label == "2 visit records of R1, R9"


def test_that_final_records_from_which_nothing_can_follow_are_refused_together_and_nothing_is_kept(
    file: SeasonFile, good: VisitRecord
) -> None:
    nowhere = replace(good, key=RecordKey("R9", 1, june(3)))
    ahead = on(good, june(9))
    with pytest.raises(ImpossibleError, match="cannot be final") as refused:
        keep_records(file, [good, nowhere, ahead], TODAY)
    assert len(refused.value.reasons) == 2
    assert (file.records(), file.plan(), len(file.history())) == ((), PLAN, 1)


def test_that_no_record_and_one_visit_and_date_twice_are_refused(file: SeasonFile, good: VisitRecord) -> None:
    for records in ([], [good, good]):
        with pytest.raises(RuleError, match="at least one record"):
            keep_records(file, records, TODAY)
    with pytest.raises(RuleError, match="there is no record of R1 visit 1"):
        forget_record(file, good.key, TODAY)


def test_that_two_evenings_together_make_a_visit_done_with_the_one_that_finished_it(
    file: SeasonFile, good: VisitRecord
) -> None:
    part = replace(good, counts=good.counts[:2], stopped=Stopped.WEATHER)
    kept = keep_record(file, part, TODAY)
    left = {one.point for one in good.counts[2:]}
    assert (kept.judged.follows, set(kept.judged.left)) == (Remains.REST, left)
    assert file.plan() == PLAN
    later = on(good, june(6))
    rest = replace(later, counts=later.counts[2:])
    keep_record(file, rest, TODAY)
    done = file.plan().by_key[FIRST.key]
    assert (done.date, done.status) == (june(6), Status.DONE)
    forget_record(file, part.key, TODAY)
    assert file.plan() == PLAN, "two points are enough to come back for the others, not to leave them out"


def test_that_half_a_record_breaks_the_visit_and_the_way_on_gives_it_a_new_date(
    file: SeasonFile, good: VisitRecord, problem: SeasonProblem
) -> None:
    part = replace(good, counts=good.counts[:3], stopped=Stopped.WEATHER)
    judged = keep_record(file, part, june(4)).judged
    disruption = breaks(judged)
    assert disruption == PartlyDone(FIRST.key, 3)
    offer = ways_on(file, disruption, today=june(4))
    assert offer.possible
    accept(file, offer, 1)
    again = file.plan().by_key[FIRST.key]
    assert again.date > june(4)
    today = replace(problem, today=june(4))
    after = judge_record(today, file.plan(), part, file.records())
    assert breaks(after) is None, "the visit has its new date"
    assert not [one for one in check(file, june(4)).findings if one.rule is Rule.RECORD_FOLLOWS]
    later = on(good, again.date)
    keep_record(file, replace(later, counts=later.counts[3:]), again.date)
    assert file.plan().by_key[FIRST.key].status is Status.DONE


def test_that_a_check_tells_of_records_and_of_those_that_have_not_come_back(
    file: SeasonFile, good: VisitRecord
) -> None:
    late = dt.timedelta(minutes=90)
    wrong = replace(
        good,
        counts=tuple(
            replace(one, arrived_utc=None, began_utc=one.began_utc + late, ended_utc=one.ended_utc + late)
            for one in good.counts
            if one.began_utc is not None and one.ended_utc is not None
        ),
        home_utc=None,
    )
    keep_record(file, wrong, TODAY)
    found = [one for one in check(file, june(12)).findings if one.rule.startswith("record")]
    assert [(one.rule, one.severity, one.subject.route) for one in found] == [
        (Rule.RECORD_WINDOW, Severity.TROUBLE, "R1"),
        (Rule.RECORD_FOLLOWS, Severity.TROUBLE, "R1"),
        (Rule.RECORD_MISSING, Severity.DOUBT, "R2"),
    ]
    assert "The same kind of finding at points" in found[0].what, "one finding for four points"
    assert found[2].what == "No record has come back, 9 days after the visit."
    keep_record(file, good, TODAY)
    assert {one.subject.route for one in check(file, june(12)).findings if one.rule.startswith("record")} == {"R2"}


def test_that_a_visit_done_otherwise_than_planned_keeps_no_paper_in(file: SeasonFile, good: VisitRecord) -> None:
    untrained = tuple(replace(one, training=frozenset()) if one.code == "V3" else one for one in SEASON.volunteers)
    with file.step("V3 has no training"):
        file.save_season(replace(SEASON, volunteers=untrained))
        file.save_plan(PLAN.without(OTHER.key))
    keep_record(file, replace(good, team=("V3",)), TODAY)
    found = check(file, TODAY)
    assert found.may_be_printed
    about = [one for one in found.findings if one.subject.route == "R1" and one.subject.visit == 1]
    assert [(one.rule, one.severity) for one in about] == [(Rule.RECORD_PEOPLE, Severity.TROUBLE)]


def test_that_settling_records_is_pure_and_the_same_whatever_the_order(
    problem: SeasonProblem, good: VisitRecord
) -> None:
    other = record_of(problem, OTHER)
    both = settled_records(problem, PLAN, (), (good, other))
    one_by_one = settled_records(problem, PLAN, (), (other,))
    one_by_one = settled_records(problem, one_by_one.plan, one_by_one.records, (good,))
    assert (both.plan, both.records) == (one_by_one.plan, one_by_one.records)
    assert both.done == (FIRST.key, OTHER.key)
    gone = settled_records(problem, both.plan, both.records, (), (good.key, other.key))
    assert (gone.plan, gone.records, gone.reopened) == (PLAN, (), (FIRST.key, OTHER.key))


def test_that_a_record_is_asked_for_a_week_after_its_visit_and_an_earlier_evening_is_none_of_it(
    problem: SeasonProblem, good: VisitRecord
) -> None:
    plan = Plan((FIRST,))
    for today, late in ((june(10), False), (june(11), True)):
        found = record_findings(replace(problem, today=today), plan, ())
        assert [one.rule for one in found] == [Rule.RECORD_MISSING] * late
    on_the_day = record_findings(replace(problem, today=june(11)), plan, (replace(good, state=RecordState.DRAFT),))
    assert [one.severity for one in on_the_day] == [Severity.NOTE], "a draft is there"
    moved = Plan((replace(FIRST, date=june(9), reserve=None),))
    part = replace(good, counts=good.counts[:2], stopped=Stopped.WEATHER)
    found = record_findings(replace(problem, today=june(17)), moved, (part,))
    assert [(one.rule, one.subject.date) for one in found] == [(Rule.RECORD_MISSING, june(9))]
    assert record_findings(replace(problem, today=None), plan, ()) == (), "nothing is late where today is not known"
    done = plan.with_status(FIRST.key, Status.DONE)
    assert record_findings(replace(problem, today=june(20)), done, ()) == ()


def test_that_many_missing_records_are_one_finding(problem: SeasonProblem) -> None:
    season = replace(problem, today=june(20))
    plan = Plan(tuple(PlannedVisit(VisitKey(f"R{k}", 1), "V1", june(k), "dusk") for k in range(1, 7)))
    assert len(record_findings(season, Plan(plan.visits[:5]), ())) == 5
    (found,) = record_findings(season, plan, ())
    assert "of 6 visits" in found.what
    assert "the oldest is R1 visit 1 of Tue 1 Jun" in found.what


@pytest.mark.parametrize(("count", "lines"), [(5, 5), (7, 1)])
def test_that_a_check_of_many_done_visits_without_sheets_stays_short(tmp_path: Path, count: int, lines: int) -> None:
    routes = tuple(route(f"R{number}") for number in range(1, 8))
    rules = replace(PROTOCOL, visits=(VisitRule(1, habitat=True), VisitRule(2)))
    done = [PlannedVisit(VisitKey(f"R{k}", 1), "V1", june(k), "dusk", status=Status.DONE) for k in range(1, count + 1)]
    with SeasonFile.create(tmp_path / "many.dimpsy", Checked(routes=routes, protocol=rules).season) as file:
        with file.step("Done"):
            file.save_plan(Plan(tuple(done)))
        missing = [one for one in check(file, june(20)).findings if one.rule is Rule.SHEET_MISSING]
    assert len(missing) == lines
    assert missing[0].what.endswith("and 2 more.") is (lines == 1)


def test_that_the_coordinator_lets_a_visit_stand_that_misses_the_protocol_and_may_take_it_back(
    file: SeasonFile, good: VisitRecord
) -> None:
    short = replace(good, counts=good.counts[:1], stopped=Stopped.SAFETY, team=("V1",), home_utc=None)
    keep_record(file, short, TODAY)
    assert {one.rule for one in check(file, TODAY).findings if one.subject.route == "R1"} >= {Rule.RECORD_FOLLOWS}
    kept = let_visit_stand(file, short.key, "bulls  on\nthe lane", TODAY)
    assert kept.changed.label == (
        "Let R1 visit 1 on Thu 3 Jun 2027 stand (bulls on the lane): the visit is done by V1, other than planned"
    )
    assert file.plan().by_key[FIRST.key].status is Status.DONE
    assert (kept.judged.follows, breaks(kept.judged)) == (Remains.NOTHING, None)
    assert len(kept.judged.points_that_count) == 1, "the protocol's own count is still told"
    assert {one.severity for one in kept.judged.findings} == {Severity.NOTE}
    assert not [one for one in check(file, TODAY).findings if one.rule.startswith("record") and one.subject.visit == 1
                and one.subject.route == "R1"]  # fmt: skip
    again = let_visit_stand(file, short.key, "", TODAY)
    assert (file.plan(), again.judged.follows) == (PLAN, Remains.WHOLE)
    let_visit_stand(file, short.key, "bulls", TODAY)
    reopened = reopen_record(file, short.key, TODAY)
    assert (file.plan(), reopened.judged.follows, file.records()[0].let_stand) == (PLAN, Remains.WHOLE, "")
    with pytest.raises(RuleError, match="make it final first"):
        let_visit_stand(file, short.key, "bulls", TODAY)


@pytest.mark.parametrize(("because", "found"), [("b" * 501, "501 letters"), ("bulls\x07", r"U\+0007")])
def test_that_a_reason_is_of_a_length_and_of_letters_that_can_be_told(
    file: SeasonFile, good: VisitRecord, because: str, found: str
) -> None:
    keep_record(file, replace(good, counts=good.counts[:1]), TODAY)
    before = file.records()
    with pytest.raises(RuleError, match=found):
        let_visit_stand(file, good.key, because, TODAY)
    assert file.records() == before


def test_that_the_light_at_hand_is_taken_where_it_is_this_season_s(
    file: SeasonFile, good: VisitRecord, problem: SeasonProblem
) -> None:
    dark = {code: replace(one, windows=tuple(map(_dark, one.windows))) for code, one in problem.light.items()}
    kept = keep_record(file, good, TODAY, replace(problem, light=dark))
    assert (kept.judged.points_that_count, kept.judged.window) == ((), "")
    others = replace(problem, light=dark, season=replace(problem.season, name="Another"))
    assert keep_record(file, good, TODAY, others).judged.follows is Remains.NOTHING, "computed anew"


def _dark(light: WindowLight) -> WindowLight:
    spans = tuple(replace(one, open_utc=one.open_utc * np.nan) for one in light.passes)
    return replace(light, passes=spans)
