"""Coordinates as people type them."""

from __future__ import annotations

import math

import pytest
from geopy.format import format_degrees
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.exchange.coordinates import (
    CoordinateError,
    parse_latitude,
    parse_longitude,
    parse_pair,
    parse_place,
)

SAME_PLACE = Place(41.5, -81.0)


@pytest.mark.parametrize(
    "text",
    [
        "41.5, -81.0",
        "41.5 -81.0",
        "41.5;-81",
        "41.5,-81.0",
        "41,5 -81,0",
        "41,5; -81,0",
        "41,5, -81,0",
        "41 30 0 N, 81 0 0 W",
        "41 30 N 81 W",
        "41°30'N 81°00'W",
        "41°30′00″N, 81°0′0″W",
        "41º 30' 0'' N, 81º 0' 0'' W",
        "N 41 30.0, W 81 00.0",
        "N41,5 W81,0",
        "81 0 0 W; 41 30 0 N",
        "w81 n41.5",
        "41:30:00 N 81:00:00 W",
        "+41.5 −81.0",
        "41 30, -81 0",
    ],
)
def test_that_one_place_written_in_many_ways_is_read_as_that_place(text: str) -> None:
    assert parse_pair(text) == SAME_PLACE


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "51,5",
        "51,1",
        "41,5,-81,0",
        "51 30 0.5",
        "41 30 81 0",
        "51.5 1,2",
        "1,2 51.5",
        "51.5",
        "51.5 N",
        "51 N 2 N",
        "51 N 2",
        "51 N 2 E 3 E",
        "N 51 E 2 N",
        "51.5, -1.2, 7",
        "nan, 3",
        "inf 3",
        "1e1, 2",
        "٣, 4",
        "51.530′ 1",
        "abc",
        "51.5, -1.2" + " " * 80 + "x",
        "0x10, 3",
    ],
)
def test_that_a_pair_that_is_none_or_could_be_two_is_refused(text: str) -> None:
    with pytest.raises(CoordinateError) as caught:
        parse_pair(text)
    assert caught.value.expected
    assert caught.value.found


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("90.0001", "out of range"),
        ("-91", "out of range"),
        ("95", "out of range"),
        ("89 60 N", "60 or more"),
        ("51 30 60", "60 or more"),
        ("51.5 30", "fraction"),
        ("51 30.5 20", "fraction"),
        ("-51 N", "twice"),
        ("N 51 N", "twice"),
        ("51 W", "swapped"),
        ("nan", "'nan'"),
        ("inf", "'inf'"),
        ("", "nothing"),
        ("51,5,3", "'51,5,3'"),
        ("1,234.5", "'1,234.5'"),
        ("5130.5 N", "out of range"),
        ("51 30 17 9", "'51 30 17 9'"),
        ("5" * 200, "'555"),
        ("--5", "'--5'"),
    ],
)
def test_that_a_latitude_is_refused_with_the_reason(text: str, word: str) -> None:
    with pytest.raises(CoordinateError, match="expected a latitude from -90 to 90") as caught:
        parse_latitude(text)
    assert word in caught.value.found


def test_that_seconds_are_sixtieths_of_minutes() -> None:
    # Flinders Peak and Buninyong, Geocentric Datum of Australia Technical Manual 2.3, section 4.
    flinders = parse_place("37 57 03.72030 S", "144 25 29.52440 E")
    assert math.isclose(flinders.latitude, -37.95103341666667, abs_tol=1e-12)
    assert math.isclose(flinders.longitude, 144.42486788888888, abs_tol=1e-12)


@pytest.mark.parametrize(("text", "degrees"), [("0 7 40 W", -0.127777777), ("-0 7 40", -0.127777777), ("180 E", 180)])
def test_that_the_side_is_kept_where_the_degrees_are_nought(text: str, degrees: float) -> None:
    assert math.isclose(parse_longitude(text), degrees, abs_tol=1e-8)


LATITUDES = st.floats(-90, 90, allow_nan=False).map(lambda value: round(value, 6))
LONGITUDES = st.floats(-180, 180, allow_nan=False).map(lambda value: round(value, 6))


@given(LATITUDES, LONGITUDES, st.sampled_from([", ", "; ", " "]), st.booleans())
def test_that_decimal_degrees_come_back_as_written(latitude: float, longitude: float, part: str, comma: bool) -> None:
    text = f"{latitude:.6f}{part}{longitude:.6f}"
    if comma:
        text = f"{latitude:.6f}".replace(".", ",") + part + f"{longitude:.6f}".replace(".", ",")
    assert parse_pair(text) == Place(latitude, longitude)


@given(LATITUDES, LONGITUDES)
def test_that_degrees_minutes_and_seconds_of_another_library_are_read_back(latitude: float, longitude: float) -> None:
    # geopy writes them; it must not read them.
    written = [
        format_degrees(abs(value), fmt="%(degrees)d° %(minutes)d' %(seconds).9f\"") for value in (latitude, longitude)
    ]
    if any(" 60.000000000" in text for text in written):
        return
    text = f"{written[0]} {'NS'[latitude < 0]}, {written[1]} {'EW'[longitude < 0]}"
    place = parse_pair(text)
    assert math.isclose(place.latitude, latitude, abs_tol=1e-9)
    assert math.isclose(place.longitude, longitude, abs_tol=1e-9)


@given(st.text(alphabet="0123456789.,;:°′″'\"NSEW+- \t", max_size=24))
def test_that_any_text_is_read_as_a_place_or_refused(text: str) -> None:
    try:
        place = parse_pair(text)
    except CoordinateError:
        return
    assert abs(place.latitude) <= 90
    assert abs(place.longitude) <= 180
