"""Hours and kilometres: a season worked out by hand, and the demo added up by another library."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pandas as pd
import pytest
from pyproj import Geod

from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import Plan, Status
from planner.domain.reports.hours import Basis, DistanceSource, HoursReport, Work
from planner.scheduling import SeasonProblem
from planner.usecases.reports.hours import ReportStoppedError, hours_report
from planner.usecases.reports.progress import progress_of
from tests.unit.scheduling import seasons as small
from tests.unit.usecases.reports.conftest import Reported

pytestmark = pytest.mark.xdist_group("returned")

HOME = Place(51.0, -3.5)
TODAY = small.day(5)


def _problem() -> SeasonProblem:
    """Homes 10 minutes from point 1, points 2 minutes apart, 5 minutes of counting at each of three."""
    rules = small.protocol(visits=2, setup=small.setup_rule())
    people = [small.volunteer("A", home=HOME), small.volunteer("B", home=HOME)]
    return small.problem(rules=rules, routes=[small.route("R1"), small.route("R2")], volunteers=people)


def _report(plan: Plan, *records: VisitRecord) -> HoursReport:
    problem = _problem()
    progress = progress_of(problem.season, plan, (), records, TODAY)
    return hours_report(problem, plan, records, progress, None, TODAY)


def _record(route: str, on: int, *, team: tuple[str, ...] = ("A",), **more: object) -> VisitRecord:
    base = VisitRecord(RecordKey(route, 1, small.day(on)), team, (PointRecord(1),), state=RecordState.FINAL)
    return replace(base, **more)  # type: ignore[arg-type]  # fields by name


def _moment(on: int, clock: str) -> dt.datetime:
    return dt.datetime.combine(small.day(on), dt.time.fromisoformat(clock), tzinfo=dt.UTC)


def test_that_hours_to_come_are_those_of_the_outing_out_and_back_for_lead_and_second() -> None:
    report = _report(Plan((small.planned("R1/1", "A", 6, second="B"),)))
    lead, second = report.outings
    # 10 min out, three counts of 5 min, two legs of 2 min, then 10 + 4 min home from the far end.
    assert lead.hours == pytest.approx((10 + 15 + 4 + 14) / 60)
    assert second.hours == pytest.approx(lead.hours)
    assert (lead.work, second.work) == (Work.LEAD, Work.SECOND)
    assert lead.drive_minutes == pytest.approx(10 + 4 + 14)
    assert second.drive_minutes == pytest.approx(10 + 14)
    assert {one.hours_basis for one in report.outings} == {Basis.PLANNED}


def test_that_kilometres_without_roads_are_the_detour_of_every_leg_for_the_lead_and_of_the_ends_for_a_second() -> None:
    lead, second = _report(Plan((small.planned("R1/1", "A", 6, second="B"),))).outings

    def crow_km(step: int) -> float:
        _, _, metres = Geod(ellps="WGS84").inv(-3.5, 51.0, -3.5, 51.0 + 0.01 * step)
        return float(metres) / 1000.0

    # Up to 5 km as the crow flies a road is taken to be 1.5 times as long.
    assert lead.km == pytest.approx(1.5 * 2 * crow_km(3), rel=1e-6)
    assert second.km == pytest.approx(1.5 * (crow_km(1) + crow_km(3)), rel=1e-6)
    assert lead.km_source is second.km_source is DistanceSource.ESTIMATE


def test_that_recorded_hours_and_kilometres_stand_and_the_second_has_the_hours_and_their_own_way() -> None:
    plan = Plan((small.planned("R1/1", "A", 2, second="B"),))
    written = _record(
        "R1", 2, team=("A", "B"), left_utc=_moment(2, "20:00"), home_utc=_moment(2, "22:30"), distance_km=31.5
    )
    lead, second = _report(plan, written).outings
    assert (lead.hours, second.hours) == (2.5, 2.5)
    assert (lead.km, lead.km_source) == (31.5, DistanceSource.RECORDED)
    assert second.km_source is DistanceSource.ESTIMATE
    assert second.km is not None
    assert second.km < 31.5


def test_that_kilometres_of_a_second_who_wrote_them_down_stand_and_go_with_their_person() -> None:
    plan = Plan((small.planned("R1/1", "A", 2, second="B"),))
    written = _record("R1", 2, team=("A", "B"), distance_km=31.5, second_km=18.0)
    for record in (written, written.with_team(("B", "A"))):
        report = _report(plan, record)
        assert {one.person: (one.km, one.km_source) for one in report.outings} == {
            "A": (31.5, DistanceSource.RECORDED),
            "B": (18.0, DistanceSource.RECORDED),
        }


def test_that_what_was_done_and_not_written_down_is_taken_as_planned() -> None:
    done = replace(small.planned("R1/1", "A", 2), status=Status.DONE)
    other = _record("R2", 3, team=("B",), left_utc=_moment(3, "20:00"))
    report = _report(Plan((done, small.planned("R2/1", "B", 3))), other)
    assert [one.hours_basis for one in report.outings] == [Basis.AS_PLANNED, Basis.AS_PLANNED]
    assert report.hours(Basis.AS_PLANNED) == pytest.approx(2 * 43 / 60)


def test_that_a_time_home_before_the_last_count_makes_the_hours_those_of_the_plan() -> None:
    plan = Plan((small.planned("R1/1", "A", 2),))
    counted = (PointRecord(1, began_utc=_moment(2, "20:20"), ended_utc=_moment(2, "20:25")),)
    for left, home, basis in (
        ("20:00", "20:22", Basis.AS_PLANNED),
        ("20:30", "21:00", Basis.AS_PLANNED),
        ("20:00", "21:00", Basis.RECORDED),
    ):
        record = _record("R1", 2, counts=counted, left_utc=_moment(2, left), home_utc=_moment(2, home))
        (one,) = _report(plan, record).outings
        assert one.hours_basis is basis
        assert one.hours == pytest.approx(1.0 if basis is Basis.RECORDED else 43 / 60)


def test_that_a_visit_past_without_a_record_counts_for_nothing_and_is_told() -> None:
    report = _report(Plan((small.planned("R1/1", "A", 2), small.planned("R2/1", "B", 9))))
    assert [one.route for one in report.outings] == ["R2"]
    assert (report.unrecorded, report.people, report.gave) == (1, 1, 0)


def test_that_a_set_up_on_a_day_of_its_own_is_the_leads_and_counts_once_it_has_passed() -> None:
    report = _report(Plan((small.planned("R1/1", "A", 6, second="B", setup=4),)))
    setup = next(one for one in report.outings if one.work is Work.SETUP)
    assert (setup.person, setup.hours_basis) == ("A", Basis.AS_PLANNED)
    # 10 min out, three times 6 min, two legs of 2 min, 14 min home.
    assert setup.hours == pytest.approx((10 + 18 + 4 + 14) / 60)
    same_day = _report(Plan((small.planned("R1/1", "A", 6, setup=6),)))
    assert [one.work for one in same_day.outings] == [Work.LEAD]


def test_that_who_went_counts_and_not_who_was_planned() -> None:
    went_instead = _record("R1", 4, team=("B",))
    (outing,) = _report(Plan((small.planned("R1/1", "A", 2),)), went_instead).outings
    assert (outing.person, outing.date, outing.hours_basis) == ("B", small.day(4), Basis.AS_PLANNED)
    assert outing.hours == pytest.approx(43 / 60)
    # B led: the legs between the points are B's own.
    assert outing.drive_minutes == pytest.approx(10 + 4 + 14)


def test_that_a_visit_done_and_recorded_counts_once_an_evening() -> None:
    done = replace(small.planned("R1/1", "A", 4), status=Status.DONE)
    report = _report(Plan((done,)), _record("R1", 2), _record("R1", 4))
    assert [one.date for one in report.outings] == [small.day(2), small.day(4)]


def test_that_nobody_is_credited_with_hours_that_nothing_tells() -> None:
    stranger = _record("R1", 4, team=("Z",), home_utc=_moment(4, "19:00"), left_utc=_moment(4, "21:00"))
    report = _report(Plan((small.planned("R1/1", "A", 2),)), stranger)
    assert [(one.person, one.hours, one.km) for one in report.outings] == [("Z", None, None)]
    assert (report.untold, report.by_month[0].untold, report.by_month[0].past_hours) == (1, 1, 0.0)


def test_that_a_visit_cut_short_counts_for_the_evening_gone_and_for_the_one_to_come() -> None:
    report = _report(Plan((small.planned("R1/1", "A", 8),)), _record("R1", 2))
    assert [(one.date, one.hours_basis) for one in report.outings] == [
        (small.day(2), Basis.AS_PLANNED),
        (small.day(8), Basis.PLANNED),
    ]


def test_that_adding_up_stops_when_told() -> None:
    problem, plan = _problem(), Plan((small.planned("R1/1", "A", 6),))
    progress = progress_of(problem.season, plan, (), (), TODAY)
    with pytest.raises(ReportStoppedError):
        hours_report(problem, plan, (), progress, None, TODAY, lambda: True)


def test_that_months_are_those_of_the_outings_as_another_library_groups_them(reported: Reported) -> None:
    report = reported[0].hours
    frame = pd.DataFrame(
        [(one.person, one.month, str(one.hours_basis), one.hours, one.km) for one in report.outings],
        columns=["person", "month", "basis", "hours", "km"],
    )
    hours = frame.groupby(["person", "month", "basis"])["hours"].sum()
    km = frame.assign(past=frame["basis"] != "planned").groupby(["person", "month", "past"])["km"].sum()
    counts = frame.groupby(["person", "month"]).size()
    assert len(report.by_month) == len(counts) > 30
    for one in report.by_month:
        key = one.person, one.month
        assert one.outings == counts[key]
        assert one.recorded_hours == pytest.approx(hours.get((*key, "recorded"), 0.0))
        assert one.as_planned_hours == pytest.approx(hours.get((*key, "as planned"), 0.0))
        assert one.planned_hours == pytest.approx(hours.get((*key, "planned"), 0.0))
        assert one.past_km == pytest.approx(km.get((*key, True), 0.0))
        assert one.planned_km == pytest.approx(km.get((*key, False), 0.0))
    assert report.hours(*Basis) == pytest.approx(frame["hours"].sum())


def test_that_everybody_recorded_or_planned_is_in_the_hours_of_the_demo(reported: Reported) -> None:
    report, found = reported
    recorded = {(record.key.route, record.key.visit, code) for record in found.records for code in record.team}
    told = {(one.route, one.visit, one.person) for one in report.hours.outings if one.work is not Work.SETUP}
    assert recorded <= told
    assert all(one.hours is not None and 0.5 < one.hours < 8.0 for one in report.hours.outings)
    assert {one.km_source for one in report.hours.outings} == {DistanceSource.RECORDED, DistanceSource.ROADS}
