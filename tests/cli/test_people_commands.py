"""``dimpsy people``, ``person`` and ``dates``: who goes out, entered and changed by telephone."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")


def people_of(path: Path) -> dict[str, Volunteer]:
    with SeasonFile.open(path) as file:
        return {one.code: one for one in file.season().volunteers}


def steps_of(path: Path) -> int:
    with SeasonFile.open(path) as file:
        return sum(not step.undone for step in file.history())


def test_that_everybody_is_listed_with_number_and_load(few_routes: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("people", few_routes)
    people = people_of(few_routes)
    assert len(said.out.splitlines()) == len(people)
    for line, person in zip(said.out.splitlines(), people.values(), strict=True):
        assert line.startswith(f"{person.code} ")
        assert f"  {person.telephone} " in line
    told = {one["volunteer"]: one["load"]["planned"] for one in dimpsy("people", few_routes, "--json").data["people"]}
    with SeasonFile.open(few_routes) as file:
        assert told == {code: len(file.plan().of_volunteer(code)) for code in people}


def test_that_a_season_without_people_says_how_to_enter_some(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = tmp_path / "bare.dimpsy"
    new = ("--protocol", "heath_nightjars", "--from", "2027-05-03", "--to", "2027-07-02", "--zone", "Europe/London")
    assert dimpsy("new", path, *new).status == 0
    assert "dimpsy person FILE --new" in dimpsy("people", path).out
    assert "dimpsy layout" in dimpsy("route", path).out
    assert "0 visits." in dimpsy("board", path).out
    first = dimpsy("person", path, "--new", "--name", "Ivo Marl", "--home", "54.8,2.1", "--json")
    assert (first.status, first.data["volunteer"]["code"]) == (0, "V01")


def test_that_somebody_is_shown_and_several_fields_change_in_one_step(few_routes: Path, dimpsy: Dimpsy) -> None:
    before, steps = people_of(few_routes)["V07"], steps_of(few_routes)
    shown = dimpsy("person", few_routes, before.name)
    assert shown.status == 0
    assert before.telephone in shown.out
    assert f"{before.drive_limit_minutes:g} minutes one way" in shown.out
    assert steps_of(few_routes) == steps
    said = dimpsy("person", few_routes, "v07", "--telephone", "07700 900123", "--drive-limit", "55")
    assert said.status == 0
    assert said.out.startswith("V07: telephone and drive limit.\n")
    after = people_of(few_routes)["V07"]
    assert (after.telephone, after.drive_limit_minutes) == ("07700 900123", 55.0)
    assert after.availability == before.availability
    assert steps_of(few_routes) == steps + 1


def test_that_somebody_new_gets_a_free_code_and_every_fault_is_told_at_once(few_routes: Path, dimpsy: Dimpsy) -> None:
    wrong = dimpsy("person", few_routes, "--new", "--home", "somewhere", "--drive-limit", "far", "--json")
    assert wrong.status == 2
    assert {fault["where"] for fault in wrong.data["faults"]} == {"name", "home", "drive_limit"}
    new = dimpsy("person", few_routes, "--new", "--name", "Ivo Marl", "--home", "54.8,2.1", "--vehicle", "4x4")
    assert new.status == 0
    assert people_of(few_routes)["V35"].name == "Ivo Marl"


def test_that_taking_somebody_out_is_told_first_and_done_with_yes(few_routes: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(few_routes) as file:
        visit = file.plan().visits[0]
    asked = dimpsy("person", few_routes, visit.lead, "--remove")
    assert asked.status == 1
    assert f"{visit.key}" in asked.out
    assert "--remove --yes" in asked.out
    assert visit.lead in people_of(few_routes)
    done = dimpsy("person", few_routes, visit.lead, "--remove", "--yes")
    assert done.status == 0
    assert visit.lead not in people_of(few_routes)
    assert dimpsy("undo", few_routes).status == 0
    assert visit.lead in people_of(few_routes)
    assert dimpsy("person", few_routes, "V29", "--remove").status == 0  # nothing is planned for them


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "or say --new"),
        (("V07", "--new"), "or say --new"),
        (("V07", "--remove", "--name", "Ivo"), "goes with WHO alone"),
        (("V07", "--yes"), "goes with --remove"),
        (("V07", "--code", "V08"), "a code that nobody has yet"),
        (("V99",), "no volunteer 'V99'"),
    ],
)
def test_that_a_wrong_use_of_person_is_refused(
    arguments: tuple[str, ...], words: str, few_routes: Path, dimpsy: Dimpsy
) -> None:
    before = people_of(few_routes)
    said = dimpsy("person", few_routes, *arguments)
    assert (said.status, said.out) == (2, "")
    assert words in said.err
    assert people_of(few_routes) == before


def test_that_two_of_one_name_are_told_apart_by_code(few_routes: Path, dimpsy: Dimpsy) -> None:
    name = people_of(few_routes)["V07"].name
    assert dimpsy("person", few_routes, "V08", "--name", name).status == 0
    said = dimpsy("person", few_routes, name)
    assert said.status == 2
    assert "(V07, V08)" in said.err


def test_that_dates_are_told_given_and_taken_back_by_weekday_and_part(few_routes: Path, dimpsy: Dimpsy) -> None:
    before = people_of(few_routes)["V29"]
    span = ("--from", "2027-05-10", "--to", "2027-05-30")
    taken = dimpsy("dates", few_routes, before.name, "--not", *span)
    assert taken.status == 0
    gone = people_of(few_routes)["V29"]
    assert not any(gone.parts_on(dt.date(2027, 5, 10) + dt.timedelta(days=n)) for n in range(21))
    assert gone.parts_on(dt.date(2027, 6, 1)) == before.parts_on(dt.date(2027, 6, 1))
    given = dimpsy("dates", few_routes, "V29", "--give", *span, "--on", "Tue,thursday", "--part", "evening", "--json")
    assert given.data["label"] == "V29 gives 6 evenings"
    dusk = [day for day in given.data["dates"]["dusk"] if "2027-05-10" <= day <= "2027-05-30"]
    assert dusk == [f"2027-05-{day}" for day in (11, 13, 18, 20, 25, 27)]
    one = dimpsy("dates", few_routes, "V29", "--not", "--from", "2027-05-13")
    assert "  not the evening of Thu 13 May" in one.out or "evening" in one.out
    assert PartOfDay.DUSK not in people_of(few_routes)["V29"].parts_on(dt.date(2027, 5, 13))
    again = dimpsy("dates", few_routes, "V29", "--not", "--from", "2027-05-13")
    assert again.out.startswith("Nothing is changed: ")


def test_that_what_is_planned_on_a_date_taken_back_is_told(few_routes: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(few_routes) as file:
        visit = file.plan().visits[0]
    shown = dimpsy("dates", few_routes, visit.lead)
    assert shown.status == 0
    assert f"  planned: {visit.date:%a} {visit.date.day} {visit.date:%b} visit, {visit.key}\n" in shown.out
    said = dimpsy("dates", few_routes, visit.lead, "--not", "--from", visit.date)
    assert said.status == 1
    assert "Planned on a date that they do not give: " in said.out
    assert "dimpsy ask " in said.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--give",), "need --from DATE"),
        (("--from", "2027-05-10"), "say --give or --not"),
        (("--give", "--not", "--from", "2027-05-10"), "not allowed with"),
        (("--give", "--from", "2027-05-10", "--to", "2027-05-01"), "reversed"),
        (("--give", "--from", "2027-05-10", "--on", "Someday"), "write weekdays as"),
        (("--give", "--from", "2027-05-10", "--part", "noon"), "invalid choice"),
    ],
)
def test_that_dates_that_cannot_be_read_are_refused(
    arguments: tuple[str, ...], words: str, few_routes: Path, dimpsy: Dimpsy
) -> None:
    before = people_of(few_routes)
    said = dimpsy("dates", few_routes, "V29", *arguments)
    assert (said.status, said.out) == (2, "")
    assert words in said.err
    assert people_of(few_routes) == before
