"""Each command by itself: what it says, its exit status, its JSON, and that bad input changes nothing."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from planner.shipped import demo_routes, resources
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy, PlannedAgain

pytestmark = pytest.mark.xdist_group("heath")

DATES = ("--from", "2027-05-03", "--to", "2027-07-02")
ZONE = ("--zone", "Europe/London")


@pytest.fixture
def season(tmp_path: Path, dimpsy: Dimpsy) -> Path:
    """Return a new, empty season under the demo protocol."""
    path = tmp_path / "new.dimpsy"
    assert dimpsy("new", path, "--protocol", "heath_nightjars", *DATES, *ZONE).status == 0
    return path


def _content(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_that_no_command_at_all_shows_what_there_is(dimpsy: Dimpsy) -> None:
    said = dimpsy()
    assert said.status == 0
    for command in ("demo", "new", "import", "check", "light", "plan", "print", "undo", "redo", "history"):
        assert f"\n    {command} " in said.out


@pytest.mark.parametrize("arguments", [("nonsense",), ("light", "--lat", "54"), ("plan",), ("new", "x.dimpsy")])
def test_that_wrong_usage_leaves_with_2_and_says_the_usage(arguments: tuple[str, ...], dimpsy: Dimpsy) -> None:
    said = dimpsy(*arguments)
    assert said.status == 2
    assert "usage: dimpsy" in said.err
    assert said.out == ""


def test_that_wrong_usage_with_json_still_prints_one_object(dimpsy: Dimpsy) -> None:
    assert dimpsy("plan", "--json").data["error"] == "input"


def test_that_a_new_season_takes_the_protocols_usual_dates(tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", "--protocol", "heath_nightjars", *DATES, *ZONE, "--json")
    assert said.data["visits"] == [
        {"first": "2027-05-10", "last": "2027-06-03"},
        {"first": "2027-06-04", "last": "2027-07-02"},
    ]


def test_that_a_visits_own_dates_win(tmp_path: Path, dimpsy: Dimpsy) -> None:
    own = ("--visit", "2=2027-06-10..2027-06-20")
    said = dimpsy("new", tmp_path / "a.dimpsy", "--protocol", "heath_nightjars", *DATES, *ZONE, *own, "--json")
    assert said.data["visits"][1] == {"first": "2027-06-10", "last": "2027-06-20"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--protocol", "heath_nightjars", *DATES), "IANA"),
        (("--protocol", "heath_nightjars", *DATES, "--zone", "Dogger/Bank"), "IANA"),
        (("--protocol", "heath_nightjar", *DATES, *ZONE), "heath_nightjars"),
        (("--protocol", "heath_nightjars", "--from", "2027-07-02", "--to", "2027-05-03", *ZONE), "reversed"),
        (("--protocol", "heath_nightjars", "--from", "2027-01-02", "--to", "2027-02-03", *ZONE), "--visit 1"),
        (("--protocol", "heath_nightjars", *DATES, *ZONE, "--visit", "3=2027-06-10..2027-06-20"), "--visit 3"),
        (("--protocol", "heath_nightjars", *DATES, *ZONE, "--visit", "2=2027-06-10..2027-07-20"), "visit 2"),
        (("--protocol", "heath_nightjars", *DATES, *ZONE, "--visit", "two"), "K=FIRST..LAST"),
        (("--protocol", "heath_nightjars", "--from", "soon", "--to", "later", *ZONE), "YYYY-MM-DD"),
    ],
)
def test_that_a_season_that_cannot_be_is_refused_and_no_file_is_made(
    arguments: tuple[str, ...], words: str, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", *arguments)
    assert said.status == 2
    assert words in said.err
    assert list(tmp_path.iterdir()) == []


def test_that_the_zone_is_found_by_a_place_and_the_coordinator_overrules_it(tmp_path: Path, dimpsy: Dimpsy) -> None:
    found = dimpsy("new", tmp_path / "a.dimpsy", "--protocol", "heath_nightjars", *DATES, "--at", "51.5,-0.12")
    assert found.status == 0
    assert "Europe/London" in found.out
    assert "look at it where a border is near" in found.out
    other = ("--at=51.5,-0.12", "--zone", "Europe/Paris")
    overruled = dimpsy("new", tmp_path / "b.dimpsy", "--protocol", "heath_nightjars", *DATES, *other)
    assert "Europe/Paris was taken as you said, though the map of time zones says Europe/London." in overruled.out


@pytest.mark.parametrize(("at", "words"), [("0,-30", "lies at sea"), ("51", "a latitude and a longitude")])
def test_that_a_place_without_a_zone_makes_no_season(tmp_path: Path, dimpsy: Dimpsy, at: str, words: str) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", "--protocol", "heath_nightjars", *DATES, f"--at={at}")
    assert said.status == 2
    assert words in said.err
    assert list(tmp_path.iterdir()) == []


def test_that_an_import_says_what_each_file_was_taken_for(season: Path, dimpsy: Dimpsy) -> None:
    heath = demo_routes() / "heath"
    said = dimpsy(
        "import",
        season,
        "--yes",
        heath / "routes",
        heath / "points.csv",
        heath / "routes.csv",
        heath / "volunteers.csv",
    )
    assert said.status == 0
    assert "points.csv: points of routes" in said.out
    assert "Routes: 24 new" in said.out
    assert "Volunteers: 34 new" in said.out


def test_that_importing_the_same_again_changes_nothing(season: Path, dimpsy: Dimpsy) -> None:
    volunteers = demo_routes() / "heath" / "volunteers.csv"
    assert dimpsy("import", season, "--yes", volunteers, "--json").data["changed"] is True
    assert dimpsy("import", season, "--yes", volunteers, "--json").data["changed"] is False
    assert len(dimpsy("history", season, "--json").data["steps"]) == 1


def test_that_one_faulty_file_stops_the_whole_import_and_every_fault_is_told(
    season: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    (tmp_path / "bad.csv").write_text(
        "route,point,latitude,longitude\nR01,1,95,2.2\nR01,two,54.7,2.2\n", encoding="utf-8"
    )
    (tmp_path / "dates.csv").write_text(
        "volunteer,from,to,weekdays,parts\nV01,2027-06-30,2027-05-01,,dusk\n", encoding="utf-8"
    )
    before = _content(season)
    volunteers = demo_routes() / "heath" / "volunteers.csv"
    said = dimpsy("import", season, "--yes", volunteers, tmp_path / "bad.csv", tmp_path / "dates.csv")
    assert said.status == 2
    for words in ("bad.csv, line 2", "bad.csv, line 3", "dates.csv, line 2"):
        assert words in said.err
    assert _content(season) == before


def test_that_a_protocol_is_not_imported_into_a_season(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    shutil.copy(resources() / "protocols" / "heath_nightjars.toml", tmp_path / "p.toml")
    said = dimpsy("import", season, "--yes", tmp_path / "p.toml")
    assert said.status == 2
    assert "dimpsy new" in said.err


def test_that_two_road_maps_or_an_empty_folder_are_refused(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    roads = demo_routes() / "heath" / "roads.osm"
    assert dimpsy("import", season, "--yes", roads, demo_routes() / "reedhaven" / "roads.osm").status == 2
    (tmp_path / "empty").mkdir()
    assert "a folder with files to import" in dimpsy("import", season, "--yes", tmp_path / "empty").err


@pytest.mark.parametrize("command", ["check", "plan", "undo", "redo", "history"])
def test_that_a_file_that_is_no_season_is_said_without_a_traceback(
    command: str, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    (tmp_path / "no.dimpsy").write_bytes(b"\x00\x01" * 600)
    for path in (tmp_path / "no.dimpsy", tmp_path / "missing.dimpsy", tmp_path):
        said = dimpsy(command, path)
        assert said.status == 2
        assert said.err.startswith("dimpsy: ")


def test_that_planning_an_empty_season_is_impossible_and_says_why(season: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("plan", season, "--json")
    assert said.status == 3
    assert "no routes and no volunteers" in said.data["message"]


def test_that_printing_before_planning_is_impossible_and_says_why(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("print", season, "--to", tmp_path / "papers")
    assert said.status == 3
    assert "dimpsy plan" in said.err


def test_that_planning_again_keeps_a_plan_that_is_best_already(planned_again: PlannedAgain) -> None:
    said = planned_again.said
    assert said.status == 1
    assert said.data["filled"] == 45
    assert planned_again.steps_after == planned_again.steps_before + said.data["saved"]


def test_that_an_unfilled_visit_is_explained_with_what_would_help(planned_again: PlannedAgain) -> None:
    unfilled = {(item["key"]["route"], item["key"]["number"]): item for item in planned_again.said.data["unfilled"]}
    assert set(unfilled) == {("R17", 1), ("R17", 2), ("R22", 2)}
    assert all(item["reasons"] for item in unfilled.values())
    assert unfilled["R22", 2]["relaxations"]


def test_that_one_volunteer_is_printed_alone_by_code_or_name(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file:
        code = file.plan().visits[0].lead
        name = file.season().volunteer(code).name
    for wanted in (code, name):
        said = dimpsy("print", heath, "--to", tmp_path / "papers", "--volunteer", wanted, "--paper", "letter", "--json")
        assert [one["volunteer"] for one in said.data["printed"]] == [code]


def test_that_an_unknown_or_idle_volunteer_is_not_printed(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    assert "V01" in dimpsy("print", heath, "--to", tmp_path / "papers", "--volunteer", "V99").err
    assert "no outing" in dimpsy("print", heath, "--to", tmp_path / "papers", "--volunteer", "V29").err


def test_that_undo_leads_back_to_the_empty_season_and_redo_to_the_end(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath) as file:
        season, plan = file.season(), file.plan()
    while dimpsy("undo", heath).status == 0:
        pass
    with SeasonFile.open(heath) as file:
        assert file.season().routes == ()
        assert len(file.plan()) == 0
    assert dimpsy("undo", heath).status == 3
    while dimpsy("redo", heath).status == 0:
        pass
    with SeasonFile.open(heath) as file:
        assert (file.season(), file.plan()) == (season, plan)
    assert dimpsy("redo", heath).status == 3


def test_that_history_lists_each_step_in_words(heath: Path, dimpsy: Dimpsy) -> None:
    lines = dimpsy("history", heath).out.splitlines()
    assert "Import" in lines[0]
    assert "Plan the season: 45 of 48 visits filled" in lines[1]


def test_that_a_season_open_elsewhere_is_not_changed_and_the_user_is_told(heath: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(heath):
        said = dimpsy("undo", heath)
        assert said.status == 2
        assert "Nothing was changed" in said.err
        assert dimpsy("check", heath).status == 1


def test_that_without_the_road_file_beside_it_a_season_is_estimated_and_says_so(heath: Path, dimpsy: Dimpsy) -> None:
    for path in heath.parent.glob("heath.roads-*"):
        path.unlink()
    said = {finding["rule"]: finding["what"] for finding in dimpsy("check", heath, "--json").data["findings"]}
    assert "the truth may be 35 % less than the estimate, or 100 % and 3 minutes more" in said["roads.missing"]


def test_that_light_agrees_with_the_published_example_to_the_minute(dimpsy: Dimpsy) -> None:
    # USNO, Greenwich 51.5 N 0 E, 2017-01-01: sunrise 08:06, civil dawn 07:26, nautical dawn 06:43.
    said = dimpsy("light", "--lat", 51.5, "--lon", 0, "--zone", "Europe/London", "--date", "2017-01-01")
    row = said.out.splitlines()[2].split()
    assert row[2:5] == ["06:43", "07:26", "08:06"]
    assert said.status == 0


def test_that_light_says_why_a_date_has_no_window(dimpsy: Dimpsy) -> None:
    place = ("--lat", 54.7, "--lon", 2.2, *ZONE, "--date", "2027-06-21", "--protocol", "heath_nightjars")
    assert "window 'dusk': none" in dimpsy("light", *place).out
    window = dimpsy("light", *place, "--json").data["days"][0]["windows"][0]
    assert window["exists"] is False
    assert "nautical dusk" in window["reason"]


def test_that_light_shows_both_skies_where_the_protocol_asks(dimpsy: Dimpsy) -> None:
    place = ("--lat", 45, "--lon", -75, "--zone", "America/Toronto", "--date", "2027-04-20")
    said = dimpsy("light", *place, "--protocol", "woodcock_singing_ground", "--days", 2)
    assert said.out.count("under an overcast sky") == 2


@pytest.mark.parametrize(
    ("lat", "zone", "days"),
    [("95", "Europe/London", "1"), ("54", "Nowhere/None", "1"), ("54", "UTC", "0"), ("54", "UTC", "x")],
)
def test_that_light_refuses_what_cannot_be(lat: str, zone: str, days: str, dimpsy: Dimpsy) -> None:
    said = dimpsy("light", "--lat", lat, "--lon", 2, "--zone", zone, "--date", "2027-06-01", "--days", days)
    assert said.status == 2


def test_that_the_coordinator_can_be_changed_later_and_undone(heath: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("coordinator", heath, "--telephone", "07700 900777")
    assert said.out == "Coordinator: Isolde Marchbanks, 07700 900777, isolde.marchbanks@example.org.\n"
    dimpsy("undo", heath)
    assert dimpsy("coordinator", heath, "--json").data["coordinator"]["telephone"] == "07700 900001"


def test_that_visits_without_dates_in_the_protocol_are_told(tmp_path: Path, dimpsy: Dimpsy) -> None:
    wish = ("--protocol", "frogs_three_periods", *DATES, *ZONE)
    assert "--visit 2=FIRST..LAST narrows it" in dimpsy("new", tmp_path / "a.dimpsy", *wish).out
