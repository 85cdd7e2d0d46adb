from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.measures import Length, Measure, Speed, Temperature


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        # International yard and pound agreement of 1959: 1 yd is 0.9144 m exactly, 1 mi 1,760 yd, 1 ft a third of one.
        ("1 mi", 1760 * 0.9144),
        ("1 ft", 0.9144 / 3),
        ("5280 ft", 1609.344),
        ("1.5 km", 1500.0),
        ("800 m", 800.0),
        ("0.5 mi", 804.672),
    ],
)
def test_that_lengths_convert_by_the_published_factors(text: str, metres: float) -> None:
    assert Length.parse(text).metres == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(("text", "kmh"), [("20 km/h", 20.0), ("10 mph", 16.09344), ("10 m/s", 36.0)])
def test_that_speeds_convert_to_km_an_hour(text: str, kmh: float) -> None:
    assert Speed.parse(text).base == pytest.approx(kmh, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "celsius"),
    # The ice point, the steam point as the scales were fixed, and the one temperature where both scales read alike.
    [("32 F", 0.0), ("212 F", 100.0), ("-40 F", -40.0), ("7 C", 7.0), ("-1.5 C", -1.5)],
)
def test_that_temperatures_convert_at_the_fixed_points(text: str, celsius: float) -> None:
    assert Temperature.parse(text).base == pytest.approx(celsius, abs=1e-9)


def test_that_a_measure_is_said_in_its_own_unit() -> None:
    assert str(Length(0.5, "mi")) == "0.5 mi"
    assert str(Length(200.0, "m")) == "200 m"
    assert str(Temperature(-1.5, "C")) == "-1.5 C"


@pytest.mark.parametrize("text", ["0.5mi", " 0.5  mi ", "+0.5 mi"])
def test_that_a_length_is_read_with_or_without_a_space(text: str) -> None:
    assert Length.parse(text) == Length(0.5, "mi")


@pytest.mark.parametrize("text", ["", "mi", "0.5", "0,5 mi", "half a mile", "1e3 m", ".5 mi", "1 2 mi", "nan m"])
def test_that_text_without_a_number_and_a_unit_is_refused(text: str) -> None:
    with pytest.raises(RuleError, match=r"write a number and a unit|unit must be one of"):
        Length.parse(text)


@pytest.mark.parametrize(("family", "unit"), [(Length, "C"), (Speed, "m"), (Temperature, "mi"), (Length, "yd")])
def test_that_a_unit_of_another_family_is_refused(family: type[Measure], unit: str) -> None:
    with pytest.raises(RuleError, match=f"unit must be one of .* found '{unit}'"):
        family(1.0, unit)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_that_a_measure_is_finite(value: float) -> None:
    with pytest.raises(RuleError, match="finite"):
        Temperature(value, "C")


def test_that_lengths_and_speeds_are_not_negative_but_temperatures_may_be() -> None:
    with pytest.raises(RuleError, match="length must not be negative"):
        Length(-1.0, "m")
    with pytest.raises(RuleError, match="speed must not be negative"):
        Speed(-1.0, "mph")
    assert Temperature(-1.0, "F").base < Temperature(0.0, "F").base


@given(st.integers(0, 9999), st.sampled_from(["m", "km", "mi", "ft"]))
def test_that_what_is_said_can_be_read_again(value: int, unit: str) -> None:
    length = Length(value / 4, unit)
    assert Length.parse(str(length)).metres == pytest.approx(length.metres, rel=1e-5)
