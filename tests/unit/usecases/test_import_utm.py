"""The UTM zone of metres without one, on a first import: told by the time zone, or by the files beside."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.season import Season
from planner.exchange import Offer
from planner.light import zone_finder
from planner.usecases.importing.preview import Held, understand
from planner.usecases.importing.reading_sources import read_sources
from tests.unit.exchange.samples import route, season, write

HEAD = "route,point,Easting,Northing\n"
DEGREES = "route,point,latitude,longitude\nR01,1,51.6,-5.9\nR01,2,51.61,-5.9\n"


def offered(folder: Path, metres: str, held: Season, beside: str = "") -> list[Offer]:
    files = [write(folder / "m.csv", f"{HEAD}R09,1,{metres}\n")]
    files += [write(folder / "b.csv", beside)] if beside else []
    (source, *_) = understand(Held(held), read_sources(files)).sources
    return [offer for offer in source.understood.offers if offer.choices.utm_zone]


def zones(offers: list[Offer]) -> list[str]:
    return [offer.choices.utm_zone for offer in offers]


@pytest.mark.parametrize(
    ("zone", "metres", "expected"),
    [
        # Where zones meet: London lies in 30 west of Greenwich and in 31 east of it, by the definition of UTM.
        ("Europe/London", "567890,5617000", ["30N"]),
        ("Europe/London", "300000,5617000", ["31N"]),
        # One time zone may hold the same metres in two zones: near 81 and 75 degrees west, the middles of 17 and 18.
        ("America/New_York", "500000,4600000", ["18N", "17N"]),
        # A season beside the equator, on both sides of it.
        ("Africa/Nairobi", "257000,9857000", ["37S"]),
        ("Africa/Nairobi", "257000,20000", ["37N"]),
    ],
)
def test_that_the_time_zone_tells_the_utm_zone_of_the_first_file(
    tmp_path: Path, zone: str, metres: str, expected: list[str]
) -> None:
    offers = offered(tmp_path, metres, replace(season(), zone=zone))
    assert zones(offers) == expected
    assert offers[0].words == f"Read the metres in UTM zone {expected[0]}, which puts them into the time zone {zone}"


def test_that_without_a_map_of_time_zones_the_nearest_are_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "timezonefinder", None)
    zone_finder._finder.cache_clear()
    offers = offered(tmp_path, "567890,5617000", season())
    assert zones(offers) == ["30N", "31N", "29N"]
    assert offers[0].words.endswith("near the time zone Europe/London")


def test_that_the_other_files_of_the_import_tell_it(tmp_path: Path) -> None:
    # 5.9 degrees west lies in zone 30; the metres are those of zone 29, carried on over its edge at 6 degrees.
    (offer,) = offered(tmp_path, "715000,5721000", season(), DEGREES)
    assert offer.words == "Read the metres in UTM zone 29N, where the other files lie"
    (there,) = offered(tmp_path, "567890,5617000", season(routes=(route("R01"), route("R02"))))
    assert there.words == "Read the metres in UTM zone 30N, where the season lies"


def test_that_nothing_is_offered_for_figures_that_are_no_metres_or_a_time_zone_without_a_town(tmp_path: Path) -> None:
    assert not offered(tmp_path, "5,6", season())
    assert not offered(tmp_path, "567890,5617000", replace(season(), zone="Etc/UTC"))
