"""``dimpsy check`` tells of visit records and of those that have not come back, and stays short."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.store import SeasonFile
from planner.usecases.records import keep_record
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from tests.cli.conftest import Dimpsy
from tests.unit.usecases.record_seasons import all_later, record_of

pytestmark = pytest.mark.xdist_group("heath")


def test_that_a_bad_record_and_missing_ones_are_listed_each_once(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file:
        season, visit = file.season(), min(file.plan(), key=lambda one: (one.date, one.key))
        today = visit.date + dt.timedelta(days=9)
        problem = season_problem(season, road_network(heath, season.roads), today)
        late = all_later(record_of(problem, visit), 120)
        kept = keep_record(file, replace(late, home_utc=None), today, problem)
        assert kept.judged.points_that_count == ()
    said = dimpsy("check", heath, "--today", today.isoformat())
    assert said.status == 1
    lines = said.out.splitlines()
    about = [line for line in lines if f"{visit.key.route}, visit {visit.key.number}, {visit.date:%a}" in line]
    assert len([line for line in about if "light window closes" in line]) == 1, "one line for all its points"
    assert len([line for line in about if "The whole visit is to be made again." in line]) == 1
    assert any(f"{visit.key.route} {visit.key.number} --points 0 --because partly" in line for line in lines)
    assert len([line for line in lines if "No record has come back" in line]) == 1
    found = dimpsy("check", heath, "--today", today.isoformat(), "--json").data["findings"]
    assert {"record.window", "record.follows", "record.missing"} <= {one["rule"] for one in found}
    quiet = dimpsy("check", heath, "--today", visit.date.isoformat(), "--json").data["findings"]
    assert "record.missing" not in {one["rule"] for one in quiet}


def test_that_the_coordinator_lets_a_visit_stand_and_takes_it_back(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file:
        visit = min(file.plan(), key=lambda one: (one.date, one.key))
        today = visit.date + dt.timedelta(days=1)
        problem = season_problem(file.season(), road_network(heath, file.season().roads), today)
        record = record_of(problem, visit)
        keep_record(file, replace(record, counts=record.counts[:4], home_utc=None), today, problem)
    words = ("stand", heath, visit.key.route, visit.key.number, "--today", today.isoformat())
    said = dimpsy(*words, "--because", "bulls on the lane")
    assert said.status == 0
    assert "stand (bulls on the lane): the visit is done." in said.out
    assert "4 of " in said.out
    quiet = dimpsy("check", heath, "--today", today.isoformat(), "--json").data["findings"]
    assert not [one for one in quiet if one["rule"].startswith("record")]
    assert dimpsy(*words, "--take-back", "--json").data["follows"] == "whole"
    loud = dimpsy("check", heath, "--today", today.isoformat(), "--json").data["findings"]
    assert "record.follows" in {one["rule"] for one in loud}


def test_that_a_visit_without_a_record_cannot_be_let_stand(heath: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("stand", heath, "R03", 1, "--because", "somebody said so")
    assert said.status == 3
    assert "There is no final record of R03 visit 1." in said.err
    for route, visit, words in (
        ("R99", 1, "no route 'R99' in this season; there are R01, "),
        ("R03", 9, "route R03 has no visit 9: there are 2"),
    ):
        said = dimpsy("stand", heath, route, visit, "--because", "somebody said so")
        assert said.status == 2
        assert words in said.err
    assert dimpsy("stand", heath, "R03", 1).status == 2
    assert dimpsy("stand", heath, "R03", 1, "--because", " ").status == 2
