"""Names, areas and notes that somebody typed or pasted: on one line, without control characters; codes once each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.store import SeasonFile
from planner.usecases.naming import route_called, volunteer_called
from planner.usecases.routes.editing import RouteWish, add_point, add_route, change_point, change_route, set_area
from planner.usecases.season.form import note_on_season, rename_season
from tests.unit.usecases.edited_seasons import SEASON, season_file

PLACE = Place(50.6, -4.2)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SeasonFile]:
    """A season file; every test takes back what it does."""
    with season_file(tmp_path_factory.mktemp("typed")) as opened:
        yield opened


TYPED: dict[str, tuple[Callable[[SeasonFile, str], object], Callable[[SeasonFile], str]]] = {
    "the code of a new route": (add_route, lambda file: file.season().routes[-1].code),
    "the name of a new route": (
        lambda file, text: add_route(file, "R9", text),
        lambda file: file.season().route("R9").name,
    ),
    "the name of a route": (
        lambda file, text: change_route(file, "R1", replace(RouteWish.of(file.season().route("R1")), name=text)),
        lambda file: file.season().route("R1").name,
    ),
    "the area of a route": (
        lambda file, text: change_route(file, "R1", replace(RouteWish.of(file.season().route("R1")), area=text)),
        lambda file: file.season().route("R1").area,
    ),
    "the area of several": (
        lambda file, text: set_area(file, ["R1", "R2"], text),
        lambda file: file.season().route("R2").area,
    ),
    "the note on a new point": (
        lambda file, text: add_point(file, "R1", PLACE, note=text),
        lambda file: file.season().route("R1").points[-1].note,
    ),
    "the note on a point": (
        lambda file, text: change_point(file, "R1", 1, note=text),
        lambda file: file.season().route("R1").point(1).note,
    ),
    "the name of the season": (rename_season, lambda file: file.season().name),
}


@pytest.mark.parametrize("what", TYPED)
def test_that_a_text_stands_on_one_line_and_control_characters_are_refused(file: SeasonFile, what: str) -> None:
    put, read = TYPED[what]
    before = file.season()
    with pytest.raises(RuleError, match=r"no control characters are kept, found U\+001B"):
        put(file, "Fern\x1b[2J Lane")
    assert file.season() == before
    put(file, " Fern\n=cmd()\t Lane ")
    assert read(file) == "Fern =cmd() Lane"
    file.undo()
    assert file.season() == before


def test_that_notes_of_a_season_keep_their_lines_alone(file: SeasonFile) -> None:
    with pytest.raises(RuleError, match="the season's notes: no control characters"):
        note_on_season(file, "gate\x00code")
    note_on_season(file, "gate code\nin the blue folder\n")
    assert file.season().notes == "gate code\nin the blue folder"
    file.undo()


def test_that_no_two_routes_are_told_apart_by_capitals_alone(file: SeasonFile) -> None:
    with pytest.raises(RuleError, match="route 'R1' is there already"):
        add_route(file, "r1")
    wish = RouteWish.of(file.season().route("R2"))
    with pytest.raises(RuleError, match="route 'R1' is there already"):
        change_route(file, "R2", replace(wish, code="r1"))
    change_route(file, "R2", replace(wish, code="r2"))
    assert [route.code for route in file.season().routes] == ["R1", "r2"], "its own capitals may change"
    file.undo()


def test_that_codes_that_came_in_so_are_found_exactly_before_they_are_found_loosely() -> None:
    first, *others = SEASON.volunteers
    season = replace(
        SEASON,
        routes=(*SEASON.routes, Route("r1", "", ())),
        volunteers=(first, *others, replace(first, code=first.code.swapcase())),
    )
    assert [route_called(season, code).code for code in ("R1", "r1", "r2")] == ["R1", "r1", "R2"]
    assert volunteer_called(season, first.code).code == first.code
    assert volunteer_called(season, first.code.swapcase()).code == first.code.swapcase()
