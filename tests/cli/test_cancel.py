"""``dimpsy cancel``: the ways are told and nothing changes; one is accepted; what cannot be is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.plan import PlannedVisit
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

TODAY = ("--today", "2027-05-05")


def first_visit(path: Path) -> PlannedVisit:
    with SeasonFile.open(path) as file:
        return file.plan().visits[0]


def state(path: Path) -> tuple[object, ...]:
    with SeasonFile.open(path) as file:
        return file.season(), file.plan(), file.history()


def test_that_the_ways_are_numbered_told_in_words_and_nothing_changes(heath: Path, dimpsy: Dimpsy) -> None:
    before = state(heath)
    said = dimpsy("cancel", heath, "R03", "2", "--because", "weather", *TODAY)
    assert said.status == 1
    assert "\n1. The same people go, no other visit moves.\n" in said.out
    assert "\n2. " in said.out
    assert "Tightest gap: " in said.out
    assert "Driving: no change." in said.out
    assert "Fresh papers for: " in said.out
    assert "--choose N" in said.out
    assert state(heath) == before


def test_that_a_chosen_way_is_kept_names_the_papers_and_can_be_undone(heath: Path, dimpsy: Dimpsy) -> None:
    before, visit = state(heath), first_visit(heath)
    offered = dimpsy("cancel", heath, visit.key.route, visit.key.number, "--because", "weather", *TODAY, "--json")
    said = dimpsy("cancel", heath, visit.key.route, visit.key.number, "--because", "weather", *TODAY, "--choose", 1)
    assert said.status == 0
    assert visit.reserve is not None
    assert offered.data["ways"][0]["moves"][0]["after"]["date"] == visit.reserve.isoformat()
    for code in offered.data["ways"][0]["papers"]:
        assert f"--volunteer {code}" in said.out
    assert first_visit(heath).date == visit.reserve
    assert dimpsy("undo", heath).status == 0
    assert state(heath)[1] == before[1]


@pytest.mark.parametrize(
    "arguments",
    [
        ("--evening", "{date}", "--because", "weather"),
        ("--volunteer", "{lead}", "--from", "{date}", "--because", "leaves"),
        ("{route}", "--from", "{date}", "--to", "{date}", "--because", "road"),
        ("{route}", "{number}", "--points", "3", "--because", "partly", "--today", "{date}"),
    ],
)
def test_that_every_cause_has_its_ways_and_one_object(arguments: tuple[str, ...], heath: Path, dimpsy: Dimpsy) -> None:
    visit = first_visit(heath)
    facts = {"date": visit.date, "lead": visit.lead, "route": visit.key.route, "number": visit.key.number}
    asked = [word.format(**facts) for word in arguments]
    said = dimpsy("cancel", heath, *asked, *(() if "--today" in asked else TODAY), "--json")
    assert said.status == 1
    assert 1 <= len(said.data["ways"]) <= 3
    assert said.data["accepted"] is None
    for way in said.data["ways"]:
        assert way["full"]
        assert str(visit.key.route) in {move["key"]["route"] for move in way["moves"]}


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        (("R99", "1", "--because", "weather"), 2, "no route 'R99'"),
        (("R03", "7", "--because", "weather"), 2, "visits 1 to 2"),
        (("R03", "--because", "weather"), 2, "needs ROUTE and VISIT"),
        (("--because", "weather"), 2, "--evening DATE"),
        (("--because", "leaves", "--volunteer", "V07"), 2, "--volunteer CODE and --from DATE"),
        (("R03", "--because", "road", "--from", "2027-05-05"), 2, "--from DATE and --to DATE"),
        (("R03", "2", "--because", "partly"), 2, "--points N"),
        (("R03", "2", "--because", "hunger"), 2, "weather"),
        (("R03", "2"), 2, "--because"),
        (("R03", "2", "--because", "weather", "--points", "3"), 2, "does not go with --points"),
        (("R03", "2", "--because", "weather", "--choose", "0"), 2, "above 0"),
        (("R03", "2", "--because", "weather", "--choose", "9"), 2, "numbered 1 to 3"),
        (("--volunteer", "V99", "--from", "2027-05-05", "--because", "leaves"), 2, "no volunteer 'V99'"),
        (("R22", "2", "--because", "weather"), 3, "not planned"),
        (("R03", "2", "--because", "weather", "--today", "2027-07-01"), 3, "past"),
        (("--evening", "2027-05-04", "--because", "weather"), 3, "nothing to repair"),
        (("R03", "2", "--because", "partly", "--points", "3"), 3, "still to come"),
    ],
)
def test_that_what_cannot_be_is_said_and_nothing_changes(
    arguments: tuple[str, ...], status: int, words: str, heath: Path, dimpsy: Dimpsy
) -> None:
    before = state(heath)
    today = () if "--today" in arguments else ("--today", "2027-05-01")
    said = dimpsy("cancel", heath, *arguments, *today)
    assert (said.status, said.out) == (status, "")
    assert words in said.err
    assert state(heath) == before


def test_that_where_no_way_fills_everything_the_reasons_are_told_and_it_can_be_taken_out(
    heath: Path, dimpsy: Dimpsy
) -> None:
    visit = first_visit(heath)
    closed = (visit.key.route, "--from", "2027-05-03", "--to", "2027-07-02", "--because", "road", *TODAY)
    said = dimpsy("cancel", heath, *closed)
    assert said.status == 3
    assert f"{visit.key} would be unfilled" in said.err
    assert "--choose 1" in said.err
    taken = dimpsy("cancel", heath, *closed, "--choose", 1, "--json")
    assert taken.status == 1
    assert not taken.data["accepted"]["full"]
    with SeasonFile.open(heath) as file:
        assert not file.plan().of_route(visit.key.route)
