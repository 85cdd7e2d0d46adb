import math

import pytest

from planner.travel.osm.maxspeed import limit_kmh
from planner.travel.speeds import shipped_speeds


@pytest.mark.parametrize(
    ("text", "kmh"),
    [
        ("50", 50.0),
        ("50 km/h", 50.0),
        ("50kmh", 50.0),
        ("30 mph", 30 * 1.609344),
        ("30mph", 30 * 1.609344),
        ("10 knots", 18.52),
        ("32.5", 32.5),
        ("50;60", 50.0),
        ("60; 50", 50.0),
        ("80|none", 80.0),
        ("none", math.inf),
        ("walk", 7.0),
        ("RO:urban", 50.0),
        ("RO:rural", 90.0),
        ("ro:motorway", 130.0),
        ("GB:nsl_single", 96.6),
        ("DE:rural", 100.0),
        ("DE:zone:30", 30.0),
        ("DE:zone30", 30.0),
        ("DE:30", 30.0),
        ("FR:urban", 50.0),
        ("BE-VLG:urban", 50.0),
        ("RO:trunk", 100.0),
        ("DE:bicycle_road", 30.0),
        ("rural", 90.0),
    ],
)
def test_that_a_posted_limit_is_understood_as_mappers_write_it(text: str, kmh: float) -> None:
    assert limit_kmh({"maxspeed": text}, "forward", shipped_speeds()) == pytest.approx(kmh)


@pytest.mark.parametrize(
    "text", ["", "signals", "variable", "0", "0 mph", "-30", "fast", "50 furlongs", "XX:moon", "5O", "0.0001"]
)
def test_that_a_limit_that_says_nothing_usable_is_passed_over(text: str) -> None:
    assert limit_kmh({"maxspeed": text}, "forward", shipped_speeds()) is None


def test_that_the_limit_of_a_direction_comes_before_the_common_one() -> None:
    tags = {"maxspeed": "50", "maxspeed:backward": "30"}
    assert limit_kmh(tags, "forward", shipped_speeds()) == 50.0
    assert limit_kmh(tags, "backward", shipped_speeds()) == 30.0


def test_that_limits_by_hour_weather_or_for_lorries_are_passed_over() -> None:
    tags = {"maxspeed:conditional": "30 @ (22:00-06:00)", "maxspeed:hgv": "60", "maxspeed:variable": "yes"}
    assert limit_kmh(tags, "forward", shipped_speeds()) is None
    assert limit_kmh({**tags, "maxspeed": "80"}, "forward", shipped_speeds()) == 80.0


def test_that_the_zone_speaks_where_no_limit_is_tagged() -> None:
    assert limit_kmh({"source:maxspeed": "RO:rural"}, "forward", shipped_speeds()) == 90.0
    assert limit_kmh({"maxspeed:type": "GB:nsl_dual", "maxspeed": "signals"}, "forward", shipped_speeds()) == 112.7
    assert limit_kmh({}, "forward", shipped_speeds()) is None
