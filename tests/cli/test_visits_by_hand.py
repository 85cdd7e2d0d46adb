"""``dimpsy board``, ``ask``, ``give``, ``settle``, ``offers`` and ``outing``: the plan by hand, as on the board."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.scheduling import audit
from planner.store import SeasonFile
from planner.usecases.plan.placing import problem_of
from tests.cli.conftest import FEW, Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

TODAY = ("--today", "2027-05-01")
UNFILLED = VisitKey("R22", 2)


def plan_of(path: Path) -> Plan:
    with SeasonFile.open(path) as file:
        return file.plan()


def steps_of(path: Path) -> tuple[str, ...]:
    with SeasonFile.open(path) as file:
        return tuple(step.label for step in file.history() if not step.undone)


def first_of(path: Path) -> PlannedVisit:
    return min(plan_of(path), key=lambda visit: (visit.date, visit.key))


def test_that_the_board_tells_every_visit_by_date_and_what_is_unfilled(few_routes: Path, dimpsy: Dimpsy) -> None:
    plan = plan_of(few_routes)
    said = dimpsy("board", few_routes)
    assert said.status == 1
    assert f"{len(plan)} visits.\n" in said.out
    unfilled = [
        VisitKey(code, number) for code in FEW for number in (1, 2) if VisitKey(code, number) not in plan.by_key
    ]
    assert f"Unfilled: {', '.join(map(str, unfilled))}.\n" in said.out
    told = dimpsy("board", few_routes, "--json").data["visits"]
    assert [one["date"] for one in told] == sorted(visit.date.isoformat() for visit in plan)


def test_that_the_board_can_be_cut_to_a_person_a_route_and_some_dates(few_routes: Path, dimpsy: Dimpsy) -> None:
    visit = first_of(few_routes)

    def told(*arguments: object) -> list[tuple[str, int]]:
        said = dimpsy("board", few_routes, *arguments, "--json").data["visits"]
        return [(one["key"]["route"], one["key"]["number"]) for one in said]

    def kept(plan: Plan, holds: Any) -> list[tuple[str, int]]:  # noqa: ANN401  a question about a visit
        visits = sorted(plan, key=lambda one: (one.date, one.key))
        return [(one.key.route, one.key.number) for one in visits if holds(one)]

    plan = plan_of(few_routes)
    assert told("--who", visit.lead) == kept(plan, lambda one: visit.lead in one.people)
    assert told("--route", visit.key.route) == kept(plan, lambda one: one.key.route == visit.key.route)
    assert told("--from", "2027-06-01") == kept(plan, lambda one: one.date >= dt.date(2027, 6, 1))
    assert told("--to", "2027-05-31") == kept(plan, lambda one: one.date < dt.date(2027, 6, 1))
    assert dimpsy("board", few_routes, "--route", "R99").status == 2


def test_that_who_could_go_comes_first_and_can_be_given_the_visit(few_routes: Path, dimpsy: Dimpsy) -> None:
    visit = next(one for one in plan_of(few_routes) if one.second)
    named = (few_routes, visit.key.route, visit.key.number)
    asked = dimpsy("ask", *named, "--as", "second", *TODAY, "--json").data
    allowed = [one["volunteer"] for one in asked["people"] if one["allowed"] and not one["still_broken"]]
    assert [one["volunteer"] for one in asked["people"]][: len(allowed)] == allowed
    other = next(code for code in allowed if code not in visit.people)
    words = dimpsy("ask", *named, "--as", "second", "--most", 2, *TODAY)
    assert "As second:" in words.out
    assert " more: --most " in words.out
    done = dimpsy("give", *named, "--second", other, *TODAY)
    assert done.status == 0
    assert plan_of(few_routes).by_key[visit.key].second == other
    assert f"Done: Give {visit.key} to {visit.lead} and {other}." in done.out
    assert "dimpsy undo" in done.out
    assert dimpsy("give", *named, "--second", other, *TODAY).out == "It stands so already.\n"


def test_that_a_visit_goes_to_another_date_with_set_up_and_reserve_and_the_plan_keeps_every_rule(
    few_routes: Path, dimpsy: Dimpsy
) -> None:
    visit = first_of(few_routes)
    assert visit.reserve is not None
    look = dimpsy("give", few_routes, visit.key.route, visit.key.number, "--date", visit.reserve, "--look", *TODAY)
    assert look.out.startswith("Nothing is changed. It would stand so:")
    assert look.status == 0
    assert plan_of(few_routes).by_key[visit.key] == visit
    done = dimpsy("give", few_routes, visit.key.route, visit.key.number, "--date", visit.reserve, *TODAY, "--json")
    assert done.status == 0
    assert done.data["allowed"]
    with SeasonFile.open(few_routes) as file:
        after = file.plan().by_key[visit.key]
        broken = [one for one in audit(problem_of(file), file.plan()) if one.severity == 0]
    assert (after.date, after.people) == (visit.reserve, visit.people)
    assert not broken
    bare = dimpsy("give", few_routes, visit.key.route, visit.key.number, "--no-reserve", *TODAY)
    assert "(set-up that day, no reserve)" in bare.out
    assert plan_of(few_routes).by_key[visit.key].reserve is None


def test_that_what_would_break_a_rule_is_refused_with_the_rules_and_only_looked_at_otherwise(
    few_routes: Path, dimpsy: Dimpsy
) -> None:
    visit, before = first_of(few_routes), plan_of(few_routes)
    wrong = (few_routes, visit.key.route, visit.key.number, "--lead", "V29", "--date", "2027-07-01", *TODAY)
    refused = dimpsy("give", *wrong)
    assert (refused.status, refused.out) == (3, "")
    assert "cannot stand so, and nothing was changed" in refused.err
    looked = dimpsy("give", *wrong, "--look")
    assert looked.status == 1
    rules = [
        line.strip().removeprefix("breaks a rule: ") for line in looked.out.splitlines() if "breaks a rule" in line
    ]
    assert rules
    assert all(rule in refused.err for rule in rules)
    assert plan_of(few_routes) == before


@pytest.mark.parametrize(
    ("command", "arguments", "status", "words"),
    [
        ("give", ("R99", "1", "--date", "2027-05-12"), 2, "no route 'R99'"),
        ("give", ("R04", "7", "--date", "2027-05-12"), 2, "visits 1 to 2"),
        ("give", ("R22", "2"), 2, "unfilled: name the date"),
        ("give", ("R04", "1", "--lead", "V99"), 2, "no volunteer 'V99'"),
        ("give", ("R04", "1", "--second", "V01", "--alone"), 2, "not allowed with"),
        ("give", ("R04", "1", "--reserve", "tomorrow"), 2, "YYYY-MM-DD"),
        ("give", ("R04", "1", "--date", "2027-05-12", "--today", "2027-05-30"), 3, "past"),
        ("ask", ("R22", "2"), 2, "unfilled: name the date"),
        ("settle", ("R04", "--confirm"), 2, "by route and number"),
        ("settle", ("R04", "one", "--confirm"), 2, "the number of its visit"),
        ("settle", ("R04", "1"), 2, "required"),
        ("settle", ("R22", "2", "--confirm"), 3, "is unfilled"),
        ("offers", ("R22",), 2, "ROUTE and VISIT"),
        ("offers", ("--choose", "1"), 2, "ROUTE and VISIT"),
        ("offers", ("R22", "2", "--choose", "99"), 3, "Nothing of number 99"),
        ("outing", ("R22", "2"), 3, "is unfilled"),
        ("outing", ("R04", "1", "--on", "setup"), 3, "no set-up day of its own"),
        ("outing", ("R04", "1", "--who", "V29"), 3, "does not go on this outing"),
    ],
)
def test_that_what_cannot_be_is_said_and_nothing_changes(
    command: str, arguments: tuple[str, ...], status: int, words: str, few_routes: Path, dimpsy: Dimpsy
) -> None:
    before = plan_of(few_routes)
    said = dimpsy(command, few_routes, *arguments, *(() if "--today" in arguments else TODAY))
    assert (said.status, said.out) == (status, "")
    assert words in said.err
    assert plan_of(few_routes) == before


def test_that_visits_are_confirmed_pinned_and_taken_out_several_as_one_step(few_routes: Path, dimpsy: Dimpsy) -> None:
    one, other = plan_of(few_routes).visits[:2]
    both = (one.key.route.lower(), one.key.number, other.key.route, other.key.number)
    before = steps_of(few_routes)

    def states() -> list[tuple[Status, bool]]:
        return [
            (plan_of(few_routes).by_key[key].status, plan_of(few_routes).by_key[key].pinned)
            for key in (one.key, other.key)
        ]

    assert dimpsy("settle", few_routes, *both, "--confirm", *TODAY).status == 0
    assert states() == [(Status.CONFIRMED, False)] * 2
    assert dimpsy("settle", few_routes, *both, "--confirm", *TODAY).out == "It stands so already.\n"
    assert len(steps_of(few_routes)) == len(before) + 1
    assert ", confirmed)" in dimpsy("board", few_routes, "--route", one.key.route).out
    refused = dimpsy("give", few_routes, one.key.route, one.key.number, "--no-reserve", *TODAY)
    assert refused.status == 3
    assert "confirmed" in refused.err
    assert "confirmed" in dimpsy("ask", few_routes, one.key.route, one.key.number, *TODAY).out
    assert dimpsy("settle", few_routes, *both, "--unconfirm", *TODAY).status == 0
    assert dimpsy("settle", few_routes, *both, "--pin", *TODAY).status == 0
    assert states() == [(Status.PLANNED, True)] * 2
    assert ", pinned)" in dimpsy("board", few_routes, "--route", one.key.route).out
    assert dimpsy("settle", few_routes, *both, "--take-out", *TODAY).status == 3
    assert dimpsy("settle", few_routes, *both, "--unpin", *TODAY).status == 0
    assert dimpsy("settle", few_routes, *both, "--take-out", *TODAY, "--json").data["changed"]
    assert not {one.key, other.key} & set(plan_of(few_routes).by_key)


def test_that_an_offer_made_true_fills_the_visit_and_can_be_undone(few_routes: Path, dimpsy: Dimpsy) -> None:
    key = UNFILLED
    every = dimpsy("offers", few_routes, *TODAY)
    assert every.status == 1
    assert f"{key} is unfilled:" in every.out
    before = plan_of(few_routes)
    one = dimpsy("offers", few_routes, key.route, key.number, *TODAY, "--json").data["lacking"]
    assert [(each["key"]["route"], each["key"]["number"]) for each in one] == [(key.route, key.number)]
    assert plan_of(few_routes) == before
    newcomer = next(n for n, each in enumerate(one[0]["relaxations"], start=1) if "joins" in each["what"])
    refused = dimpsy("offers", few_routes, key.route, key.number, "--choose", newcomer, *TODAY)
    assert refused.status == 3
    assert "Find somebody" in refused.err
    done = dimpsy("offers", few_routes, key.route, key.number, "--choose", 1, *TODAY)
    assert done.status == 0
    assert done.out.startswith(f"Done: {key} is filled: ")
    assert key in plan_of(few_routes).by_key
    told = dimpsy("offers", few_routes, key.route, key.number, *TODAY)
    assert "is unfilled" not in told.out
    assert dimpsy("undo", few_routes).status == 0
    assert plan_of(few_routes) == before


def test_that_a_visit_that_lacks_nothing_says_so(few_routes: Path, dimpsy: Dimpsy) -> None:
    visit = next(one for one in plan_of(few_routes) if one.reserve is not None)
    said = dimpsy("offers", few_routes, visit.key.route, visit.key.number, *TODAY)
    assert (said.status, said.out) == (0, "Nothing is lacking: it is filled, with a reserve date.\n")


def test_that_an_unfilled_visit_can_be_filled_on_a_date_that_somebody_gives(few_routes: Path, dimpsy: Dimpsy) -> None:
    visit = first_of(few_routes)
    named = (few_routes, visit.key.route, visit.key.number)
    assert dimpsy("settle", *named, "--take-out", *TODAY).status == 0
    asked = dimpsy("ask", *named, "--date", visit.date, *TODAY, "--json")
    assert asked.status == 0
    assert asked.data["people"][0]["allowed"]
    done = dimpsy("give", *named, "--date", visit.date, "--lead", asked.data["people"][0]["volunteer"], *TODAY)
    assert done.status == 0
    assert plan_of(few_routes).by_key[visit.key].date == visit.date


def test_that_an_outing_is_told_minute_by_minute_and_what_comes_too_late_where_they_leave_late(
    few_routes: Path, dimpsy: Dimpsy
) -> None:
    planned = dimpsy("outing", few_routes, "R04", 1)
    assert planned.status == 0
    lines = planned.out.splitlines()
    assert "leave home, drive to point " in lines[1]
    times = [line.split()[0] for line in lines[1:] if line.startswith(("  1", "  2"))]
    assert times == sorted(times)
    assert "min to spare" in planned.out
    with SeasonFile.open(few_routes) as file:
        points = len(file.season().route("R04").points)
    assert planned.out.count("  count point ") == points
    late = dimpsy("outing", few_routes, "r04", 1, "--leave", "19:45")
    assert late.status == 1
    assert late.out.splitlines()[1].startswith("  19:45  leave home")
    assert "TOO LATE" in late.out
    assert "These points do not fit: " in late.out
    second = dimpsy("outing", few_routes, "R04", 1, "--who", plan_of(few_routes).by_key[VisitKey("R04", 1)].second)
    assert second.out.splitlines()[1] != lines[1]
    short = dimpsy("outing", few_routes, "R04", 2, "--on", "reserve", "--count-minutes", 3, "--json")
    assert short.data["outing"]["occasion"] == "reserve date"
    assert len(short.data["runs"][0]["outing"]["order"]) == points
