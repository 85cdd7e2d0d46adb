"""What is said of visits that stay unfilled on the dusk demo, and every offer made true once more by planning."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.cli.season_argument import open_for_change
from planner.domain.plan import Plan
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.explain import explain
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem
from tests.cli.conftest import Dimpsy, PlannedAgain
from tests.unit.scheduling.changed_seasons import assert_true

pytestmark = pytest.mark.xdist_group("heath")


def test_that_every_offer_on_the_demo_comes_true(heath: Path) -> None:
    with open_for_change(heath) as file:
        season, plan = file.season(), file.plan()
        problem = season_problem(season, whole_road_network(file.path, season.roads), None)
    found = explain(compile_season(problem, Plan()), plan)
    offers = [(one, offered) for one in found for offered in one.relaxations]
    assert len(offers) >= 5
    for explanation, offered in offers:
        assert_true(problem, plan, explanation, offered)


def test_that_the_plan_says_what_would_help_and_where_people_are_short(
    dimpsy: Dimpsy, heath: Path, planned_again: PlannedAgain
) -> None:
    lines = dimpsy("plan", heath, "--today", "2027-01-01").out.splitlines()
    assert "    would help: V04 gives 1 evening more: Fri 4 Jun." in lines
    assert any(
        line.startswith("    would help: One more volunteer joins who lives within 30 minutes") for line in lines
    )
    assert "    No other date of the season would do either, whoever goes." in lines
    short = lines[lines.index("Where people are short:") + 1]
    assert short.startswith("  - Round R22: one more volunteer with high clearance")
    data = planned_again.said.data
    assert {one["kind"] for one in data["shortages"]} == {"area", "skill", "week"}
    (explained,) = (one for one in data["unfilled"] if one["key"]["route"] == "R22")
    assert explained["relaxations"][0]["changes"] == [
        {"kind": "earlier", "volunteer": "", "amount": 1, "given": [], "skills": []}
    ]
