"""A problem made from an earlier one is the same as one made anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from planner.domain.calendar import DateRange
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.geo import Place
from planner.domain.route import Point
from planner.domain.season import Season
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay
from planner.scheduling import DriveMinutes, SeasonProblem
from planner.usecases.checking import check_season
from planner.usecases.season.problem import season_problem, season_problem_after
from tests.unit.usecases.edited_seasons import PLAN, SEASON

CHANGES: dict[str, Callable[[Season], Season]] = {
    "nothing": lambda season: season,
    "a point moves": lambda season: _first_route(season, place=Place(54.701, 2.051)),
    "a route goes": lambda season: replace(season, routes=season.routes[1:]),
    "a route comes": lambda season: replace(season, routes=(*season.routes, replace(season.routes[0], code="NEW"))),
    "routes change places": lambda season: replace(season, routes=season.routes[::-1]),
    "a home moves": lambda season: _first_volunteer(season, home=Place(54.72, 2.11)),
    "somebody goes": lambda season: replace(season, volunteers=season.volunteers[1:]),
    "dates are given": lambda season: _first_volunteer(
        season, availability=(Availability(season.dates, frozenset({PartOfDay.DUSK})),)
    ),
    "drives are recorded": lambda season: replace(
        season, drive_factors=DriveFactors(DriveFactor("", 1.2, 9), (DriveFactor("R1", 0.9, 4),))
    ),
    "a route is recorded": lambda season: replace(
        season, drive_factors=DriveFactors(routes=(DriveFactor("R2", 1.3, 4),))
    ),
    "a route is recorded and a point of it moves": lambda season: replace(
        _first_route(season, place=Place(54.701, 2.051)),
        drive_factors=DriveFactors(routes=(DriveFactor("R1", 1.3, 4),)),
    ),
    "a day more": lambda season: replace(
        season, dates=DateRange(season.dates.first, season.dates.last.replace(day=season.dates.last.day + 1))
    ),
}


def _first_route(season: Season, place: Place) -> Season:
    route = season.routes[0]
    moved = replace(route, points=(Point(route.points[0].number, place), *route.points[1:]))
    return replace(season, routes=(moved, *season.routes[1:]))


def _first_volunteer(season: Season, **changes: object) -> Season:
    first = replace(season.volunteers[0], **changes)  # type: ignore[arg-type]  # each test changes one field
    return replace(season, volunteers=(first, *season.volunteers[1:]))


@pytest.mark.parametrize("change", CHANGES)
def test_that_only_what_changed_is_computed_and_all_is_the_same(change: str) -> None:
    before = SEASON
    after = CHANGES[change](before)
    found = season_problem_after(season_problem(before, None), after, None, same_roads=True)
    wanted = season_problem(after, None)
    assert found.season == wanted.season
    _assert_same(found, wanted)


def test_that_other_roads_change_every_drive() -> None:
    season = SEASON
    old = season_problem(season, None)
    found = season_problem_after(old, season, None, same_roads=False)
    _assert_same(found, old)
    assert all(found.drives[route.code].legs is not old.drives[route.code].legs for route in season.routes)


def test_that_what_did_not_change_is_not_computed_again() -> None:
    season = SEASON
    old = season_problem(season, None)
    found = season_problem_after(old, _first_route(season, Place(54.701, 2.051)), None, same_roads=True)
    kept = [route.code for route in season.routes[1:]]
    assert all(found.light[code] is old.light[code] for code in kept)
    assert all(found.drives[code].legs is old.drives[code].legs for code in kept)


def _assert_same(found: SeasonProblem, wanted: SeasonProblem) -> None:
    for code, drives in wanted.drives.items():
        for name in ("legs", "out", "back"):
            _assert_same_minutes(getattr(found.drives[code], name), getattr(drives, name))
    for code, light in wanted.light.items():
        np.testing.assert_array_equal(found.light[code].sunset_utc, light.sunset_utc)
        for mine, other in zip(found.light[code].windows, light.windows, strict=True):
            np.testing.assert_array_equal(mine.passes[0].open_utc, other.passes[0].open_utc)
            np.testing.assert_array_equal(mine.passes[0].close_utc, other.passes[0].close_utc)
            assert mine.reasons == other.reasons


def _assert_same_minutes(mine: DriveMinutes, other: DriveMinutes) -> None:
    np.testing.assert_allclose(mine.expected, other.expected, rtol=0, atol=1e-9)
    np.testing.assert_allclose(mine.cautious, other.cautious, rtol=0, atol=1e-9)


@pytest.mark.parametrize("change", CHANGES)
def test_that_a_check_after_a_check_finds_the_same_and_measures_only_what_changed(change: str) -> None:
    old = season_problem(SEASON, None)
    first = check_season(SEASON, PLAN, old, None)
    after = CHANGES[change](SEASON)
    problem = season_problem_after(old, after, None, same_roads=True)
    found = check_season(after, PLAN, problem, None, first)
    wanted = check_season(after, PLAN, season_problem(after, None), None)
    assert (found.findings, found.stands, found.may_be_printed) == (
        wanted.findings,
        wanted.stands,
        wanted.may_be_printed,
    )


def test_that_a_plan_that_changes_leaves_every_route_as_it_was_measured() -> None:
    old = season_problem(SEASON, None)
    first = check_season(SEASON, PLAN, old, None)
    problem = season_problem_after(old, SEASON, None, same_roads=True)
    again = check_season(SEASON, PLAN.without(next(iter(PLAN)).key), problem, None, first)
    assert first.measured is not None
    assert again.measured is not None
    assert all(again.measured.facts[code] is facts for code, facts in first.measured.facts.items())
