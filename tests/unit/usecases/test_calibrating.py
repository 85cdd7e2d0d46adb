"""Recorded drives: known factors come back, before and after are told, and the next plan uses them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from planner.domain.counting import CountRule, Segment
from planner.domain.errors import ImpossibleError
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.field.visit_record import PointRecord, RecordState, VisitRecord
from planner.domain.finding import Rule, Severity
from planner.domain.geo import Place
from planner.domain.plan import Plan, VisitKey
from planner.domain.route import Point
from planner.domain.season import Season
from planner.domain.travel import FigureSource
from planner.scheduling import SeasonProblem, after_rounds, audit, outing_for
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.calibrating import (
    Calibrated,
    LegKind,
    calibration,
    drive_findings,
    forget_calibration,
    use_calibration,
)
from planner.usecases.calibrating.recorded import recorded_drives
from planner.usecases.checking import check
from planner.usecases.plan.planning import plan
from planner.usecases.plan.total_driving import total_drive_minutes
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from tests.unit.travel.road_maps import Node, write_osm
from tests.unit.travel.road_maps import row as row_of_nodes
from tests.unit.usecases.checked_seasons import june
from tests.unit.usecases.edited_seasons import PLAN, SEASON, made
from tests.unit.usecases.recorded_visits import Truth, record_visits

pytestmark = pytest.mark.xdist_group("reedhaven")

SLOW = DriveFactors(DriveFactor("", 1.2, 30), (DriveFactor("T2", 1.1, 12),), (DriveFactor("unclassified", 1.4, 20),))


@dataclass(frozen=True)
class Dawn:
    """The dawn demo as it is read from its file."""

    season: Season
    plan: Plan
    network: RoadNetwork
    problem: SeasonProblem

    def calibrated(self, records: tuple[VisitRecord, ...]) -> Calibrated:
        """What records of it come to."""
        return calibration(self.problem, self.plan, self.network, records)

    def records(self, truth: Truth, *, seed: int = 1, from_home: bool = True) -> tuple[VisitRecord, ...]:
        """What its teams wrote down of visit 1, and of visit 2."""
        return record_visits(self.season, self.network, self.plan.visits, truth, seed=seed, from_home=from_home)


@pytest.fixture(scope="module")
def dawn(reedhaven_made: Path) -> Dawn:
    """The dawn demo: five routes of eight points, ten visits, roads."""
    with SeasonFile.open(reedhaven_made) as file:
        season, plan = file.season(), file.plan()
    network = road_network(reedhaven_made, season.roads)
    assert network is not None
    return Dawn(season, plan, network, season_problem(season, network))


def test_that_known_factors_come_back_from_what_the_teams_wrote_down(dawn: Dawn) -> None:
    slow = dawn.season.routes[0].code
    found = dawn.calibrated(dawn.records(Truth({}, {slow: 1.4}, other=1.3, gross=0.05)))
    assert found.season is not None
    assert found.season.least <= 1.3 <= found.season.most
    assert found.recorded_minutes / found.expected_minutes == pytest.approx(1.3, rel=0.1)
    for one in found.classes:
        assert one.least * 0.97 <= 1.3 <= one.most * 1.03
    routes = {one.route: one for one in found.routes}
    assert max(routes.values(), key=lambda one: one.after).route == slow
    assert (routes[slow].least or 9.0) <= 1.4 <= (routes[slow].most or 0.0)
    assert found.factors.source == "recorded drives of 10 visits"
    assert sum(one.legs for one in found.routes) + sum(
        leg.name.kind is not LegKind.BETWEEN for leg in found.legs
    ) == len(found.legs)


def test_that_classes_of_road_are_told_apart_by_what_was_written_down(dawn: Dawn) -> None:
    true = {"primary": 1.0, "residential": 1.0, "unclassified": 1.5}
    found = dawn.calibrated(dawn.records(Truth(true, {}, spread=0.06), seed=3))
    classes = {one.name: one for one in found.classes}
    assert set(classes) == set(true)
    assert classes["unclassified"].after == pytest.approx(1.5, rel=0.08)
    assert classes["primary"].after < 0.8 * classes["unclassified"].after
    # Four short drives on one class tell little, and its range says so.
    few = classes["residential"]
    assert few.legs < 10
    assert few.most / few.least > 1.5 > classes["unclassified"].most / classes["unclassified"].least


def test_that_the_walk_back_to_the_car_is_no_driving(tmp_path: Path) -> None:
    network = RoadNetwork.read(
        write_osm(tmp_path / "row.osm", row_of_nodes(4), [([1, 2, 3, 4], {"highway": "tertiary"})])
    )
    # The first point 100 m off the road, the second on it.
    points = (Point(1, Place(50.0 + 100 / 111_200, 10.005)), Point(2, Place(50.0, 10.02)), Point(3, Place(50.0, 10.01)))
    one = replace(SEASON.routes[0], points=points)
    season = replace(SEASON, routes=(one, *SEASON.routes[1:]))
    (record,) = record_visits(season, network, PLAN.visits[:1], Truth({}, {}, spread=0.0), from_home=False)
    first, second = recorded_drives(season, network, [record]).legs
    overhead = season.protocol.travel.stop_overhead_minutes
    # Naismith: three miles an hour.
    assert first.beside_minutes == pytest.approx(overhead + 0.1 / 4.828 * 60, abs=0.02)
    assert second.beside_minutes == overhead
    assert first.driven_minutes == pytest.approx(first.expected_minutes, abs=1.0)
    assert second.driven_minutes == pytest.approx(second.expected_minutes, abs=1.0)


def test_that_drives_as_expected_change_next_to_nothing(dawn: Dawn) -> None:
    found = dawn.calibrated(dawn.records(Truth({}, {}, spread=0.05)))
    assert found.season is not None
    assert found.season.after == pytest.approx(1.0, abs=0.06)
    assert found.driving_after_minutes == pytest.approx(found.driving_before_minutes, rel=0.08)


def test_that_what_no_longer_fits_is_told_and_is_what_the_audit_says_afterwards() -> None:
    # Counts so long that a few minutes are left before the closing; no roads.
    season = replace(SEASON, protocol=replace(SEASON.protocol, count=CountRule((Segment("listen", 18.0),))))
    problem = season_problem(season, None)
    found = calibration(problem, PLAN, None, record_visits(season, None, PLAN.visits, Truth({}, {}, other=3.0)))
    after = season_problem(replace(season, drive_factors=found.factors), None)
    late_before, late_after = (
        {one.subject.route for one in audit(some, PLAN) if one.rule is Rule.VISIT_WINDOW} for some in (problem, after)
    )
    assert not late_before
    visits = {visit.key: visit for route in found.routes for visit in route.visits}
    assert {key.route for key, visit in visits.items() if visit.no_longer_fits} == late_after
    assert late_after
    assert [one for one in found.broken if one.rule is Rule.VISIT_WINDOW] == [
        one for one in audit(after, PLAN) if one.rule is Rule.VISIT_WINDOW
    ]
    for key, visit in visits.items():
        planned = PLAN.by_key[key]
        assert visit.margin_before_minutes == outing_for(problem, planned, planned.lead).margin_minutes
        assert visit.margin_after_minutes == outing_for(after, planned, planned.lead).margin_minutes


def test_that_visits_that_are_past_or_made_are_not_told_of() -> None:
    # V1 drives far longer than they would.
    records = record_visits(SEASON, None, PLAN.visits, Truth({}, {}, other=4.0))
    done = made(PLAN, VisitKey("R1", 2))
    for today, stands, told in (
        (None, PLAN, {june(2), june(12), june(4)}),
        (june(5), PLAN, {june(12)}),
        (None, done, {june(2), june(4)}),
    ):
        found = calibration(season_problem(SEASON, None, today), stands, None, records)
        assert {visit.date for route in found.routes for visit in route.visits} == told
        assert {PLAN.by_key[VisitKey(one.subject.route, one.subject.visit or 0)].date for one in found.broken} == told


def test_that_minutes_are_multiplied_and_the_overhead_is_not(dawn: Dawn) -> None:
    route = dawn.season.routes[1].code
    factors = DriveFactors(DriveFactor("", 1.25, 9), (DriveFactor(route, 1.1, 5),))
    after = season_problem(replace(dawn.season, drive_factors=factors), dawn.network)
    overhead = dawn.season.protocol.travel.stop_overhead_minutes
    for code, drives in after.drives.items():
        was = dawn.problem.drives[code]
        for table, before, factor in (
            (drives.out, was.out, 1.25),
            (drives.back, was.back, 1.25),
            (drives.legs, was.legs, 1.25 * (1.1 if code == route else 1.0)),
        ):
            # Points of the demo stand on their roads: nothing is walked.
            apart = before.expected > 0
            np.testing.assert_allclose(
                table.expected[apart] - overhead, (before.expected[apart] - overhead) * factor, rtol=1e-9
            )
            np.testing.assert_allclose(
                table.cautious[apart] - overhead, (before.cautious[apart] - overhead) * factor, rtol=1e-9
            )


def test_that_estimates_without_roads_are_multiplied_as_well(dawn: Dawn) -> None:
    before = season_problem(dawn.season, None)
    after = season_problem(replace(dawn.season, drive_factors=DriveFactors(DriveFactor("", 1.5, 9))), None)
    overhead = dawn.season.protocol.travel.stop_overhead_minutes
    for code, drives in after.drives.items():
        np.testing.assert_allclose(
            drives.out.expected - overhead, (before.drives[code].out.expected - overhead) * 1.5, rtol=1e-9
        )
        assert drives.out.estimated.all()


def test_that_the_quickest_ways_are_found_anew(tmp_path: Path) -> None:
    # A short track, and a longer way round on a tertiary road.
    nodes: dict[int, Node] = {1: (50.0, 10.0), 2: (50.0, 10.02), 3: (50.01, 10.01), 4: (50.0, 9.99), 5: (50.0, 10.03)}
    ways = [
        ([4, 1], {"highway": "tertiary"}),
        ([1, 2], {"highway": "track"}),
        ([1, 3, 2], {"highway": "unclassified"}),
        ([2, 5], {"highway": "tertiary"}),
    ]
    network = RoadNetwork.read(write_osm(tmp_path / "ways.osm", nodes, ways))
    ends = (50.0, 9.995), (50.0, 10.025)
    assert set(network.minutes_by_kind(*ends)) == {"tertiary", "unclassified"}
    rutted = DriveFactors(DriveFactor("", 1.0, 9), classes=(DriveFactor("unclassified", 4.0, 5),))
    slower = network.at_speeds(network.speeds, rutted)
    assert set(slower.minutes_by_kind(*ends)) == {"tertiary", "track"}
    assert slower.at_speeds(network.speeds) is network
    assert slower.at_speeds(network.speeds, rutted) is slower


def test_that_the_classes_of_a_way_add_up_to_its_minutes(dawn: Dawn) -> None:
    places = [(point.place.latitude, point.place.longitude) for point in dawn.season.routes[0].points[:4]]
    places += [(one.home.latitude, one.home.longitude) for one in dawn.season.volunteers[:3]]
    for network in (dawn.network, dawn.network.at_speeds(dawn.season.road_speeds, SLOW)):
        table = network.minutes(places, places)
        for row, start in enumerate(places):
            for column, end in enumerate(places):
                found = sum(network.minutes_by_kind(start, end).values())
                assert found == pytest.approx(table[row, column], abs=1e-9)


def test_that_a_recorded_route_says_so_leg_by_leg_and_estimates_stay_estimates(dawn: Dawn) -> None:
    visit = dawn.plan.visits[0]
    factors = DriveFactors(DriveFactor("", 1.1, 9), (DriveFactor(visit.key.route, 1.0, 5),))
    for network, told in ((dawn.network, FigureSource.MEASURED), (None, FigureSource.ESTIMATE)):
        problem = season_problem(replace(dawn.season, drive_factors=factors), network)
        steps = [step for step in outing_for(problem, visit, visit.lead).steps if step.leg is not None]
        between = [step for step in steps if step.from_point is not None and step.point is not None]
        assert {step.leg.source for step in between if step.leg is not None} == {told}
        assert {step.leg.source for step in steps if step.leg is not None and step not in between} != {
            told
        } or not network


def _first_count(record: VisitRecord, **changes: object) -> VisitRecord:
    first = replace(record.counts[0], **changes)  # type: ignore[arg-type]  # each case changes one field
    return replace(record, counts=(first, *record.counts[1:]))


LEFT_OUT: dict[str, tuple[Callable[[VisitRecord], VisitRecord], str]] = {
    "a draft": (lambda record: replace(record, state=RecordState.DRAFT), "the record is a draft"),
    "another route": (lambda record: replace(record, key=replace(record.key, route="X9")), "no such route"),
    "nobody": (lambda record: replace(record, team=()), "it has no lead"),
    "no end": (lambda record: _first_count(record, ended_utc=None), "the departure is not written down"),
    "no arrival": (lambda record: _first_count(record, arrived_utc=None), "the arrival is not written down"),
    "no such point": (lambda record: _first_count(record, point=77), "the route has no point 77 now"),
    "no time at all": (
        lambda record: _first_count(record, ended_utc=record.counts[1].arrived_utc),
        "written down as the same moment",
    ),
    "backwards": (
        lambda record: _first_count(record, ended_utc=_at(record, 0).replace(year=2028)),
        "the arrival is before the departure",
    ),
}


def _at(record: VisitRecord, number: int) -> dt.datetime:
    moment = record.counts[number].arrived_utc
    assert moment is not None
    return moment


@pytest.mark.parametrize("case", LEFT_OUT)
def test_that_what_tells_nothing_is_left_out_and_why_is_said(dawn: Dawn, case: str) -> None:
    change, why = LEFT_OUT[case]
    (record,) = record_visits(dawn.season, dawn.network, dawn.plan.visits[:1], Truth({}, {}, spread=0.1))
    whole, changed = (recorded_drives(dawn.season, dawn.network, [one]) for one in (record, change(record)))
    assert not whole.left_out
    assert all(why in one.why for one in changed.left_out)
    assert changed.left_out
    assert set(changed.legs) < set(whole.legs)


def test_that_a_slip_of_an_hour_is_left_out_and_moves_nothing(dawn: Dawn) -> None:
    first, *others = dawn.records(Truth({}, {}, spread=0.1))[:4]
    slipped = _first_count(first, ended_utc=_at(first, 1) - dt.timedelta(hours=1))
    (good, found) = (dawn.calibrated((one, *others)) for one in (first, slipped))
    assert [one.what for one in found.left_out if "a slip or a long stop" in one.why] == [
        f"{first.key}, point {first.counts[0].point} to point {first.counts[1].point}"
    ]
    assert found.factors.season_factor == pytest.approx(good.factors.season_factor, rel=0.03)


def test_that_a_team_that_did_habitat_before_the_first_count_is_not_said_to_have_slipped(dawn: Dawn) -> None:
    first, *others = dawn.records(Truth({}, {}, spread=0.1))[:4]
    early = replace(first, left_utc=_at(first, 0) - dt.timedelta(hours=2, minutes=30))
    (left,) = (one for one in dawn.calibrated((early, *others)).left_out if "were expected" in one.why)
    assert left.what == f"{first.key}, home to point {first.counts[0].point}"
    assert "points set up and habitat done before the first count" in left.why


def test_that_two_runs_at_one_point_are_no_drive(dawn: Dawn) -> None:
    record = dawn.records(Truth({}, {}))[0]
    again = PointRecord(record.counts[0].point, 2, record.counts[0].ended_utc, ended_utc=record.counts[0].ended_utc)
    twice = replace(record, counts=(record.counts[0], again, *record.counts[1:]), left_utc=None, home_utc=None)
    found = dawn.calibrated((twice,))
    assert len(found.legs) + len(found.left_out) == len(record.counts) - 1


def test_that_without_records_nothing_is_offered(dawn: Dawn) -> None:
    found = dawn.calibrated(())
    assert (found.season, found.classes, found.factors, found.changes) == (None, (), DriveFactors(), False)
    assert found.driving_after_minutes == found.driving_before_minutes
    assert not found.broken


def test_that_records_are_held_against_the_map_and_not_against_what_is_planned_with_already(dawn: Dawn) -> None:
    records = dawn.records(Truth({}, {}, other=1.3))[:4]
    first = dawn.calibrated(records)
    season = replace(dawn.season, drive_factors=first.factors)
    again = calibration(season_problem(season, dawn.network), dawn.plan, dawn.network, records)
    assert again.factors == first.factors
    assert not again.changes
    assert again.driving_after_minutes == again.driving_before_minutes


def test_that_using_and_forgetting_are_one_step_each_and_taken_back(reedhaven: SeasonFile) -> None:
    used = use_calibration(reedhaven, replace(SLOW, source="recorded drives of 5 visits"))
    assert used.label == "Plan with recorded drives of 5 visits: drives x 1.20"
    assert reedhaven.season().drive_factors == used.factors
    assert use_calibration(reedhaven, used.factors).label == ""
    assert forget_calibration(reedhaven).label == "Plan with drives as the road map gives them"
    assert reedhaven.season().drive_factors == DriveFactors()
    reedhaven.undo()
    assert reedhaven.season().drive_factors == used.factors
    with pytest.raises(ImpossibleError):
        use_calibration(reedhaven, DriveFactors())


def test_that_the_next_plan_fits_the_drives_that_were_recorded_and_says_so(reedhaven: SeasonFile, dawn: Dawn) -> None:
    factors = DriveFactors(
        DriveFactor("", 1.6, 30), (DriveFactor("M01", 1.2, 12),), source="recorded drives of 5 visits"
    )
    use_calibration(reedhaven, factors)
    with reedhaven.step("Take the plan away"):
        reedhaven.save_plan(Plan())
    planned = plan(reedhaven, stop=after_rounds(1))
    assert planned.drives_said == (
        "Drives are planned with recorded drives of 5 visits: 1.60 times what the map gives,"
        " with figures of their own for 1 route."
    )
    assert planned.result.plan.visits
    slower = season_problem(reedhaven.season(), dawn.network)
    assert not [one for one in audit(slower, planned.result.plan) if one.severity is Severity.BROKEN]
    assert total_drive_minutes(slower, planned.result.plan) > total_drive_minutes(dawn.problem, planned.result.plan)


def test_that_a_check_says_that_finished_records_tell_of_drives_until_they_are_planned_with(dawn: Dawn) -> None:
    records = dawn.records(Truth({}, {}))
    drafts = [replace(one, state=RecordState.DRAFT) for one in records]
    assert not list(drive_findings(dawn.season, drafts))
    assert not list(drive_findings(dawn.season, [replace(one, counts=one.counts[:2]) for one in drafts]))
    (told,) = drive_findings(dawn.season, [records[0], *drafts[1:]])
    assert (told.rule, told.severity) == (Rule.ROADS_RECORDED, Severity.NOTE)
    assert told.what == "Times of a finished record say how long drives take, and plans go by the map alone."
    (told,) = drive_findings(dawn.season, records)
    assert "10 finished records" in told.what
    (told,) = drive_findings(replace(dawn.season, drive_factors=SLOW), records)
    assert told.what == SLOW.said()
    bare = replace(records[0], left_utc=None, home_utc=None, counts=records[0].counts[:3])
    assert not list(drive_findings(dawn.season, [bare]))


def test_that_the_check_sees_the_drives_that_are_planned_with(reedhaven: SeasonFile) -> None:
    before = check(reedhaven)
    use_calibration(reedhaven, DriveFactors(DriveFactor("", 4.0, 30), source="recorded drives of 5 visits"))
    after = check(reedhaven)
    assert before.may_be_printed
    assert not after.may_be_printed
