"""The whole report: risk beside the season's own, evenings lost, and what is asked of the board."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.disruption import EveningCancelled
from planner.domain.errors import ImpossibleError
from planner.domain.plan import Plan
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import LossKind
from planner.store import SeasonFile
from planner.usecases.evening.cancelling import accept, ways_on
from planner.usecases.plan.risk import plan_risk
from planner.usecases.records import judge_record
from planner.usecases.reports import report_of
from planner.usecases.reports.asked_of_board import asked_of_board
from planner.usecases.reports.lost_evenings import evenings_lost, unknown_until
from planner.usecases.reports.visit_tables import lost_table
from planner.usecases.season.history import undo
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import roads_from_homes, season_problem
from planner.usecases.season.snapshot import snapshot
from tests.field_returns import REPORT_DAY
from tests.unit.usecases.reports.conftest import Reported

pytestmark = pytest.mark.xdist_group("returned")


def test_that_the_chances_are_those_that_the_season_room_shows(reported: Reported) -> None:
    report, found = reported
    network = roads_from_homes(found.season, road_network(found.path, found.season.roads))
    known = plan_risk(season_problem(found.season, network, REPORT_DAY), found.plan)
    assert known is not None
    assert report.chances is not None
    assert report.chances.expected_visits == pytest.approx(known.risk.expected_visits)
    assert [(one.route, one.complete) for one in report.chances.routes] == [
        (one.route, one.complete) for one in known.risk.routes
    ]
    assert [one.complete for one in report.chances.routes] == sorted(one.complete for one in report.chances.routes)


def test_that_what_is_asked_names_what_is_wanting_with_its_number(reported: Reported) -> None:
    report, _ = reported
    count = report.progress.whole.count
    said = " ".join(report.asked)
    assert f"{count(VisitState.UNFILLED)} visits have nobody" in said
    assert f"{count(VisitState.UNRECORDED)} visits are past" in said
    assert "2 visits were only partly done (R05 Candlewick Common, R09 Grebeholm Sands)" in said
    assert f"{report.progress.whole.sheets.missing} are missing" in said
    assert "taken as planned" in said


def test_that_points_stand_as_the_records_are_judged(reported: Reported) -> None:
    report, found = reported
    network = roads_from_homes(found.season, road_network(found.path, found.season.roads))
    problem = season_problem(found.season, network, REPORT_DAY)
    judged = {
        one.key.visit_key: judge_record(problem, found.plan, one, found.records).points_that_count
        for one in found.records
    }
    stands = {one.key: one.standing for one in report.progress.standings if one.evenings}
    assert stands == {key: len(points) for key, points in judged.items()}
    assert 0 < report.progress.whole.standing < report.progress.whole.counted


def test_that_what_has_a_new_date_is_not_asked_for_again(reported: Reported) -> None:
    report, _ = reported
    later = tuple(
        replace(one, date=REPORT_DAY) if one.state is VisitState.PARTLY else one for one in report.progress.standings
    )
    progress = replace(report.progress, standings=later)
    asked = asked_of_board(progress, report.chances, report.hours, REPORT_DAY)
    assert "partly done" not in " ".join(asked)


def test_that_evenings_cut_short_are_told_by_why(reported: Reported) -> None:
    report, _ = reported
    assert sorted((one.kind, one.visit.route) for one in report.lost) == [
        (LossKind.LIGHT, "R09"),
        (LossKind.WEATHER, "R05"),
    ]


def test_that_a_file_of_an_older_release_says_up_to_when_nothing_is_known_of_what_was_cancelled(
    reported: Reported,
) -> None:
    report, found = reported
    assert report.lost_unknown_until is None
    older = found.steps[-1]
    until = unknown_until(replace(found, cancelled_since=older.number))
    assert until == older.when_utc.astimezone(found.season.tzinfo).date()
    assert f"Up to {until} nothing is known" in lost_table(replace(report, lost_unknown_until=until)).columns[0].source


def test_that_an_evening_that_weather_cancels_counts_until_it_is_undone(demo_folder: Path, tmp_path: Path) -> None:
    for source in demo_folder.glob("heath.*"):
        if source.suffix in (".dimpsy", ".npz"):
            shutil.copy2(source, tmp_path / source.name)
    with SeasonFile.open(tmp_path / "heath.dimpsy") as file:
        last = max(visit.date for visit in file.plan())
        offer = ways_on(file, EveningCancelled(last), today=last)
        hit = {visit.key for visit in file.plan() if visit.date == last}
        accept(file, offer, 1)
        lost = evenings_lost((), file.cancelled())
        assert {one.visit for one in lost} == hit
        assert {(one.kind, one.date) for one in lost} == {(LossKind.CANCELLED, last)}
        assert unknown_until(snapshot(file)) is None
        undo(file)
        assert evenings_lost((), file.cancelled()) == ()


def test_that_a_season_without_routes_has_nothing_to_report(returned_path: Path, tmp_path: Path) -> None:
    path = tmp_path / "empty.dimpsy"
    shutil.copy2(returned_path, path)
    with SeasonFile.open(path) as file:
        season = file.season()
        with file.step("Routes go"):
            file.save_plan(Plan())
            file.save_sheets(())
            file.save_records(())
            file.save_season(replace(season, routes=()))
        with pytest.raises(ImpossibleError, match="no routes yet"):
            report_of(file)
