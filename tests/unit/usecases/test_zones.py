"""Time zones found by place: a few towns whose zones anybody knows (from memory), the open sea, and the doubts."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.finding import Rule, Severity
from planner.domain.geo import Place, sphere_metres
from planner.domain.season import Season
from planner.exchange import Choices
from planner.light import zone_finder
from planner.usecases.importing.doubts import against_season
from planner.usecases.importing.reading_sources import read_sources
from planner.usecases.season.zones import (
    swapped_by_zone,
    zone_at,
    zone_doubts,
    zone_findings,
    zone_of_all,
    zone_of_text,
)
from tests.unit.exchange.samples import route, season, write

LONDON, PARIS, SYDNEY, ATHENS = Place(51.5, -0.12), Place(48.86, 2.35), Place(-33.87, 151.2), Place(37.98, 23.73)
SEA = Place(0.0, -30.0)


@pytest.fixture
def without_map(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the optional extra away, as where it was never installed."""
    monkeypatch.setitem(sys.modules, "timezonefinder", None)
    zone_finder._finder.cache_clear()


@pytest.mark.parametrize(
    ("place", "zone"),
    [
        (LONDON, "Europe/London"),
        (PARIS, "Europe/Paris"),
        (SYDNEY, "Australia/Sydney"),
        (ATHENS, "Europe/Athens"),
        (Place(40.71, -74.0), "America/New_York"),
        (Place(19.43, -99.13), "America/Mexico_City"),
        (Place(64.15, -21.94), "Atlantic/Reykjavik"),
    ],
)
def test_that_a_town_has_the_zone_that_everybody_knows(place: Place, zone: str) -> None:
    found = zone_at(place)
    assert found.zone == zone
    assert zone in found.reason


def test_that_the_open_sea_has_no_zone_and_says_so() -> None:
    found = zone_at(SEA)
    assert found.zone == ""
    assert "lies at sea" in found.reason


@pytest.mark.usefixtures("without_map")
def test_that_without_the_extra_the_reason_says_what_it_costs() -> None:
    found = zone_at(LONDON)
    assert found.zone == ""
    assert "dimpsy[zones]" in found.reason
    assert "34 MB" in found.reason
    assert list(zone_doubts([("here", PARIS)], season())) == []
    assert list(zone_findings(season(routes=(route(latitude=48.9),)))) == []
    assert zone_of_all([LONDON]) == ""


def test_that_places_with_other_clocks_are_doubted_and_those_with_the_same_are_not() -> None:
    jersey = Place(49.21, -2.13)  # a zone of its own, whose clocks are London's
    named = [("a", LONDON), ("b", jersey), ("c", PARIS), ("d", SEA)]
    assert [where for where, _ in zone_doubts(named, season())] == ["c", "d"]
    many = list(zone_doubts([(str(number), PARIS) for number in range(9)], season()))
    assert (len(many), many[-1]) == (7, ("", "3 more places lie outside of Europe/London"))


def test_that_a_route_over_a_border_is_a_finding_and_one_at_sea_is_none() -> None:
    there = route("R02")
    crossing = replace(there, points=(replace(there.points[0], place=PARIS), *there.points[1:]))
    afloat = replace(route("R03"), points=tuple(replace(one, place=SEA) for one in there.points))
    (finding,) = zone_findings(season(routes=(route("R01"), crossing, afloat)))
    assert (finding.rule, finding.severity, finding.subject.route) == (Rule.SEASON_ZONE, Severity.DOUBT, "R02")
    assert "point 1 lies in Europe/Paris" in finding.what


@pytest.mark.parametrize(("place", "zone"), [(LONDON, "Europe/London"), (SYDNEY, "Australia/Sydney")])
def test_that_swapped_places_are_told_by_the_town_of_the_zone(place: Place, zone: str) -> None:
    town = zone_finder.zone_town(zone)
    assert town is not None
    assert sphere_metres(place, town) < 20_000
    if abs(place.longitude) <= 90:
        assert swapped_by_zone([Place(place.longitude, place.latitude)], zone)
    assert not swapped_by_zone([place], zone)
    assert not swapped_by_zone([], zone)
    assert not swapped_by_zone([place], "Etc/UTC")


def test_that_swapped_places_nearby_are_told_by_the_map() -> None:
    assert swapped_by_zone([Place(ATHENS.longitude, ATHENS.latitude)], "Europe/Athens")


def imported(folder: Path, text: str, held_against: Season, choices: Choices | None = None) -> list[str]:
    path = write(folder / "p.csv", text)
    (source,) = read_sources([path], {path: choices or Choices()}).sources
    understood = against_season(held_against, source, frozenset())
    return [
        *(doubt.what for doubt in understood.doubts),
        *(offer.words for offer in understood.offers),
        understood.zone,
    ]


def test_that_a_wholly_swapped_file_is_offered_to_be_swapped_in_an_empty_season(tmp_path: Path) -> None:
    text = "route,point,latitude,longitude\nR01,1,-1.2,51.5\nR01,2,-1.3,51.5\n"
    said = imported(tmp_path, text, season())
    assert "are latitude and longitude swapped?" in said[0]
    assert said[1] == "Swap latitude and longitude of the whole file"
    assert imported(tmp_path, text, season(), Choices(swap=True)) == ["Europe/London"]


def test_that_the_zone_of_the_season_is_offered_for_metres_without_one(tmp_path: Path) -> None:
    text = "route,point,Easting,Northing\nR09,1,567890,5617000\n"
    there = season(routes=(route("R01"), route("R02")))
    assert "Read the metres in UTM zone 30N, where the season lies" in imported(tmp_path, text, there)
    assert not any("where the season lies" in said for said in imported(tmp_path, text, season()))


def test_that_a_place_is_typed_in_any_way_that_can_be_read_in_one() -> None:
    assert zone_of_text("51.5, -0.12").zone == "Europe/London"
    assert zone_of_text("48°51'36\"N 2°21'0\"E").zone == "Europe/Paris"
    refused = zone_of_text("somewhere")
    assert refused.zone == ""
    assert "'somewhere'" in refused.reason
