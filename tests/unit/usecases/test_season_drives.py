"""Drives after a change are those that a season made anew has, and only the new ones are measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.scheduling import RouteDrives
from planner.travel import RoadNetwork
from planner.travel.coordinates import Floats, Places
from planner.usecases.season.drives import season_drives, season_drives_after
from tests.unit.travel.small_roads import Edge, road_arrays
from tests.unit.usecases.edited_seasons import SEASON

_SIDE = 6


class _Counting(RoadNetwork):
    """A road network that keeps what was asked of it."""

    asked: list[tuple[int, int]]

    def minutes(self, origins: Places, destinations: Places, *, limit_minutes: float | None = None) -> Floats:
        self.asked.append((len(origins), len(destinations)))
        return super().minutes(origins, destinations, limit_minutes=limit_minutes)


def _network() -> _Counting:
    """A grid of roads, a fifth of them one-way, every drive there unlike the one back."""
    dice = np.random.default_rng(4)
    numbers = np.arange(_SIDE * _SIDE).reshape(_SIDE, _SIDE)
    starts = np.concatenate([numbers[:, :-1].ravel(), numbers[:-1].ravel()]).tolist()
    ends = np.concatenate([numbers[:, 1:].ravel(), numbers[1:].ravel()]).tolist()
    edges: list[Edge] = [
        (start, end, float(dice.uniform(30, 90)), math.inf if dice.random() < 0.2 else float(dice.uniform(30, 90)))
        for start, end in zip(starts, ends, strict=True)
    ]
    network = _Counting(road_arrays(edges, side=_SIDE), attribution="", content_hash="")
    network.asked = []
    return network


NETWORK = _network()

# Places on the grid and beside it; one far from every road, whose drives are estimates.
_places = st.one_of(
    st.builds(
        Place,
        st.integers(0, 50).map(lambda step: 50.0 + step / 1000),
        st.integers(0, 50).map(lambda step: 10.0 + step / 1000),
    ),
    st.just(Place(50.5, 10.5)),
)


@st.composite
def _seasons(draw: st.DrawFn) -> tuple[Season, Season]:
    """Draw a season, and the same with some points and homes moved, some gone or new, and in another order."""
    codes = draw(st.lists(st.sampled_from(["R1", "R2", "R3"]), min_size=1, unique=True))
    routes = {code: draw(st.lists(_places, min_size=1, max_size=4)) for code in codes}
    homes = draw(st.lists(_places, min_size=1, max_size=4))
    kept = st.sampled_from([*homes, *(place for places in routes.values() for place in places)])
    either = st.one_of(kept, kept, _places)
    later = {code: draw(st.lists(either, min_size=1, max_size=4)) for code in draw(st.permutations(["R1", "R2", "R4"]))}
    if draw(st.booleans()):
        later |= {code: places for code, places in routes.items() if code == "R1"}
    return _season(routes, homes), _season(later, draw(st.one_of(st.just(homes), st.lists(either, min_size=1))))


def _season(routes: dict[str, list[Place]], homes: Sequence[Place]) -> Season:
    somebody = SEASON.volunteers[0]
    return replace(
        SEASON,
        routes=tuple(_route(code, places) for code, places in routes.items()),
        volunteers=tuple(replace(somebody, code=f"V{n}", home=home) for n, home in enumerate(homes)),
    )


def _route(code: str, places: Sequence[Place]) -> Route:
    points = tuple(Point(number, place) for number, place in enumerate(places, start=1))
    return replace(SEASON.routes[0], code=code, points=points)


@settings(max_examples=25, deadline=None)
@given(_seasons(), st.booleans())
def test_that_drives_after_a_change_are_those_of_a_season_made_anew(
    drawn: tuple[Season, Season], on_roads: bool
) -> None:
    before, after = drawn
    network = NETWORK if on_roads else None
    found = season_drives_after(before, season_drives(before, network), after, network)
    _assert_same(found, season_drives(after, network))


def _assert_same(found: dict[str, RouteDrives], wanted: dict[str, RouteDrives]) -> None:
    assert list(found) == list(wanted)
    for code, drives in wanted.items():
        for name in ("legs", "out", "back"):
            mine, other = getattr(found[code], name), getattr(drives, name)
            for column in ("optimistic", "expected", "cautious"):
                np.testing.assert_allclose(getattr(mine, column), getattr(other, column), rtol=0, atol=1e-9)
            np.testing.assert_array_equal(mine.estimated, other.estimated)


def test_that_routes_measured_together_have_the_drives_they_have_alone() -> None:
    dice = np.random.default_rng(9)
    rows = dice.uniform(0, 0.05, (56, 11, 2)).round(5).tolist()
    routes = {f"R{n}": [Place(50.0 + lat, 10.0 + lon) for lat, lon in row] for n, row in enumerate(rows)}
    season = _season(routes, [Place(50.0, 10.0)])
    found = season_drives(season, NETWORK)
    for code, places in list(routes.items())[::9]:
        alone = season_drives(_season({code: places}, [Place(50.0, 10.0)]), NETWORK)
        _assert_same({code: found[code]}, alone)


@pytest.fixture
def before() -> Season:
    """Three routes of four points, five homes."""
    dice = np.random.default_rng(6)
    places = [Place(50.0 + lat, 10.0 + lon) for lat, lon in dice.uniform(0, 0.05, (17, 2)).round(5).tolist()]
    return _season({code: places[4 * n : 4 * n + 4] for n, code in enumerate(("R1", "R2", "R3"))}, places[12:])


def _asked_after(before: Season, after: Season) -> list[tuple[int, int]]:
    drives = season_drives(before, NETWORK)
    NETWORK.asked.clear()
    season_drives_after(before, drives, after, NETWORK)
    return sorted(NETWORK.asked)


def test_that_a_moved_point_is_measured_against_its_route_and_the_homes_alone(before: Season) -> None:
    first = before.routes[0]
    moved = replace(first, points=(Point(1, Place(50.02, 10.02)), *first.points[1:]))
    asked = _asked_after(before, replace(before, routes=(moved, *before.routes[1:])))
    # Its own row and column of the route, one row back to the homes, one column out from them.
    assert asked == [(1, 4), (1, 5), (3, 1), (5, 1)]


def test_that_a_new_home_is_measured_against_the_points_alone(before: Season) -> None:
    newcomer = replace(before.volunteers[0], code="V9", home=Place(50.03, 10.01))
    assert _asked_after(before, replace(before, volunteers=(*before.volunteers, newcomer))) == [(1, 12), (12, 1)]


def test_that_nothing_is_measured_where_no_place_is_new(before: Season) -> None:
    other_way = replace(before, routes=before.routes[::-1], volunteers=before.volunteers[1:])
    assert _asked_after(before, other_way) == []
    renumbered = replace(before.routes[0], points=tuple(reversed(before.routes[0].points)))
    assert _asked_after(before, replace(before, routes=(renumbered, *before.routes[1:]))) == []


def test_that_the_first_routes_of_a_season_are_measured_whole(before: Season) -> None:
    found = season_drives_after(replace(before, routes=()), {}, before, NETWORK)
    _assert_same(found, season_drives(before, NETWORK))


def test_that_a_season_with_the_same_places_keeps_its_drives(before: Season) -> None:
    drives = season_drives(before, NETWORK)
    found = season_drives_after(before, drives, replace(before, routes=before.routes[1:]), NETWORK)
    assert all(found[code] is drives[code] for code in ("R2", "R3"))
