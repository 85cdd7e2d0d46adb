"""Columns of tables that are headed in other words: taken where that is certain, left to a person where it is not."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.exchange import Choices, Reading, RoutesRead, SourceKind, VolunteersRead, recognise
from planner.exchange.table_files.column_guessing import guess_columns
from planner.exchange.table_files.column_words import PLACE_WORDS, POINT_WORDS
from planner.exchange.table_files.route_tables import POINTS
from tests.unit.exchange.samples import faults_of, write

PLACE = Place(51.5, -1.25)


def reading(path: Path, text: str | bytes, choices: Choices | None = None) -> Reading:
    found = recognise(write(path / "table.csv", text), None, choices)
    assert found.importer is not None
    return found.importer.read(path / "table.csv", choices or Choices())


def places_of(got: Reading) -> list[Place]:
    assert isinstance(got.read, RoutesRead), got.faults
    return [row.place for row in got.read.points]


def used(got: Reading) -> Mapping[str, str]:
    return {use.meaning: use.column for use in got.understood.columns if use.meaning}


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [
        ("Lat", "Lon"),
        ("LATITUDE", "LONGITUDE"),
        ("lat_dd", "long_dd"),
        ("Lat (WGS84)", "Lng (WGS84)"),
        ("Breite", "Länge"),
        ("Breitengrad", "Längengrad"),
        ("geogr. Breite", "geogr. Länge"),
        ("latitud", "longitud"),
        ("Latitudine", "Longitudine"),
        ("Breedtegraad", "Lengtegraad"),
        ("Breddegrad", "Længdegrad"),
        ("szerokość geograficzna", "długość geograficzna"),
        ("Leveysaste", "Pituusaste"),
        ("Latitude (N)", "Longitude (E)"),
        ("GPS Lat", "GPS Long"),
        ("Lat [°]", "Lon [°]"),
        ("decimalLatitude", "decimalLongitude"),
        ("stop_lat", "stop_lon"),
        ("POINT_Y", "POINT_X"),
        ("y", "x"),
        ("N", "E"),
    ],
)
def test_that_latitude_and_longitude_are_known_by_many_names(tmp_path: Path, latitude: str, longitude: str) -> None:
    got = reading(tmp_path, f"Route;No;{longitude};{latitude}\nR01;1;-1.25;51.5\n")
    assert places_of(got) == [PLACE]
    assert (used(got)["latitude"], used(got)["longitude"]) == (latitude, longitude)


def test_that_x_and_y_are_said_to_be_taken_as_on_maps(tmp_path: Path) -> None:
    got = reading(tmp_path, "route,point,x,y\nR01,1,-1.25,51.5\n")
    assert "'y' was taken for the latitude" in got.understood.doubts[0].what


def test_that_metres_under_e_and_n_lack_nothing_but_their_zone(tmp_path: Path) -> None:
    text = "route,point,E,N\nR01,1,621468,5706881\n"  # PLACE by pyproj
    got = reading(tmp_path, text)
    assert (used(got)["easting"], used(got)["northing"]) == ("E", "N")
    assert got.understood.lacks == {"utm_zone"}
    (place,) = places_of(reading(tmp_path, text, Choices(utm_zone="30N")))
    assert (place.latitude, place.longitude) == pytest.approx((PLACE.latitude, PLACE.longitude), abs=1e-4)


@pytest.mark.parametrize(
    ("text", "way"),
    [
        ("51.5\t-1.25", "decimal degrees"),
        ("51,5\t-1,25", "decimal degrees with decimal commas"),
        ("51 30 N\t1 15 W", "degrees and minutes"),
        ("51°30'00\"N\t1°15'00\"W", "degrees, minutes and seconds"),
        ("N51 30.0\tW1 15.0", "degrees and minutes"),
    ],
)
def test_that_the_way_coordinates_are_written_is_said(tmp_path: Path, text: str, way: str) -> None:
    got = reading(tmp_path, f"route\tpoint\tlat\tlon\nR01\t1\t{text}\n")
    assert (places_of(got), got.understood.coordinates) == ([PLACE], way)


@pytest.mark.parametrize(
    ("cell", "way"),
    [
        ("51.5, -1.25", "decimal degrees, latitude and longitude in one column"),
        ("51°30'N 1°15'W", "degrees and minutes"),
        ("1 15 W; 51 30 N", "degrees and minutes"),
    ],
)
def test_that_one_column_may_hold_both(tmp_path: Path, cell: str, way: str) -> None:
    got = reading(tmp_path, f'route|point|Coordinates\nR01|1|"{cell}"\n'.replace("|", "\t"))
    assert places_of(got) == [PLACE]
    assert got.understood.coordinates.startswith(way.partition(",")[0])


def test_that_rows_written_in_several_ways_are_pointed_out(tmp_path: Path) -> None:
    got = reading(tmp_path, "route,point,lat,lon\nR01,1,51.5,-1.25\nR01,2,51 30 N,1 15 W\n")
    assert "several ways: decimal degrees (1 row), degrees and minutes (1 row)" in got.understood.doubts[0].what


def test_that_a_column_that_is_not_used_is_said_and_nothing_of_it_is_kept(tmp_path: Path) -> None:
    got = reading(tmp_path, "route,point,latitude,longitude,observer\nR01,1,51.5,-1.25,Ada Example\n")
    assert places_of(got) == [PLACE]
    assert [use.column for use in got.understood.columns if not use.meaning] == ["observer"]


@pytest.mark.parametrize(
    ("header", "found"),
    [
        ("route,point,lat,lat_dd,lon", "'lat' and 'lat_dd'"),
        ("route,point,Lat 1,Lat 2,lon", "'Lat 1' and 'Lat 2'"),
        ("route,point,lat,lon,Long", "'lon' and 'Long'"),
    ],
)
def test_that_of_two_columns_that_could_be_meant_neither_is_taken(tmp_path: Path, header: str, found: str) -> None:
    text = f"{header}\nR01,1,51.5,1,2\n"
    got = reading(tmp_path, text)
    assert got.read is None
    assert got.faults[0].found == found
    assert len(got.understood.offers) == 2
    for offer in got.understood.offers:
        assert len(places_of(reading(tmp_path, text, offer.choices))) == 1


def test_that_a_note_that_could_be_two_columns_stands_in_no_way(tmp_path: Path) -> None:
    got = reading(tmp_path, "route,point,lat,lon,Comment,Remark\nR01,1,51.5,-1.25,a,b\n")
    assert places_of(got) == [PLACE]
    assert "several columns could be the note" in got.understood.doubts[0].what


@pytest.mark.parametrize(
    ("header", "cells", "found"),
    [
        ("Latitude (N),Longitude (W)", "51.5,1.25", "'1.25'"),
        ("lat_dms,lon_dms", "51.30,-1.15", "could be degrees with decimals"),
        ("Easting (OSGB36),Northing (OSGB36)", "456789,198765", "another datum or grid"),
        ("Easting,Northing", "567890,5700000", "no zone"),
        ("Easting (UTM 30),Northing", "567890,5700000", "no hemisphere"),
        ("y,x", "5700000,567890", "no zone"),
        ("lat,lon", "51.30.17,1.16.23", "'51.30.17'"),
        ("lat,lon", "51-30-17,1-16-23", "'51-30-17'"),
    ],
)
def test_that_nothing_ambiguous_is_guessed(tmp_path: Path, header: str, cells: str, found: str) -> None:
    got = reading(tmp_path, f"route,point,{header}\nR01,1,{cells}\n")
    assert got.read is None
    assert found in got.faults[0].found


def test_that_points_without_route_or_number_are_offered_to_be_taken_as_they_stand(tmp_path: Path) -> None:
    path = write(tmp_path / "R07 evening.csv", "Name,Lat,Lon\ngate,51.5,-1.25\nbridge,51.6,-1.25\n")
    importer = recognise(path).importer
    assert importer is not None
    got = importer.read(path, Choices())
    assert got.read is None
    assert got.understood.lacks == {"route"}
    (offer,) = got.understood.offers
    assert offer.words == "Take every row as a point of route R07, numbered as they stand"
    taken = importer.read(path, offer.choices).read
    assert isinstance(taken, RoutesRead)
    assert [(row.route, row.number) for row in taken.points] == [("R07", 1), ("R07", 2)]


def test_that_names_of_points_say_route_and_number(tmp_path: Path) -> None:
    got = reading(tmp_path, "Waypoint,Lat,Lon\nR07-02,51.5,-1.25\nR07-01,51.6,-1.25\n").read
    assert isinstance(got, RoutesRead)
    assert [(row.route, row.number) for row in got.points] == [("R07", 2), ("R07", 1)]


def test_that_empty_numbers_are_offered_to_be_counted(tmp_path: Path) -> None:
    text = "route,point,lat,lon\nR01,,51.5,-1.2\nR02,,51.6,-1.2\nR01,,51.7,-1.2\n"
    got = reading(tmp_path, text)
    assert len(got.faults) == 3
    (offer,) = got.understood.offers
    read = reading(tmp_path, text, offer.choices).read
    assert isinstance(read, RoutesRead)
    assert [(row.route, row.number) for row in read.points] == [("R01", 1), ("R02", 1), ("R01", 2)]


def test_that_volunteers_are_known_by_what_people_call_their_columns(tmp_path: Path) -> None:
    got = reading(
        tmp_path, "ID,Full name,Lat,Lon,Mobile,E-mail\nV01,Ada Example,51.5,-1.25,07700 900001,a@example.org\n"
    )
    assert isinstance(got.read, VolunteersRead)
    one = got.read.volunteers[0].volunteer
    assert (one.code, one.name, one.home, one.telephone, one.email) == (
        "V01", "Ada Example", PLACE, "07700 900001", "a@example.org",
    )  # fmt: skip


@pytest.mark.parametrize("heading", ["area", "Area", "Region", "county", "District", "PATCH"])
def test_that_the_area_of_a_route_is_known_by_what_people_call_it(tmp_path: Path, heading: str) -> None:
    got = reading(tmp_path, f"route,name,{heading}\nR01,Fernhythe,Wyke  Side\nR02,Gallows,\n")
    assert isinstance(got.read, RoutesRead)
    assert [row.area for row in got.read.routes] == ["Wyke Side", ""]


@pytest.mark.parametrize(
    ("header", "kind"),
    [
        ("Route,Name,Lat,Lon", SourceKind.POINTS),
        ("route,name,region", SourceKind.ROUTES),
        ("code,name,latitude,longitude", SourceKind.VOLUNTEERS),
        ("code,nme,latitude,longitude", SourceKind.VOLUNTEERS),
        ("Code,Name,Lat,Lon", SourceKind.POINTS),
        ("volunteer,from,to,parts,comment", SourceKind.AVAILABILITY),
    ],
)
def test_that_the_kind_of_a_table_is_told_by_what_fits_best(tmp_path: Path, header: str, kind: SourceKind) -> None:
    assert recognise(write(tmp_path / "t.csv", header + "\n")).kind is kind


def test_that_a_slip_in_a_heading_is_not_taken_for_a_column_nobody_wants(tmp_path: Path) -> None:
    got = reading(tmp_path, "code,name,latitude,longitude,trainning\nV01,Ada Example,51.5,-1.25,first aid\n")
    assert got.faults[0].found == "unknown: 'trainning' (meant training?)"


def test_that_a_column_may_be_named_and_a_wrong_name_is_told(tmp_path: Path) -> None:
    text = "route,point,hoch,quer,what\nR01,1,51.5,-1.25,by the gate\n"
    chosen = Choices(columns={"latitude": "hoch", "longitude": "quer", "note": "what"})
    got = reading(tmp_path, text, chosen)
    assert places_of(got) == [PLACE]
    assert isinstance(got.read, RoutesRead)
    assert got.read.points[0].note == "by the gate"
    wrong = reading(tmp_path, text, Choices(columns={"latitude": "hoh", "longitude": "quer"}))
    assert "the column 'hoh' that was chosen for latitude" in wrong.faults[0].expected
    unknown = reading(tmp_path, text, Choices(columns={**chosen.columns, "lattitude": "what"}))
    assert unknown.faults[0].found == "'lattitude'"


def test_that_a_table_with_a_mark_and_semicolons_is_read(tmp_path: Path) -> None:
    text = "\ufeffRoute;Punkt;Breite;Länge;Bemerkung\r\nR01;1;51,5;-1,25;=Tor\r\n"
    for encoding in ("utf-8", "utf-16"):
        got = reading(tmp_path, text.removeprefix("\ufeff" * (encoding == "utf-16")).encode(encoding))
        assert places_of(got) == [PLACE]
        assert any("no formula is worked out" in doubt.what for doubt in got.understood.doubts)


MEANINGS = {**POINT_WORDS, **PLACE_WORDS}


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_that_no_column_is_taken_twice_and_none_for_two_things(data: st.DataObject) -> None:
    words = sorted(
        {word for spelt in MEANINGS.values() for word in spelt} | {"route", "point", "surveyor", "", "weather"}
    )
    header = data.draw(st.lists(st.sampled_from(words), max_size=8))
    columns = guess_columns(header, POINTS, Choices())
    taken = [meaning for meaning in columns.meanings if meaning]
    assert len(taken) == len(set(taken))
    assert not set(taken) & set(columns.doubled)
    assert len(columns.meanings) == len(header)


def test_that_a_row_of_very_many_cells_is_no_header(tmp_path: Path) -> None:
    wide = "Lat,Lon," + "," * 20_000
    faults_of(recognise, write(tmp_path / "wide.csv", wide + "\n" + wide))
    assert len(places_of(reading(tmp_path, wide + "\nroute,point,lat,lon\nR01,1,51.5,-1.25\n"))) == 1


@pytest.mark.parametrize(
    ("header", "row"),
    [
        ("lat_deg;lat_min;lat_sec;lon_deg;lon_min;lon_sec", "51;30;0;-1;15;0"),
        ("Latitude;Lat Minutes;Lat Ref;Longitude;Long Minutes;Long Ref", "51;30.0;N;1;15.0;W"),
        ("lat;lat_dir;lon;lon_dir", "51,5;N;1,25;W"),
        ("lat_deg;lat_min;lat_sec;lon_deg;lon_min;lon_sec;lon_dir", "51;30;;1;15;;W"),
        ("широта;долгота", "51.5;-1.25"),
        ("zeměpisná šířka;zeměpisná délka", "51.5;-1.25"),
        ("γεωγραφικό πλάτος;γεωγραφικό μήκος", "51.5;-1.25"),
    ],
)
def test_that_angles_in_columns_of_their_own_are_put_together(tmp_path: Path, header: str, row: str) -> None:
    got = reading(tmp_path, f"route;point;{header}\nR01;1;{row}\n")
    assert places_of(got) == [PLACE]


@pytest.mark.parametrize("row", ["51;;30;-1;15;0", "51.5;30;0;-1;15;0", "51;30.5;30;-1;15;0", "51;60;0;-1;15;0"])
def test_that_angles_whose_parts_do_not_belong_together_are_refused(tmp_path: Path, row: str) -> None:
    got = reading(tmp_path, f"route;point;lat_deg;lat_min;lat_sec;lon_deg;lon_min;lon_sec\nR01;1;{row}\n")
    assert got.faults


def test_that_a_name_gives_the_route_where_the_number_stands_beside_it(tmp_path: Path) -> None:
    got = reading(tmp_path, "Seq;Stop name;lat;lon\n1;R01-01;51.5;-1.25\n1;R02-01;51.5;-1.25\n")
    assert isinstance(got.read, RoutesRead), got.faults
    assert [(row.route, row.number) for row in got.read.points] == [("R01", 1), ("R02", 1)]


def test_that_a_number_that_the_name_beside_it_denies_is_refused(tmp_path: Path) -> None:
    got = reading(tmp_path, "Seq;Stop name;lat;lon\n1;R01-01;51.5;-1.25\n2;R02-01;51.5;-1.25\n")
    assert "the number that the name says" in got.faults[0].expected
