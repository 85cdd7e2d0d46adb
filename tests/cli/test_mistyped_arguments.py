"""What is typed by a slip: it is said and nothing is done, least of all to everything in place of something."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.cli.output import for_terminal
from planner.domain.errors import RuleError
from planner.domain.measures import Temperature
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

SLIPS = {
    "ask R01 1 --date 9999-12-31": "seasons lie in the years 1900 to 2099",
    "ask R01 1 --date 0001-01-01": "seasons lie in the years 1900 to 2099",
    "give R01 1 --date 9999-12-31": "seasons lie in the years 1900 to 2099",
    "today --now 0001-01-01T00:00": "seasons lie in the years 1900 to 2099",
    "checkin V01 left --now 0001-01-01T00:00": "seasons lie in the years 1900 to 2099",
    "today --grace 1e308": "at most 1440 minutes",
    "outing R01 1 --count-minutes 1e9": "at most 1440 minutes",
    "plan --seed -1": "a whole number of at least 0",
    "plan --seed 1.5": "a whole number of at least 0",
    "plan --routes=": "name at least one",
    "cancel --because weather --evening 2027-05-10 --choose 1 --routes=": "name at least one",
    "cancel --because weather --evening 2027-05-10 --choose 1 --area=": "write a name, found an empty one",
    "weather 2027-05-10 --rain none --routes=,": "name at least one",
    "weather 2027-05-10 --forget --routes=": "name at least one",
    "weather 2027-05-10 --air-temperature=-400C": "between -90 and 60 C",
}


@pytest.mark.parametrize(("typed", "said"), SLIPS.items(), ids=list(SLIPS))
def test_that_a_slip_is_refused_and_changes_nothing(
    few_routes_made: Path, dimpsy: Dimpsy, typed: str, said: str
) -> None:
    before = few_routes_made.read_bytes()
    command, *rest = typed.split()
    answer = dimpsy(command, few_routes_made, *rest)
    assert answer.status == 2
    assert said in answer.err
    assert few_routes_made.read_bytes() == before


@pytest.mark.parametrize("text", ["-91 C", "61 C", "150 F", "-300 F"])
def test_that_no_temperature_is_read_that_never_was(text: str) -> None:
    with pytest.raises(RuleError, match="a temperature lies between"):
        Temperature.measured(text)
    assert Temperature.measured("-40 F").base == pytest.approx(-40.0)


def test_that_capitals_do_not_matter_to_what_breaks(few_routes_made: Path, dimpsy: Dimpsy) -> None:
    partly = ("--because", "partly", "--points", 99, "--today", "2027-07-01")
    assert "R01 visit 1 has 10 points" in dimpsy("cancel", few_routes_made, "r01", 1, *partly).err


def test_that_names_of_files_give_no_orders_to_the_terminal(few_routes_made: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("import", few_routes_made, "no\x1b[2J\x9bsuch.csv")
    assert "no\\x1b[2J\\x9bsuch.csv" in said.err
    assert dimpsy("import", few_routes_made, "no\x1b[2Jsuch.csv", "--json").data["error"] == "input"


def test_that_lines_keep_their_tabs_and_ends_alone() -> None:
    assert for_terminal("a\tb\nc\r\x00é\u202e") == "a\tb\nc\\x0d\\x00é\u202e"


def test_that_areas_go_out_and_come_in_again_with_what_is_written_beside_the_points(
    few_routes: Path, dimpsy: Dimpsy
) -> None:
    for code, area in (("R01", "a, b; =c"), ("R02", "=cmd|calc"), ("R04", "x" * 1_000)):
        assert dimpsy("route", few_routes, code, "--area", area).status == 0
    assert dimpsy("export", few_routes, "--to", few_routes.parent / "out", "--format", "geojson").status == 0
    for code in ("R01", "R02", "R04"):
        assert dimpsy("route", few_routes, code, "--area", "").status == 0
    assert dimpsy("import", few_routes, few_routes.parent / "out" / "heath.geojson", "--yes").status == 0
    with SeasonFile.open(few_routes) as file:
        areas = {route.code: route.area for route in file.season().routes}
    assert (areas["R01"], areas["R02"], areas["R04"]) == ("a, b; =c", "=cmd|calc", "x" * 1_000)
    assert all(areas.values()), "those that nobody touched are still there"
