"""What is written on a visit record, cell by cell, and where each record stands."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord, record_on
from planner.domain.plan import Plan, Status
from planner.usecases.records import keep_record, redate_record
from planner.usecases.records.entry import (
    CountTime,
    as_planned,
    blank_record,
    count_order,
    planned_times,
    read_distance_km,
    read_time,
    with_count_done,
    with_count_note,
    with_count_time,
)
from planner.usecases.records.standing import RecordStanding, evening_standings
from tests.unit.scheduling.seasons import day
from tests.unit.usecases.checked_seasons import june
from tests.unit.usecases.edited_seasons import PLAN as EDITED_PLAN
from tests.unit.usecases.edited_seasons import SEASON, season_file
from tests.unit.usecases.record_seasons import GOOD, SMALL, VISIT

KEY = RecordKey("R1", 1, june(2))
ROUTE = SEASON.route("R1")
LONDON = ZoneInfo("Europe/London")
ALL = [(1, 1), (2, 1), (3, 1), (4, 1)]
WHEN = dt.datetime(2027, 6, 2, 21, tzinfo=dt.UTC)


def said(text: str, *, counting: bool = True) -> str:
    """What a text typed into R1's record of 2 June means, by the clock in London."""
    moment = read_time(SEASON, EDITED_PLAN, KEY, text, counting=counting)
    return "" if moment is None else f"{moment.astimezone(LONDON):%d %H:%M}"


@pytest.mark.parametrize("text", ["2143", "21:43", " 21.43 ", "21h43", "9.43pm", "9:43 pm"])
def test_that_a_time_is_read_as_people_type_it(text: str) -> None:
    assert said(text) == "02 21:43"


def test_that_a_time_after_midnight_is_of_the_same_night_and_nothing_typed_is_none() -> None:
    assert said("0012") == "03 00:12"
    assert said("24:12") == "03 00:12"
    assert said("  ") == ""


def test_that_when_the_team_left_may_lie_far_from_the_light_and_a_count_may_not() -> None:
    assert said("1430", counting=False) == "02 14:30"
    with pytest.raises(RuleError, match="Write 21:43 if you mean that"):
        said("0943")


@pytest.mark.parametrize("text", ["2575", "21", "soon", "21:43:99"])
def test_that_what_is_no_time_is_refused_with_what_stood_there(text: str) -> None:
    with pytest.raises(RuleError, match=f"'{text}': expected a time by the 24-hour clock"):
        said(text)


def test_that_a_distance_is_read_in_the_unit_that_is_typed_or_usual() -> None:
    # International mile of 1959: 1609.344 m.
    assert read_distance_km("34,5", "km") == pytest.approx(34.5)
    assert read_distance_km("10", "mi") == pytest.approx(16.09344)
    assert read_distance_km("10 km", "mi") == pytest.approx(10.0)
    assert read_distance_km(" ", "km") is None
    for text in ("far", "-3", "6000"):
        with pytest.raises(RuleError):
            read_distance_km(text, "km")


def test_that_a_blank_record_knows_who_is_planned_to_go() -> None:
    assert blank_record(EDITED_PLAN, KEY) == VisitRecord(KEY, ("V1",))
    assert blank_record(Plan(), KEY) == VisitRecord(KEY)


edits = st.tuples(st.sampled_from(ALL), st.sampled_from(["time", "clear", "tick", "untick", "note", "unnote"]))


@given(st.lists(edits, max_size=12), st.permutations(ALL))
def test_that_counts_stay_in_the_order_of_the_form_and_only_those_with_something_on_them_are_kept(
    changes: list[tuple[tuple[int, int], str]], order: list[tuple[int, int]]
) -> None:
    record = VisitRecord(KEY)
    for key, what in changes:
        if what in ("time", "clear"):
            record = with_count_time(record, order, key, CountTime.BEGAN, WHEN if what == "time" else None)
        elif what in ("tick", "untick"):
            record = with_count_done(record, order, key, done=what == "tick")
        else:
            record = with_count_note(record, order, key, "owl" if what == "note" else " ")
    written = [one.key for one in record.counts]
    assert written == [key for key in order if key in written]
    assert all(one.done or one.began_utc or one.note for one in record.counts)


@given(st.lists(st.sampled_from(ALL), unique=True), st.permutations(ALL))
def test_that_every_count_has_one_row_and_those_recorded_keep_their_order(
    recorded: list[tuple[int, int]], planned: list[tuple[int, int]]
) -> None:
    record = VisitRecord(KEY, counts=tuple(PointRecord(*key) for key in recorded))
    order = count_order(record, ROUTE, 1, [PointRecord(*key) for key in planned])
    assert sorted(order) == ALL
    assert [key for key in order if key in recorded] == recorded


def test_that_rows_come_as_planned_else_along_the_route_else_as_recorded() -> None:
    back = [PointRecord(number) for number in (4, 3, 2, 1)]
    one_then_three = VisitRecord(KEY, counts=(PointRecord(1), PointRecord(3)))
    mixed = VisitRecord(KEY, counts=(PointRecord(2), PointRecord(4), PointRecord(1)))
    assert count_order(VisitRecord(KEY), ROUTE, 1, back) == ALL[::-1]
    assert count_order(one_then_three, ROUTE, 1, back) == ALL
    assert count_order(mixed, ROUTE, 1) == [(2, 1), (4, 1), (1, 1), (3, 1)]
    assert count_order(VisitRecord(KEY), ROUTE, 2)[3:5] == [(4, 1), (1, 2)]


def test_that_planned_times_fill_what_is_blank_and_leave_what_is_written() -> None:
    planned = planned_times(SMALL, VISIT, VISIT.date)
    # Written down to the minute by the tests' own team, which keeps to the plan: an independent reading of the outing.
    assert [one.key for one in planned.counts] == [one.key for one in GOOD.counts]
    for mine, theirs in zip(planned.counts, GOOD.counts, strict=True):
        assert mine.ended_utc is not None
        assert theirs.ended_utc is not None
        assert abs(mine.ended_utc - theirs.ended_utc) <= dt.timedelta(seconds=30)
        assert mine.ended_utc.second == 0
    note = replace(planned.counts[1], began_utc=WHEN, ended_utc=None, note="owl")
    skipped = PointRecord(planned.counts[2].point, done=False, note="gate shut")
    record = VisitRecord(GOOD.key, counts=(note, skipped), home_utc=WHEN)
    filled = as_planned(record, SMALL.season, VISIT.window, planned)
    assert [one.key for one in filled.counts] == [one.key for one in planned.counts]
    assert filled.counts[1] == replace(note, ended_utc=planned.counts[1].ended_utc)
    assert filled.counts[2] == skipped
    assert (filled.left_utc, filled.home_utc) == (planned.left_utc, WHEN)
    only = as_planned(VisitRecord(GOOD.key), SMALL.season, VISIT.window, planned, only=planned.counts[0].key)
    assert (only.counts, only.left_utc) == (planned.counts[:1], None)


def test_that_planned_times_of_another_date_are_of_that_night() -> None:
    planned = planned_times(SMALL, VISIT, day(4))
    assert {one.began_utc.date() for one in planned.counts if one.began_utc} == {day(4)}


@given(st.dates(dt.date(2027, 1, 1), dt.date(2027, 12, 31)))
def test_that_a_record_of_another_date_shows_the_same_on_the_clock(date: dt.date) -> None:
    record = VisitRecord(KEY, counts=(PointRecord(1, began_utc=WHEN),), left_utc=WHEN)
    moved = record_on(record, date, LONDON)
    (count,) = moved.counts
    assert moved.key == replace(KEY, date=date)
    assert count.began_utc is not None
    assert moved.left_utc == count.began_utc
    local = count.began_utc.astimezone(LONDON)
    assert (local.date(), f"{local:%H:%M}") == (date, "22:00")


def test_that_a_draft_gets_another_date_in_one_step_and_a_final_one_or_one_in_the_way_does_not(
    tmp_path: Path,
) -> None:
    draft = VisitRecord(KEY, ("V1",), (PointRecord(1, began_utc=WHEN),))
    with season_file(tmp_path) as file:
        keep_record(file, draft, june(5))
        steps = len(file.history())
        kept = redate_record(file, KEY, june(3), june(5))
        assert len(file.history()) == steps + 1
        assert kept.changed.label == "The record of R1 visit 1 on Wed 2 Jun 2027 is of Thu 3 Jun"
        assert [one.key.date for one in file.records()] == [june(3)]
        keep_record(file, draft, june(5))
        with pytest.raises(ImpossibleError, match=r"There is a record of R1 visit 1 on Thu 3 Jun 2027 already\."):
            redate_record(file, KEY, june(3), june(5))
        final = replace(draft, state=RecordState.FINAL)
        keep_record(file, final, june(5))
        with pytest.raises(RuleError, match="is final: reopen it first"):
            redate_record(file, KEY, june(4), june(5))
        assert [one.key.date for one in file.records()] == [june(2), june(3)]


def test_that_each_evening_stands_where_its_record_and_its_date_say() -> None:
    # R1 was on the 2nd and R2 on the 4th, R1 again on the 12th; records are late after seven days.
    def found(plan: Plan, *records: VisitRecord, today: dt.date) -> list[tuple[str, int, int, str]]:
        standings = evening_standings(plan, records, today)
        return [(one.key.route, one.key.visit, one.key.date.day, one.standing.name) for one in standings]

    nothing_back = [("R1", 1, 2, "OVERDUE"), ("R1", 2, 12, "TO_COME"), ("R2", 1, 4, "AWAITED")]
    assert found(EDITED_PLAN, today=june(10)) == nothing_back
    draft = VisitRecord(KEY)
    final = replace(draft, state=RecordState.FINAL)
    assert found(EDITED_PLAN, draft, today=june(10))[0] == ("R1", 1, 2, "DRAFT")
    assert found(EDITED_PLAN, final, today=june(10))[0] == ("R1", 1, 2, "PARTLY")
    again = EDITED_PLAN.with_visit(replace(EDITED_PLAN.by_key[KEY.visit_key], date=june(9)))
    assert found(again, final, today=june(10))[:2] == [("R1", 1, 2, "PARTLY"), ("R1", 1, 9, "AWAITED")]
    done = EDITED_PLAN.with_status(KEY.visit_key, Status.DONE)
    assert found(done, final, today=june(10))[0] == ("R1", 1, 2, "DONE")
    assert found(done, today=june(20))[0] == ("R1", 1, 2, "DONE")
    assert found(Plan(), final, today=june(10)) == [("R1", 1, 2, "PARTLY")]
    (one, *_) = evening_standings(EDITED_PLAN, (final,), june(10))
    assert one.people == ("V1",)
    assert one.standing is RecordStanding.PARTLY
