"""Metric and imperial, shown and read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.desktop.units import Units
from planner.domain.errors import RuleError


@pytest.mark.parametrize(
    ("units", "metres", "words"),
    [
        (Units.METRIC, 298.0, "298 m"),
        (Units.METRIC, 12_345.0, "12.3 km"),
        (Units.IMPERIAL, 298.0, "326 yd"),
        (Units.IMPERIAL, 16_093.44, "10.0 mi"),
    ],
)
def test_lengths(units: Units, metres: float, words: str) -> None:
    """The international mile of 1959 is 1,609.344 m and the yard 0.9144 m."""
    assert units.length(metres) == words


def test_speeds_and_temperatures() -> None:
    """100 km/h is 62 mph, and water freezes at 32 °F and boils at 212 °F, by definition of the scales."""
    assert Units.IMPERIAL.speed(100) == "62 mph"
    assert Units.IMPERIAL.temperature(0) == "32 °F"
    assert Units.IMPERIAL.temperature(100) == "212 °F"
    assert Units.METRIC.temperature(7.4) == "7 °C"


@pytest.mark.parametrize(
    ("units", "text", "metres"),
    [
        (Units.METRIC, "800", 800.0),
        (Units.METRIC, "0,5 mi", 804.672),
        (Units.IMPERIAL, "100", 91.44),
        (Units.IMPERIAL, "1.5 km", 1500.0),
    ],
)
def test_that_a_length_is_read_in_any_unit(units: Units, text: str, metres: float) -> None:
    assert units.read_length_m(text) == pytest.approx(metres)


@pytest.mark.parametrize("text", ["", "far", "10 leagues", "1 2"])
def test_that_what_is_no_length_is_refused_with_the_units_that_are(text: str) -> None:
    with pytest.raises(RuleError, match="mi"):
        Units.METRIC.read_length_m(text)


@pytest.mark.parametrize(("text", "celsius"), [("7", 7.0), ("45 F", 7.222), ("7 °C", 7.0), ("-3,5", -3.5)])
def test_that_a_temperature_is_read_in_either_scale(text: str, celsius: float) -> None:
    assert Units.METRIC.read_temperature_c(text) == pytest.approx(celsius, abs=0.001)


@given(st.floats(0, 300))
def test_that_a_speed_shown_is_read_as_the_same(kmh: float) -> None:
    for units in Units:
        assert units.read_speed_kmh(units.speed(kmh)) == pytest.approx(kmh, abs=0.9)
