"""What is found by what is typed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from planner.desktop.room import RoomName
from planner.desktop.window.findables import Findable, dates_named, matching, of_season
from planner.domain.finding import Subject
from planner.domain.season import Season
from planner.store import SeasonFile


@pytest.fixture
def season(season_path: Path) -> Season:
    with SeasonFile.open(season_path) as file:
        return file.season()


@pytest.mark.parametrize("query", ["2027-06-04", "4 jun", "Jun 4", "4.6.", "4/6", "fri 4 june"])
def test_that_a_date_is_known_however_it_is_written(query: str, season: Season) -> None:
    assert dt.date(2027, 6, 4) in dates_named(query, season)


def test_that_both_readings_of_two_numbers_are_offered(season: Season) -> None:
    assert dates_named("5/6", season) == (dt.date(2027, 6, 5), dt.date(2027, 5, 6))


@pytest.mark.parametrize("query", ["", "R04", "4", "99.99.", "2027-12-24", "June"])
def test_that_what_is_no_date_of_the_season_is_none(query: str, season: Season) -> None:
    assert dates_named(query, season) == ()


def test_that_routes_and_volunteers_are_found_and_gone_to(season: Season) -> None:
    went: list[tuple[RoomName, Subject]] = []
    things = list(of_season(season, lambda room, subject: went.append((room, subject)), ("route", "volunteer")))
    (linnet,) = [thing for thing in matching("linnet", things) if thing.kind == "route"]
    linnet.do()
    matching("V07", things)[0].do()
    assert went == [(RoomName.ROUTES, Subject(route="R03")), (RoomName.PEOPLE, Subject(volunteer="V07"))]


def test_that_beginnings_of_words_come_before_what_lies_inside() -> None:
    things = [Findable(words, "x", lambda: None) for words in ("Oldfield", "Field Lane", "Élodie Field")]
    assert [thing.words for thing in matching("field", things)] == ["Field Lane", "Élodie Field", "Oldfield"]
    assert [thing.words for thing in matching("elo", things)] == ["Élodie Field"]
    assert matching("lane nothing", things) == []
