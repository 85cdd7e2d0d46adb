"""Dates without a window or the moon that is asked for, and the moon of each night."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import ephem
import pytest

from planner.domain.window import MoonRule, Strength
from planner.scheduling import RouteLight
from planner.usecases.plan.board_light import dates_without, moon_nights
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    days,
    dusk,
    pass_light,
    problem,
    protocol,
    route,
    route_light,
    window_light,
)

_LENGTH = 14


def _light(dusk_without: list[int], dawn_without: list[int], moonless: tuple[int, ...] = ()) -> RouteLight:
    return route_light(
        (
            window_light("dusk", (pass_light(_LENGTH, 3, "21:00", 90.0, dusk_without),), moonless=moonless),
            window_light("dawn", (pass_light(_LENGTH, 3, "02:20", 90.0, dawn_without),), moonless=moonless),
        )
    )


def test_that_a_date_is_without_only_where_all_windows_lack() -> None:
    season = problem(
        rules=protocol(visits=1, windows=(dusk(), dawn())),
        visits=(days(0, 13),),
        routes=[route("R1"), route("R2")],
        light={"R1": _light([1, 2, 3], [2, 3, 4]), "R2": _light([2], [2, 5])},
    )
    found = dates_without(season)
    assert found.by_route == {"R1": {day(2), day(3)}, "R2": {day(2)}}
    assert found.nowhere == {day(2)}
    assert found.why == {day(2): "the sun stays above", day(3): "the sun stays above"}


def test_that_a_moon_that_is_only_preferred_bars_no_date() -> None:
    light = {"R1": _light([], [], moonless=(4,))}
    rules = protocol(visits=1, windows=(dusk(), dawn()))
    for strength, expected in ((Strength.REQUIRED, {day(4)}), (Strength.PREFERRED, set())):
        season = problem(
            rules=replace(rules, moon=MoonRule(0.5, strength=strength)), visits=(days(0, 13),), light=light
        )
        assert dates_without(season).by_route["R1"] == expected
    assert (
        "moon"
        in dates_without(problem(rules=replace(rules, moon=MoonRule(0.5)), visits=(days(0, 13),), light=light)).why[
            day(4)
        ]
    )


def test_that_a_season_without_routes_lacks_no_date() -> None:
    season = problem()
    empty = replace(season, season=replace(season.season, routes=()), light={}, drives={})
    assert dates_without(empty).nowhere == frozenset()


def test_that_the_moon_of_each_night_is_that_of_the_almanac() -> None:
    """Oracle: the dates of new and full moon as ``ephem`` searches them, which ``moon_at`` does not do."""
    season = problem(rules=replace(protocol(visits=1), moon=MoonRule(0.5)), visits=(days(0, 13),), length=60).season
    nights = moon_nights(season)
    assert list(nights) == list(season.dates)
    full = ephem.next_full_moon(season.dates.first).datetime()
    new = ephem.next_new_moon(season.dates.first).datetime()
    assert max(nights, key=lambda one: nights[one].illuminated) in _nights_round(full)
    assert min(nights, key=lambda one: nights[one].illuminated) in {
        *_nights_round(new),
        *_nights_round(new + dt.timedelta(29.53)),
    }
    before, after = full.date() - dt.timedelta(days=3), full.date() + dt.timedelta(days=3)
    assert nights[before].waxing
    assert not nights[after].waxing


def _nights_round(moment: dt.datetime) -> set[dt.date]:
    """The dates whose ending midnight lies nearest to a moment in UTC, and the neighbours."""
    ending = moment - dt.timedelta(days=1)
    return {ending.date() + dt.timedelta(days=n) for n in (-1, 0, 1)}


def test_that_half_is_lit_a_quarter_of_the_way_round() -> None:
    season = problem(rules=replace(protocol(visits=1), moon=MoonRule(0.5)), visits=(days(0, 13),), length=60).season
    quarter = ephem.next_first_quarter_moon(season.dates.first).datetime()
    lit = moon_nights(season)[quarter.date() - dt.timedelta(days=1)].illuminated
    assert lit == pytest.approx(0.5, abs=math.pi / 29.53)


def test_that_no_moon_is_told_where_none_is_asked_for() -> None:
    assert moon_nights(problem().season) == {}
    asked = problem(rules=replace(protocol(), moon=MoonRule(0.5))).season
    assert moon_nights(replace(asked, routes=())) == {}
