from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.measures import Speed, Temperature
from planner.domain.weather import LimitKind, Quantity, WeatherLimit, beaufort_force

# Limits of the forces in m/s on the scale of the World Meteorological Organization, as weather services print them
# (Manual on Codes, WMO-No. 306, code table 1100: the place from memory).
WMO_M_S = [
    (0, 0.0, 0.2),
    (1, 0.3, 1.5),
    (2, 1.6, 3.3),
    (3, 3.4, 5.4),
    (4, 5.5, 7.9),
    (5, 8.0, 10.7),
    (6, 10.8, 13.8),
    (7, 13.9, 17.1),
    (8, 17.2, 20.7),
    (9, 20.8, 24.4),
    (10, 24.5, 28.4),
    (11, 28.5, 32.6),
    (12, 32.7, 90.0),
]


@pytest.mark.parametrize(("force", "least", "most"), WMO_M_S)
def test_that_both_edges_of_every_beaufort_force_are_the_published_ones(force: int, least: float, most: float) -> None:
    assert beaufort_force(Speed(least, "m/s")) == force
    assert beaufort_force(Speed(most, "m/s")) == force


@given(st.floats(0, 200), st.floats(0, 200))
def test_that_more_wind_is_never_less_force(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert beaufort_force(Speed(less, "mph")) <= beaufort_force(Speed(more, "mph"))


def test_that_the_unit_of_the_wind_does_not_matter() -> None:
    assert beaufort_force(Speed(19.0, "km/h")) == beaufort_force(Speed(19.0 / 3.6, "m/s")) == 3
    assert beaufort_force(Speed(28.8, "km/h")) == 5  # 8.0 m/s exactly


WIND = Speed(20, "km/h")
COLD = Temperature(7, "C")


@pytest.mark.parametrize(
    ("quantity", "at_most", "at_least", "words"),
    [
        (Quantity.WIND, None, COLD, "a wind limit has 'at_most'"),
        (Quantity.AIR_TEMPERATURE, WIND, None, "a temperature limit has 'at_least'"),
        (Quantity.WATER_TEMPERATURE, WIND, None, "a temperature limit has 'at_least'"),
        (Quantity.RAIN, WIND, None, "in words"),
        (Quantity.FOG, None, COLD, "in words"),
        (Quantity.WIND, None, None, "needs a bound or words"),
        (Quantity.SNOW, None, None, "needs a bound or words"),
    ],
)
def test_that_a_bar_has_the_bound_that_its_quantity_allows(
    quantity: Quantity, at_most: Speed | None, at_least: Temperature | None, words: str
) -> None:
    with pytest.raises(RuleError, match=words):
        WeatherLimit(quantity, LimitKind.BAR, at_most, at_least)


@pytest.mark.parametrize(
    ("limit", "bound", "said"),
    [
        (WeatherLimit(Quantity.WIND, LimitKind.BAR, WIND), WIND, "wind at most 20 km/h"),
        (
            WeatherLimit(Quantity.WIND, LimitKind.BAR, WIND, words="leaves move", region="coast"),
            WIND,
            "wind at most 20 km/h (coast): leaves move",
        ),
        (WeatherLimit(Quantity.AIR_TEMPERATURE, LimitKind.BAR, None, COLD), COLD, "air temperature at least 7 C"),
        (
            WeatherLimit(Quantity.WATER_TEMPERATURE, LimitKind.BAR, None, COLD, "at noon"),
            COLD,
            "water temperature at least 7 C: at noon",
        ),
        (WeatherLimit(Quantity.RAIN, LimitKind.BAR, words="none"), None, "rain: none"),
        (WeatherLimit(Quantity.CLOUD, LimitKind.RECORD), None, "cloud: write it down"),
    ],
)
def test_that_a_limit_is_said_for_a_volunteer(limit: WeatherLimit, bound: object, said: str) -> None:
    assert limit.bound == bound
    assert limit.said == said


def test_that_freezing_point_is_a_bound_though_it_is_zero() -> None:
    limit = WeatherLimit(Quantity.AIR_TEMPERATURE, LimitKind.BAR, None, Temperature(0, "C"))
    assert limit.said == "air temperature at least 0 C"
