"""Checking a whole season: what is missing is said, what is explained already is not said twice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan
from planner.domain.route import Route
from planner.domain.season import Coordinator
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from planner.usecases.checking import check
from planner.usecases.season.opening import roads_path

pytestmark = pytest.mark.xdist_group("reedhaven")


def _by_rule(file: SeasonFile) -> dict[Rule, list[Finding]]:
    found: dict[Rule, list[Finding]] = {}
    for finding in check(file).findings:
        found.setdefault(finding.rule, []).append(finding)
    return found


def test_that_a_season_in_order_has_no_findings_and_says_what_stands(reedhaven: SeasonFile) -> None:
    checked = check(reedhaven)
    assert checked.findings == ()
    assert checked.stands.endswith("5 routes, 8 volunteers, 10 of 10 visits filled, 10 with a reserve date.")


def test_that_a_visit_taken_out_of_the_plan_is_found(reedhaven: SeasonFile) -> None:
    gone = reedhaven.plan().visits[3]
    with reedhaven.step("Cancel"):
        reedhaven.save_plan(reedhaven.plan().without(gone.key))
    [finding] = _by_rule(reedhaven)[Rule.VISIT_UNFILLED]
    assert (finding.subject.route, finding.subject.visit) == (gone.key.route, gone.key.number)


def test_that_before_planning_unfilled_visits_are_no_finding(reedhaven: SeasonFile) -> None:
    with reedhaven.step("Take the plan away"):
        reedhaven.save_plan(Plan())
    assert check(reedhaven).findings == ()


def test_that_one_route_and_one_volunteer_are_said_as_one(reedhaven: SeasonFile) -> None:
    with reedhaven.step("Leave one of each"):
        season = reedhaven.season()
        reedhaven.save_plan(Plan())
        reedhaven.save_season(replace(season, routes=season.routes[:1], volunteers=season.volunteers[:1]))
    assert check(reedhaven).stands.endswith(": 1 route, 1 volunteer, 0 of 2 visits filled, 0 with a reserve date.")


def test_that_an_empty_season_says_what_to_import(reedhaven: SeasonFile) -> None:
    with reedhaven.step("Empty"):
        reedhaven.save_plan(Plan())
        reedhaven.save_season(replace(reedhaven.season(), routes=(), volunteers=()))
    said = [finding.what for finding in _by_rule(reedhaven)[Rule.SEASON_EMPTY]]
    assert said == ["There are no routes yet.", "There are no volunteers yet."]


def test_that_a_route_without_points_is_told(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    with reedhaven.step("Name a route"):
        reedhaven.save_season(replace(season, routes=(*season.routes, Route("X1", "Not walked yet", ()))))
    [finding] = _by_rule(reedhaven)[Rule.ROUTE_POINTS]
    assert finding.subject.route == "X1"


def test_that_a_lost_road_map_is_trouble_and_none_at_all_a_doubt(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    assert season.roads is not None
    roads_path(reedhaven.path, season.roads).unlink()
    [lost] = _by_rule(reedhaven)[Rule.ROADS_MISSING]
    assert lost.severity is Severity.TROUBLE
    assert season.roads.source_name in lost.todo
    assert "is damaged, or was kept by another version of the program" in lost.what
    with reedhaven.step("Forget the roads"):
        reedhaven.save_season(replace(season, roads=None))
    [missing] = _by_rule(reedhaven)[Rule.ROADS_MISSING]
    assert missing.severity is Severity.DOUBT


def test_that_figures_from_memory_are_told_as_a_note(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    woodcock = shipped_protocol("woodcock_singing_ground")
    with reedhaven.step("Another protocol"):
        reedhaven.save_plan(Plan())
        reedhaven.save_season(replace(season, protocol=woodcock, visits=(season.dates,)))
    [note] = _by_rule(reedhaven)[Rule.PROTOCOL_UNVERIFIED]
    assert note.severity is Severity.NOTE
    assert "light window 1, pass 1: within minutes" in note.what
    assert "_" not in note.what


def test_that_a_coordinator_without_a_telephone_is_trouble(reedhaven: SeasonFile) -> None:
    with reedhaven.step("Forget the number"):
        reedhaven.save_season(replace(reedhaven.season(), coordinator=Coordinator("Merindah Colquhoun")))
    [finding] = _by_rule(reedhaven)[Rule.SEASON_COORDINATOR]
    assert "dimpsy coordinator" in finding.todo
    assert "Season room" in finding.todo


def test_that_a_zone_far_from_the_sun_of_the_routes_is_trouble(reedhaven: SeasonFile) -> None:
    for zone, found in (("Europe/London", True), ("Pacific/Auckland", False), ("Pacific/Kiritimati", False)):
        with reedhaven.step("Another zone"):
            reedhaven.save_season(replace(reedhaven.season(), zone=zone))
        assert (Rule.SEASON_ZONE in _by_rule(reedhaven)) is found


def test_that_visits_of_an_area_that_nobody_reaches_are_not_also_unfilled(reedhaven: SeasonFile) -> None:
    season, first = reedhaven.season(), reedhaven.plan().visits[0]
    near = tuple(replace(one, drive_limit_minutes=0.5) for one in season.volunteers)
    with reedhaven.step("Drive nowhere"):
        reedhaven.save_plan(Plan((first,)))
        reedhaven.save_season(replace(season, volunteers=near))
    found = _by_rule(reedhaven)
    [area] = found[Rule.AREA_NOBODY]
    assert set(area.subject.routes) == {route.code for route in season.routes}
    assert Rule.VISIT_UNFILLED not in found
    assert Rule.VISIT_NOBODY not in found
