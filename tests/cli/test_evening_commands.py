"""``dimpsy today``, ``weather`` and ``checkin``: who is out, go or no-go, whom to ring, and what they said."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.check_in import Stage
from planner.domain.plan import PlannedVisit
from planner.domain.protocol import Figure, Mark
from planner.store import SeasonFile
from planner.usecases.evening.outings import EveningOuting
from planner.usecases.evening.tonight import timetables
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")


@pytest.fixture(scope="module")
def outing(few_routes_made: Path) -> EveningOuting:
    """A visit of two people on the date with most visits, the first of them to leave."""
    with SeasonFile.open(few_routes_made) as file:
        dates = [visit.date for visit in file.plan()]
        busiest = max(sorted(set(dates)), key=dates.count)
        outings = timetables(file, {busiest}, busiest)[busiest]
    return next(one for one in outings if one.counts and len(one.people) == 2)


def at(date: dt.date, clock: str, later_days: int = 0) -> tuple[str, str]:
    return "--now", f"{date + dt.timedelta(days=later_days)}T{clock}"


def visits(path: Path) -> tuple[PlannedVisit, ...]:
    with SeasonFile.open(path) as file:
        return file.plan().visits


def test_that_today_tells_everybody_of_the_evening_with_times_and_number(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    before = visits(few_routes)
    said = dimpsy("today", few_routes, "--date", outing.date, *at(outing.date, "12:00"))
    assert said.status == 0
    out = [visit for visit in before if outing.date in (visit.date, visit.setup)]
    for visit in out:
        for code in visit.people if visit.date == outing.date else (visit.lead,):
            assert f"    {code} " in said.out
    for goer in outing.people:
        assert goer.leave_utc is not None
        leave = goer.leave_utc + dt.timedelta(hours=1)  # British Summer Time
        assert f"{goer.code} {goer.name}, {goer.telephone}: leaves {leave:%H:%M}, due back " in said.out
    assert "WAIT  " in said.out
    assert "wind is not known" in said.out
    assert "OVERDUE" not in said.out
    assert visits(few_routes) == before


def test_that_whoever_is_not_home_comes_first_longest_overdue_first_and_is_safe_once_they_ring(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    late = at(outing.date, "03:00", 1)
    said = dimpsy("today", few_routes, *late, "--json")
    assert said.status == 1
    overdue = said.data["overdue"]
    assert [one["due_utc"] for one in overdue] == sorted(one["due_utc"] for one in overdue)
    assert said.data["due"] == len(overdue)
    words = dimpsy("today", few_routes, *late)
    assert words.out.startswith(f"OVERDUE  {overdue[0]['volunteer']} {overdue[0]['name']} was due back ")
    assert f"Ring {overdue[0]['telephone']}; nothing was heard of them." in words.out
    lead, second = outing.people
    home = dimpsy("checkin", few_routes, lead.name.upper(), "home", "--all", "--time", "23:10", *late, "--json")
    assert (home.status, home.data["early"]) == (0, None)
    assert {one["volunteer"] for one in home.data["check_ins"]} == {lead.code, second.code}
    assert {one["when_utc"] for one in home.data["check_ins"]} == {f"{outing.date}T22:10:00+00:00"}
    left = {one["volunteer"] for one in dimpsy("today", few_routes, *late, "--json").data["overdue"]}
    assert left == {one["volunteer"] for one in overdue} - {lead.code, second.code}
    assert dimpsy("today", few_routes, *late, "--grace", 0).status == 1


def test_that_grace_decides_who_is_overdue(few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy) -> None:
    due = outing.people[0].due_utc
    assert due is not None
    now = "--now", f"{due + dt.timedelta(hours=1, minutes=10):%Y-%m-%dT%H:%M}"  # ten minutes late, in local time

    def overdue(grace: int) -> set[str]:
        said = dimpsy("today", few_routes, *now, "--grace", grace, "--json")
        return {one["volunteer"] for one in said.data["overdue"]}

    assert outing.people[0].code in overdue(0)
    assert outing.people[0].code not in overdue(30)


def test_that_each_stage_is_written_down_told_and_can_be_taken_back(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    who = outing.people[0].code
    now = at(outing.date, "19:30")
    left = dimpsy("checkin", few_routes, who, "left", *now)
    assert left.status == 0
    assert f"For {outing.title} of " in left.out
    assert "Due back: " in left.out
    again = dimpsy("checkin", few_routes, who, "left", "--all", *now)
    assert again.status == 0
    assert dimpsy("checkin", few_routes, who, "left", "--all", *now).out.startswith("It is written down already.")
    assert dimpsy("checkin", few_routes, who, "arrived", *now).status == 0
    with SeasonFile.open(few_routes) as file:
        heard = {(one.volunteer, one.stage) for one in file.check_ins()}
    assert heard == {(who, Stage.LEFT), (outing.people[1].code, Stage.LEFT), (who, Stage.ARRIVED)}
    back = dimpsy("checkin", few_routes, who, "arrived", "--take-back", *now, "--json")
    assert back.status == 0
    with SeasonFile.open(few_routes) as file:
        assert {one.stage for one in file.check_ins()} == {Stage.LEFT}


def test_that_a_check_in_before_its_time_is_written_down_and_asked_about(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    who = outing.people[0].code
    said = dimpsy("checkin", few_routes, who, "home", "--date", outing.date, *at(outing.date, "12:00", -3))
    assert said.status == 1
    assert "The evening has not come yet" in said.out
    assert "dimpsy undo" in said.out


def test_that_who_left_before_the_evening_was_cancelled_is_told_and_believed_to_be_home(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    who, now = outing.people[0].code, at(outing.date, "19:30")
    assert dimpsy("checkin", few_routes, who, "left", *now).status == 0
    cancel = ("cancel", few_routes, outing.key.route, outing.key.number, "--because", "weather", "--today", outing.date)
    assert dimpsy(*cancel, "--choose", 1).status == 0
    astray = dimpsy("today", few_routes, *now)
    assert astray.status == 1
    assert astray.out.startswith(f"OUT      {who} {outing.people[0].name} left for {outing.key.route} ")
    home = dimpsy("checkin", few_routes, who, "home", "--time", "20:15", *now)
    assert home.status == 0
    assert "which is off the plan now" in home.out
    assert "OUT  " not in dimpsy("today", few_routes, *now).out
    assert dimpsy("undo", few_routes).status == 0
    assert (
        dimpsy("checkin", few_routes, who, "home", *now, "--json")
        .data["check_ins"][0]["when_utc"]
        .endswith("18:30:00+00:00")
    )


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        (("V99", "home"), 2, "no volunteer 'V99'"),
        (("Nobody Here", "home"), 2, "no volunteer 'Nobody Here'"),
        (("V01", "asleep"), 2, "invalid choice"),
        (("V01", "home", "--time", "25:00"), 2, "a time that the clock shows"),
        (("V01", "home", "--time", "nine"), 2, "HH:MM"),
        (("V01", "home", "--take-back", "--all"), 2, "does not go with"),
        (("V01", "home", "--take-back", "--date", "2027-05-10"), 2, "nothing to take back"),
        (("V01", "home"), 3, "no outing today or yesterday"),
        (("V29", "home", "--date", "2027-05-10"), 3, "In the plan: none"),
    ],
)
def test_that_a_call_that_cannot_be_understood_is_refused_and_nothing_is_written(
    arguments: tuple[str, ...], status: int, words: str, few_routes: Path, dimpsy: Dimpsy
) -> None:
    said = dimpsy("checkin", few_routes, *arguments, "--now", "2027-05-05T12:00")
    assert (said.status, said.out) == (status, "")
    assert words in said.err
    with SeasonFile.open(few_routes) as file:
        assert not file.check_ins()


def test_that_weather_is_written_down_judged_by_the_protocol_and_cancels_what_it_bars(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    date, now, route = outing.date, at(outing.date, "12:00", -1), outing.key.route
    assert "wind is not known" in dimpsy("weather", few_routes, date, *now).out
    fine = dimpsy(
        "weather",
        few_routes,
        date,
        "--wind",
        "5 km/h",
        "--rain",
        "none",
        "--fog",
        "no",
        "--air-temperature",
        "12 C",
        *now,
    )
    assert fine.status == 0
    assert fine.out.splitlines()[1].startswith("GO: ")
    storm = dimpsy("weather", few_routes, date, "--wind", "30 mph", "--routes", route, *now)
    assert storm.status == 1
    assert f"NO-GO: {route}\n" in storm.out
    assert "wind is 30 mph, past the limit" in storm.out
    assert f"--evening {date} --no-go" in storm.out
    today = dimpsy("today", few_routes, "--date", date, *now)
    assert today.status == 1
    assert f"{route} stands against the weather" in today.out
    cancel = ("cancel", few_routes, "--evening", date, "--no-go", "--because", "weather", "--today", date)
    offered = dimpsy(*cancel, "--json").data
    assert offered["disruption"] == f"weather cancels {outing.key}"
    assert dimpsy("weather", few_routes, date, "--forget", "--routes", route, *now).status == 0
    nothing = dimpsy(*cancel)
    assert nothing.status == 3
    assert "stands against the weather" in nothing.err


def test_that_limits_that_nobody_verified_are_not_relied_on(
    few_routes: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    asked = ("weather", few_routes, outing.date, *at(outing.date, "12:00", -1))
    assert "from memory" not in dimpsy(*asked).out
    with SeasonFile.open(few_routes) as file, file.step("Nobody has looked it up"):
        season = file.season()
        others = [one for one in season.protocol.figures if not one.key.startswith("weather")]
        figures = (*others, Figure("weather", Mark.MEMORY, "a book"))
        file.save_season(replace(season, protocol=replace(season.protocol, figures=figures)))
    assert "Some of the protocol's limits are from memory" in dimpsy(*asked).out


def test_that_every_figure_that_cannot_be_read_is_told_at_once(few_routes: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("weather", few_routes, "2027-05-10", "--wind", "strong", "--rain", "12", "--cloud", "140 %", "--json")
    assert said.status == 2
    assert [fault["source"] for fault in said.data["faults"]] == ["wind", "rain", "cloud"]
    with SeasonFile.open(few_routes) as file:
        assert not file.conditions()


def test_that_an_evening_on_which_nobody_is_out_says_so_and_names_the_next(few_routes: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("today", few_routes, "--date", "2027-07-02", "--now", "2027-05-01T10:00")
    assert "Nobody is out." in said.out
    assert "Before:  dimpsy today" in said.out
    assert "No visit is on Fri 2 Jul" in dimpsy("weather", few_routes, "2027-07-02").out
    first = dimpsy("today", few_routes, "--now", "2027-04-01T10:00", "--json").data
    assert (
        first["date"]
        == min(date for visit in visits(few_routes) for date in (visit.date, visit.setup) if date).isoformat()
    )


def test_that_some_visits_of_an_evening_are_cancelled_by_routes_or_by_area(few_routes: Path, dimpsy: Dimpsy) -> None:
    plan = visits(few_routes)
    dates = [visit.date for visit in plan]
    date = max(sorted(set(dates)), key=dates.count)
    two = [visit.key for visit in plan if visit.date == date][:2]
    evening = ("cancel", few_routes, "--evening", date, "--because", "weather", "--today", date)
    said = dimpsy(*evening, "--routes", f"{two[0].route}, {two[1].route}", "--json")
    assert said.status == 1
    assert said.data["disruption"] == f"weather cancels {two[0]} and {two[1]}"
    broken = [(key["route"], key["number"]) for key in said.data["ways"][0]["broken"]]
    assert broken == [(key.route, key.number) for key in two]
    with SeasonFile.open(few_routes) as file:
        area = file.season().route(two[0].route).area
        inside = [
            visit.key for visit in plan if visit.date == date and file.season().route(visit.key.route).area == area
        ]
    by_area = dimpsy(*evening, "--area", area.upper(), "--json").data
    assert by_area["disruption"] == f"weather cancels {' and '.join(map(str, inside))}"
    for wrong, status, words in (
        (("--routes", "R99"), 2, "no route 'R99'"),
        (("--area", "Nowhere"), 2, "no route lies in area 'Nowhere'"),
        (("--area", "Nowhere", "--no-go"), 2, "one of --routes, --area and --no-go"),
        (("--routes", "R17"), 3, "None of these routes has a visit on"),
        (("--points", "3"), 2, "does not go with --points"),
    ):
        refused = dimpsy(*evening, *wrong)
        assert (refused.status, refused.out) == (status, "")
        assert words in refused.err


def test_that_nobody_is_safe_home_at_a_time_that_has_not_come_yet(
    few_routes_made: Path, outing: EveningOuting, dimpsy: Dimpsy
) -> None:
    before = few_routes_made.read_bytes()
    call = ("checkin", few_routes_made, outing.people[0].code, "home", "--date", outing.date)
    said = dimpsy(*call, "--time", "23:59", *at(outing.date, "20:30"))
    assert said.status == 3
    assert "Nobody is safe home at a time that has not come yet" in said.err
    assert few_routes_made.read_bytes() == before
