"""What ``check`` says of the weather, and how it comes into a season and out again."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.cli.risk_lines import risk_lines
from planner.domain.lost_evenings import LostEvenings
from planner.domain.plan import Plan
from planner.scheduling import RouteRisk, SeasonRisk
from planner.scheduling.risk import PastVisit
from planner.shipped import demo_routes
from planner.store import SeasonFile
from planner.usecases.plan.risk import PlanRisk
from tests.cli.conftest import Dimpsy, MadeDemo

pytestmark = pytest.mark.xdist_group("heath")
BEFORE = ("--today", "2027-04-01")
"""Before the season's first evening: nothing of it is past."""


def test_that_check_tells_what_the_weather_may_leave_weakest_routes_first(heath: Path, dimpsy: Dimpsy) -> None:
    risk = dimpsy("check", heath, *BEFORE, "--json").data["risk"]
    assert risk["filled"] == 45
    assert 0.8 * 45 < risk["expected_visits"] < 45
    assert len(risk["routes"]) == 24
    complete = [route["complete"] for route in risk["routes"]]
    assert complete == sorted(complete)
    unfilled = {route["route"] for route in risk["routes"] if route["complete"] == 0}
    assert unfilled == {"R17", "R22"}
    assert sum(route["expected_visits"] for route in risk["routes"]) == pytest.approx(risk["expected_visits"])
    lines = dimpsy("check", heath, *BEFORE).out.splitlines()
    [at] = [number for number, line in enumerate(lines) if line.startswith("Weather: with ")]
    assert f"expect {risk['expected_visits']:.1f} of the 45 planned visits" in lines[at]
    assert lines[at + 1] == "The weakest of the 22 routes with every visit planned:"
    shown = [line.split(":")[0] for line in lines[at + 2 :] if line.startswith("  route ")]
    assert shown == [f"  route {route['route']}" for route in risk["routes"][2:7]]


def test_that_without_lost_evenings_every_planned_visit_is_expected(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    rows = [f"{half} {month},0" for month in ("May", "June", "July") for half in ("early", "late")]
    (tmp_path / "chances.csv").write_text("\n".join(["half_month,lost_percent", *rows, ""]), encoding="utf-8")
    assert "chances.csv: chances of a lost evening" in dimpsy("import", heath, "--yes", tmp_path / "chances.csv").out
    said = dimpsy("check", heath, *BEFORE).out
    assert "Weather: with 0 % of the evenings lost, persistence " in said
    assert "expect 45.0 of the 45 planned visits to be done." in said


def test_that_before_planning_nothing_is_said_of_the_weather(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file, file.step("Take the plan away"):
        file.save_plan(Plan())
    assert "Weather" not in dimpsy("check", heath).out
    assert dimpsy("check", heath, "--json").data["risk"] is None


def test_that_a_plan_without_weather_is_told_how_to_give_it_and_the_import_can_be_undone(
    heath: Path, dimpsy: Dimpsy
) -> None:
    with SeasonFile.open(heath) as file, file.step("Forget the weather"):
        file.save_season(replace(file.season(), lost_evenings=None))
    [line] = [line for line in dimpsy("check", heath).out.splitlines() if line.startswith("Weather:")]
    assert "dimpsy import --help" in line
    said = dimpsy("import", heath, "--yes", demo_routes() / "heath" / "evenings.csv")
    assert "evenings.csv: past evenings" in said.out
    assert "Estimated from 244 past evenings" in said.out
    assert dimpsy("undo", heath).status == 0
    with SeasonFile.open(heath) as file:
        assert file.season().lost_evenings is None


def test_that_a_demo_without_weather_has_no_risk(reedhaven_made: MadeDemo) -> None:
    assert reedhaven_made.said.data["risk"] is None


def _risk(*routes: RouteRisk) -> PlanRisk:
    expected, filled = sum(one.expected_visits for one in routes), sum(one.filled for one in routes)
    return PlanRisk(LostEvenings((0.5,) * 24), "50 % of the evenings lost", SeasonRisk(expected, filled, routes))


def test_that_only_what_is_certain_is_said_to_be_0_or_100_percent() -> None:
    chances = (0.0, 0.004, 0.006, 0.994, 0.996, 1.0)
    lines = risk_lines(_risk(*(RouteRisk("R1", one, one, (one,), 1, 1) for one in chances[:5])))
    assert [line.split(": ")[1] for line in lines[2:]] == [
        "0 % to be complete",
        "under 1 % to be complete",
        "1 % to be complete",
        "99 % to be complete",
        "over 99 % to be complete",
    ]
    assert risk_lines(_risk(RouteRisk("R1", 1.0, 1.0, (1.0,), 1, 1)))[1:] == (
        "The one route with every visit planned:",
        "  route R1: 100 % to be complete",
    )


def test_that_routes_whose_visit_was_missed_are_named_together_and_one_in_reserve_with_its_date() -> None:
    words = "visit 2 is past and not done: only its reserve date is left, Tue 1 Jun"
    missed, left = PastVisit(1, None), PastVisit(2, dt.date(2027, 6, 1))
    lines = risk_lines(
        _risk(
            RouteRisk("R1", 0.0, 0.0, (0.0,), 1, 1, (missed,)),
            RouteRisk("R2", 0.5, 1.5, (1.0, 0.5), 2, 2, (left,)),
        )
    )
    assert lines[1:] == (
        "A visit is past, not done and without a reserve date to come: route R1.",
        "The one route with every visit done or to come:",
        f"  route R2: 50 % to be complete ({words}); visit 2 is the weakest with 50 %",
    )


def test_that_in_mid_season_check_expects_only_what_is_still_to_come(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file:
        visit = min(file.plan(), key=lambda one: (one.date, one.key))
        with file.step("No reserve date"):
            file.save_plan(file.plan().with_visit(replace(visit, reserve=None)))
    today = visit.date + dt.timedelta(days=1)
    assert f"without a reserve date to come: route {visit.key.route}." in dimpsy("check", heath, "--today", today).out
    risk = dimpsy("check", heath, "--today", today, "--json").data["risk"]
    [route] = [one for one in risk["routes"] if one["route"] == visit.key.route]
    assert route["complete"] == route["visits"][visit.key.number - 1] == 0.0


def test_that_routes_with_an_unfilled_visit_are_not_among_the_weakest_shown() -> None:
    lines = risk_lines(_risk(RouteRisk("R1", 0.0, 0.5, (0.5, 0.0), 1, 2)))
    assert len(lines) == 1
    assert lines[0].endswith("expect 0.5 of the 1 planned visits to be done.")
