"""Laws of judging records: what keeps to the plan is never blamed, what misses the light always is."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import CountRule, Direction, Segment
from planner.domain.disruption import Remains
from planner.domain.field.visit_record import RecordKey, VisitRecord
from planner.domain.finding import Rule
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.window import StartRule
from planner.scheduling import SeasonProblem, outing_for
from planner.usecases.records import breaks, judge_record
from tests.unit.scheduling.seasons import (
    day,
    dusk,
    out_and_back,
    protocol,
    route,
)
from tests.unit.store.field_strategies import records
from tests.unit.usecases.record_seasons import (
    VISIT,
    record_of,
    said,
    shifted,
    small,
    utc,
    with_count,
)


@st.composite
def seasons(draw: st.DrawFn) -> tuple[SeasonProblem, PlannedVisit]:
    """Small seasons of every shape of window, order and settling, with one planned visit."""
    window = draw(
        st.sampled_from((dusk(), dusk(StartRule.EXACTLY), dusk(StartRule.EXACTLY, within=90.0), out_and_back()))
    )
    rules = protocol(windows=(window,), direction=draw(st.sampled_from(Direction)))
    settle = draw(st.sampled_from((0.0, 1.0, 2.5)))
    count = CountRule((Segment("listen", draw(st.sampled_from((2.0, 3.0, 5.0)))),), settle_minutes=settle)
    points, legs = draw(st.integers(1, 4)), draw(st.floats(0.5, 6.0))
    found = small(replace(rules, count=count), routes=(route("R1", points), route("R2", 1)), leg_minutes=legs)
    return found, replace(VISIT, window=window.name)


@settings(max_examples=40, deadline=None)
@given(seasons())
def test_that_a_record_made_from_the_plan_s_own_timetable_never_has_a_finding(
    made: tuple[SeasonProblem, PlannedVisit],
) -> None:
    season, visit = made
    if outing_for(season, visit, visit.lead).missed:
        return
    judged = judge_record(season, Plan((visit,)), record_of(season, visit))
    assert judged.findings == ()
    assert judged.follows is Remains.NOTHING


@settings(max_examples=40, deadline=None)
@given(seasons())
def test_that_the_last_count_later_by_the_margin_and_a_minute_always_has_a_finding(
    made: tuple[SeasonProblem, PlannedVisit],
) -> None:
    season, visit = made
    outing = outing_for(season, visit, visit.lead)
    assert outing.margin_minutes is not None
    record = record_of(season, visit)
    ends = _margin_of_last_pass(season, record)
    late = with_count(record, len(record.counts) - 1, shifted(record.counts[-1], ends + 1.0))
    judged = judge_record(season, Plan((visit,)), replace(late, home_utc=None))
    last = record.counts[-1]
    assert any(one.subject.point == last.point for one in said(judged, Rule.RECORD_WINDOW))
    alone = len([one for one in record.counts if one.pass_number == last.pass_number]) == 1
    if not (alone and season.season.protocol.windows[0].passes[-1].within_minutes is not None):
        # A pass of one count takes its start along, so the minutes from its start still hold.
        assert last.point not in judged.points_that_count


def _margin_of_last_pass(season: SeasonProblem, record: VisitRecord) -> float:
    """Minutes from the end of the last count to the closing of its pass, worked out from the rule and the light."""
    window = season.season.protocol.windows[0]
    last, light = record.counts[-1], season.light["R1"].windows[0].passes[-1]
    assert last.ended_utc is not None
    closes = dt.datetime.fromtimestamp(float(light.close_utc[2, last.point - 1]), dt.UTC)
    within = window.passes[-1].within_minutes
    if within is not None:
        settle = season.season.protocol.count.settle_minutes
        began = min(one.began_utc for one in record.counts if one.began_utc is not None)
        closes = min(closes, began + dt.timedelta(minutes=within - settle))
    return (closes - last.ended_utc).total_seconds() / 60


@st.composite
def scrawls(draw: st.DrawFn, number: int) -> VisitRecord:
    """Records with anything in them, of points and hours that the season may have."""
    code, visit, on_day = draw(st.sampled_from(("R1", "R2", "R9"))), draw(st.integers(1, 3)), draw(st.integers(-2, 20))
    written = draw(records())
    hours = st.none() | st.floats(-6, 30).map(lambda hour: utc("00:00", 2) + dt.timedelta(hours=hour))
    counts = {
        one.point % 4 + 1: replace(
            one, point=one.point % 4 + 1, arrived_utc=draw(hours), began_utc=draw(hours), ended_utc=draw(hours)
        )
        for one in written.counts
    }
    key = RecordKey(code, visit, day(on_day + number))
    return replace(written, key=key, counts=tuple(counts.values()), stood=None, let_stand="")


@settings(max_examples=20, deadline=None)
@given(scrawls(0), scrawls(1), seasons())
def test_that_whatever_is_written_down_is_judged_and_only_finished_counts_ever_stand(
    record: VisitRecord, other: VisitRecord, made: tuple[SeasonProblem, PlannedVisit]
) -> None:
    season, visit = made
    judged = judge_record(season, Plan((visit,)), record, (other,))
    assert judged.standing <= {one.key for one in record.done}
    assert all(finding.what for finding in judged.findings)
    assert set(judged.points_that_count).isdisjoint(judged.left) or judged.follows is Remains.WHOLE
    assert breaks(judged) is None or judged.known
