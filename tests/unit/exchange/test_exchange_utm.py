"""UTM metres, against two libraries that share no code: pyproj (PROJ) and utm (a series of its own)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import utm
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st
from pyproj import CRS, Proj

from planner.domain.geo import Place
from planner.exchange import Choices, Reading, RoutesRead, recognise
from planner.exchange.coordinates import CoordinateError
from planner.exchange.table_files.utm import UnsureZoneError, UtmZone, utm_place, zone_at, zone_of
from tests.unit.exchange.samples import write


def apart_mm(place: Place, latitude: float, longitude: float) -> float:
    return float(geodesic((place.latitude, place.longitude), (latitude, longitude)).meters) * 1000


def reading(folder: Path, text: str, choices: Choices | None = None) -> Reading:
    path = write(folder / "t.csv", text)
    importer = recognise(path, None, choices).importer
    assert importer is not None
    return importer.read(path, choices or Choices())


def place_in(got: Reading) -> Place:
    assert isinstance(got.read, RoutesRead), got.faults
    return got.read.points[0].place


@given(st.integers(1, 60), st.booleans(), st.floats(-3.4, 3.4), st.floats(0.05, 83.9))
def test_that_places_come_back_within_a_millimetre_by_both_libraries(
    number: int, north: bool, beside_deg: float, away_deg: float
) -> None:
    latitude, longitude = (away_deg if north else -min(away_deg, 79.9)), -183 + 6 * number + beside_deg
    longitude = (longitude + 180) % 360 - 180
    # Written out by PROJ's own forward projection, in the zone asked for, to a tenth of a millimetre.
    easting, northing = Proj(CRS(f"EPSG:{32600 + number if north else 32700 + number}"))(longitude, latitude)
    place = utm_place(UtmZone(number, north), f"{easting:.4f}", f"{northing:.4f}")
    assert apart_mm(place, latitude, longitude) < 1
    other = utm.to_latlon(round(easting, 4), round(northing, 4), number, northern=north, strict=False)
    if abs(beside_deg) <= 3:  # its series is given to within 3 degrees of the middle
        assert apart_mm(place, float(other[0]), (float(other[1]) + 180) % 360 - 180) < 1.5


@given(st.floats(-80, 84), st.floats(-180, 179.999))
def test_that_the_zone_of_a_place_is_the_other_librarys_but_for_norway(latitude: float, longitude: float) -> None:
    zone = zone_at(Place(latitude, longitude))
    if not (latitude >= 56 and 0 <= longitude < 42):  # where zones 31 to 37 are wider or narrower than 6 degrees
        assert zone.number == utm.latlon_to_zone_number(latitude, longitude)
    assert zone.north == (latitude >= 0)


@pytest.mark.parametrize(
    ("text", "zone"),
    [("30N", "30N"), ("30 n", "30N"), ("UTM zone 30N", "30N"), ("30U", "30N"), ("19F", "19S"), ("30 south", "30S")],
)
def test_that_zones_are_read_as_people_write_them(text: str, zone: str) -> None:
    assert str(zone_of(text)) == zone


@pytest.mark.parametrize("text", ["30", "30S", "zone 30", "30 s"])
def test_that_a_zone_without_a_sure_hemisphere_is_not_guessed(text: str) -> None:
    with pytest.raises(UnsureZoneError):
        zone_of(text)
    assert not zone_of("30S", hemisphere=True).north


@pytest.mark.parametrize("text", ["", "0N", "61N", "30I", "30O", "30A", "N", "3o", "30U7"])
def test_that_what_is_no_zone_is_refused(text: str) -> None:
    with pytest.raises(CoordinateError):
        zone_of(text)


@pytest.mark.parametrize(
    ("easting", "northing"),
    [
        ("567890.5", "5700000"),
        ("567890,5", "5 700 000"),
        ("567 890.5 m E", "5700000mN"),
        ("567890.5E", "5700000.0 N"),
    ],
)
def test_that_metres_are_read_as_people_write_them(easting: str, northing: str) -> None:
    assert apart_mm(utm_place(UtmZone(30, True), easting, northing), 51.44711197, -2.02305008) < 2


@pytest.mark.parametrize(
    ("easting", "northing", "found"),
    [
        ("567,890", "5700000", "'567,890'"),
        ("1567890", "5700000", "'1567890'"),
        ("5700000", "567890", "'5700000'"),
        ("567890", "15700000", "'15700000'"),
        ("567890N", "5700000E", "'567890N'"),
        ("", "5700000", "nothing"),
        ("nan", "5700000", "'nan'"),
        ("-1", "5700000", "'-1'"),
        ("567890", "9999999", "9999999"),
    ],
)
def test_that_what_are_no_metres_of_a_zone_is_refused(easting: str, northing: str, found: str) -> None:
    with pytest.raises(CoordinateError, match=re.escape(found)):
        utm_place(UtmZone(30, True), easting, northing)


def test_that_metres_far_outside_the_band_that_was_named_are_refused() -> None:
    assert utm_place(zone_of("30U"), "567890", "5700000").latitude == pytest.approx(51.447, abs=0.001)
    with pytest.raises(CoordinateError, match="in the band T"):
        utm_place(zone_of("30T"), "567890", "5700000")


@pytest.mark.parametrize(
    "text",
    [
        "route,point,Easting (UTM 30N),Northing (UTM 30N)\nR01,1,567890.5,5700000\n",
        "route,point,UTM30N_E,UTM30N_N\nR01,1,567890.5,5700000\n",
        "route,point,EPSG:32630 X,EPSG:32630 Y\nR01,1,567890.5,5700000\n",
        "route,point,E (ETRS89 / UTM zone 30N),N\nR01,1,567890.5,5700000\n".replace(",N\n", ",Northing\n"),
        "route,point,Easting,Northing,Zone\nR01,1,567890.5,5700000,30U\n",
        "route,point,UTM\nR01,1,30U 567890.5 5700000\n",
        "route,point,UTM\nR01,1,30N 567890.5E 5700000N\n",
    ],
)
def test_that_a_table_may_name_the_zone_in_many_places(tmp_path: Path, text: str) -> None:
    got = reading(tmp_path, text)
    assert apart_mm(place_in(got), 51.44711197, -2.02305008) < 2
    assert got.understood.coordinates == "UTM metres, zone 30N"


def test_that_a_zone_is_asked_for_and_both_sides_are_offered_where_one_is_missing(tmp_path: Path) -> None:
    text = "route,point,Easting,Northing\nR01,1,567890.5,5700000\n"
    got = reading(tmp_path, text)
    assert (len(got.faults), len(got.understood.offers)) == (1, 0)
    assert got.understood.lacks == {"utm_zone"}
    assert place_in(reading(tmp_path, text, Choices(utm_zone="30N"))).latitude > 50
    sides = reading(tmp_path, text.replace("Easting", "Easting (UTM 30)"))
    assert [offer.choices.utm_zone for offer in sides.understood.offers] == ["30N", "30S"]
    wrong = reading(
        tmp_path, text.replace("Northing\n", "Northing,Zone\n").replace("000\n", "000,31N\n"), Choices(utm_zone="30N")
    )
    assert "the zone 30N that was chosen" in wrong.faults[0].expected
