"""``dimpsy route``, ``points`` and ``season``: what is surveyed and when, changed by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.lost_evenings import half_months_of
from planner.domain.route import Route
from planner.domain.season import Season
from planner.store import SeasonFile
from tests.cli.conftest import FEW, Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

TODAY = ("--today", "2027-05-01")


def season_of(path: Path) -> Season:
    with SeasonFile.open(path) as file:
        return file.season()


def route_of(path: Path, code: str) -> Route:
    return season_of(path).route(code)


def test_that_all_routes_are_listed_and_one_is_told_with_points_and_figures(few_routes: Path, dimpsy: Dimpsy) -> None:
    every = dimpsy("route", few_routes)
    assert every.status == 0
    assert [line.split()[0] for line in every.out.splitlines()] == list(FEW)
    one = dimpsy("route", few_routes, "R04", *TODAY)
    route = route_of(few_routes, "R04")
    assert one.status == 0
    assert one.out.startswith(f"{route.title}: {len(route.points)} points, ")
    for point in route.points:
        assert f"{point.place.latitude:.5f}, {point.place.longitude:.5f}" in one.out
    assert "  visit 1: margin " in one.out
    assert "Nothing to mend." in one.out


def test_that_what_a_route_asks_for_changes_in_one_step(few_routes: Path, dimpsy: Dimpsy) -> None:
    before = route_of(few_routes, "R09")
    change = ("--name", "Long Lane", "--area", "Wyke", "--people", "2", "--needs", "4x4; high clearance")
    said = dimpsy("route", few_routes, "R09", *change, "--lead", "v07", "--visit", "2=2027-06-10..2027-06-20", *TODAY)
    assert said.status in (0, 1)
    route = route_of(few_routes, "R09")
    assert (route.name, route.area, route.people, route.lead) == ("Long Lane", "Wyke", 2, "V07")
    assert route.needs == {"4x4", "high clearance"}
    assert [(number, str(dates)) for number, dates in route.visit_dates] == [(2, "2027-06-10 to 2027-06-20")]
    head = next(line for line in said.out.splitlines() if line.startswith("R09"))
    assert "area Wyke, two must go, needs 4x4, high clearance, lead V07, visit 2: 2027-06-10 to 2027-06-20" in head
    assert dimpsy("undo", few_routes).status == 0
    assert route_of(few_routes, "R09") == before
    open_again = dimpsy("route", few_routes, "R09", "--code", "R90", "--lead", "", *TODAY, "--json")
    assert open_again.data["route"]["code"] == "R90"
    nothing = dimpsy("route", few_routes, "R90", "--code", "R90", *TODAY, "--json")
    assert nothing.data["changed"] == []


def test_that_a_new_route_gets_points_that_are_moved_noted_turned_and_dropped(few_routes: Path, dimpsy: Dimpsy) -> None:
    new = dimpsy("route", few_routes, "--new", "--name", "Short Lane", *TODAY, "--json")
    code = new.data["route"]["code"]
    assert code == "R23"
    points = ("points", few_routes, code)
    assert dimpsy(*points, "--add", "54.80,2.10", "--note", "by the oak").status == 0
    assert dimpsy(*points, "--add", "54.81,2.11").status == 0
    assert dimpsy(*points, "--add", "54.79,2.09", "--after", 0).status == 0
    assert [one.place.latitude for one in route_of(few_routes, code).points] == [54.79, 54.80, 54.81]
    assert dimpsy(*points, "--move", 3, "--at", "54.82,2.12", "--note", "gate").status == 0
    assert (route_of(few_routes, code).points[2].place.latitude, route_of(few_routes, code).points[2].note) == (
        54.82,
        "gate",
    )
    assert dimpsy(*points, "--move", 3, "--earlier").status == 0
    assert [one.place.latitude for one in route_of(few_routes, code).points] == [54.79, 54.82, 54.80]
    assert dimpsy(*points, "--move", 2, "--later").status == 0
    assert dimpsy(*points, "--move", 3, "--number", 9).status == 0
    said = dimpsy(*points, "--drop", 1, 2)
    assert said.status == 0
    assert [one.number for one in route_of(few_routes, code).points] == [9]
    assert "dimpsy undo" in said.out


def test_that_a_point_off_its_road_is_found_offered_and_mended(few_routes: Path, dimpsy: Dimpsy) -> None:
    point = route_of(few_routes, "R04").points[4]
    beside = f"{point.place.latitude},{point.place.longitude - 0.01222}"  # off every road
    assert dimpsy("points", few_routes, "R04", "--move", point.number, "--at", beside).status == 0
    plain = dimpsy("route", few_routes, "R04", *TODAY)
    assert "from the nearest road" in plain.out
    assert "What could be done:  dimpsy route" in plain.out
    offered = dimpsy("route", few_routes, "R04", "--mend", *TODAY, "--json").data["offers"]
    number = next(one["number"] for one in offered if one["kind"] == "to_road")
    words = dimpsy("route", few_routes, "R04", "--mend", *TODAY)
    assert f"  {number}. move point {point.number} to the road: " in words.out
    assert "It ends finding " in words.out
    assert "To do one:  dimpsy route" in words.out
    assert f"{route_of(few_routes, 'R04').points[4].place}" != f"{point.place}"
    done = dimpsy("route", few_routes, "R04", "--mend", number, *TODAY)
    assert f"Done: Route R04: move point {point.number} to the road." in done.out
    assert "from the nearest road" not in done.out
    assert dimpsy("route", few_routes, "R04", "--mend", 99, *TODAY).status == 2


def test_that_a_route_is_dropped_after_it_was_told_what_goes_with_it(few_routes: Path, dimpsy: Dimpsy) -> None:
    asked = dimpsy("route", few_routes, "R04", "--drop")
    assert asked.status == 1
    assert "2 visits in the plan; they would go with it" in asked.out
    assert len(season_of(few_routes).routes) == len(FEW)
    assert dimpsy("route", few_routes, "R04", "--drop", "--yes").status == 0
    with SeasonFile.open(few_routes) as file:
        assert not file.plan().of_route("R04")
    assert dimpsy("route", few_routes, "R17", "--drop").status == 0


@pytest.mark.parametrize(
    ("command", "arguments", "words"),
    [
        ("route", ("--name", "Lane"), "name the route by its code"),
        ("route", ("--mend",), "name the route by its code"),
        ("route", ("R04", "--drop", "--name", "Lane"), "do not go with changes"),
        ("route", ("R04", "--yes"), "goes with --drop"),
        ("route", ("R04", "--people", "3"), "people is 1 or 2"),
        ("route", ("R04", "--lead", "V99"), "no volunteer 'V99'"),
        ("route", ("R04", "--new"), "R04"),
        ("points", ("R04", "--drop", "1", "--note", "gate"), "--drop does not go with --note"),
        ("points", ("R04", "--add", "54.8,2.1", "--at", "54.8,2.1"), "--add does not go with --at"),
        ("points", ("R04", "--move", "1"), "--move needs"),
        ("points", ("R04", "--move", "1", "--earlier", "--later"), "go alone"),
        ("points", ("R04", "--move", "1", "--earlier"), "is the first"),
        ("points", ("R04", "--move", "1", "--at", "here"), "found 'here'"),
        ("points", ("R99", "--drop", "1"), "no route 'R99'"),
        ("season", ("--no-weather", "--lost", "20"), "does not go with"),
        ("season", ("--lost", "120"), "percent from 0 to 100"),
        ("season", ("--lost", "often"), "percent from 0 to 100"),
        ("season", ("--lost", "early March=20"), "the season has the half-months"),
        ("season", ("--name", " "), "needs a name"),
        ("season", ("--to", "2027-04-01"), "reversed"),
        ("season", ("--visit", "7=2027-06-04..2027-06-05"), "visits 1 to 2"),
    ],
)
def test_that_a_wrong_wish_is_refused_and_nothing_changes(
    command: str, arguments: tuple[str, ...], words: str, few_routes: Path, dimpsy: Dimpsy
) -> None:
    before = season_of(few_routes)
    said = dimpsy(command, few_routes, *arguments)
    assert (said.status, said.out) == (2, "")
    assert words in said.err
    assert season_of(few_routes) == before


def test_that_the_season_is_shown_and_changed(few_routes: Path, dimpsy: Dimpsy) -> None:
    before = season_of(few_routes)
    shown = dimpsy("season", few_routes)
    assert shown.status == 0
    assert f"{before.name}, {before.protocol.name}, {before.dates}, {before.zone}\n" in shown.out
    assert f"  {len(FEW)} routes, {len(before.volunteers)} volunteers\n" in shown.out
    assert season_of(few_routes) == before
    visit = "2=2027-06-04..2027-07-08"
    said = dimpsy(
        "season", few_routes, "--name", "Heath", "--notes", "blue folder", "--to", "2027-07-10", "--visit", visit
    )
    assert said.status == 0
    after = season_of(few_routes)
    assert (after.name, after.notes, str(after.dates)) == ("Heath", "blue folder", "2027-05-03 to 2027-07-10")
    assert str(after.visits[1]) == "2027-06-04 to 2027-07-08"
    assert after.visits[0] == before.visits[0]
    assert "  Notes: blue folder\n" in said.out
    assert "Nothing to change: it is so already." in dimpsy("season", few_routes, "--name", "Heath").out


def test_that_lost_evenings_are_said_for_all_the_season_or_half_a_month(few_routes: Path, dimpsy: Dimpsy) -> None:
    assert dimpsy("season", few_routes, "--no-weather").status == 0
    assert "lost to weather" not in dimpsy("season", few_routes).out
    said = dimpsy("season", few_routes, "--lost", "25", "--lost", "Late May=40 %", "--persistence", "30")
    assert said.status == 0
    weather = season_of(few_routes).lost_evenings
    assert weather is not None
    numbers = list(half_months_of(season_of(few_routes).dates))
    assert [weather.chances[number] for number in numbers] == [0.25, 0.4, 0.25, 0.25, 0.25]
    assert weather.persistence == 0.3
    assert "  late May: 40 % of the evenings lost to weather\n" in said.out
    assert dimpsy("season", few_routes, "--lost", "early July=50").status == 0
    kept = season_of(few_routes).lost_evenings
    assert kept is not None
    assert (kept.chances[numbers[1]], kept.chances[numbers[-1]], kept.persistence) == (0.4, 0.5, 0.3)
