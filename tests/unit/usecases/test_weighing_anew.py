"""A route that is weighed from what is known of the season already comes to what it comes to from nothing."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from planner.domain.finding import Rule
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.route_fixes import (
    RouteFigures,
    Surroundings,
    WeighedRoute,
    drop_fix,
    fixes_for,
    order_fixes,
    weigh,
    weigh_fix,
)
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from tests.shared_demo import demo_folder

__all__ = ["demo_folder"]


@dataclass(frozen=True, slots=True)
class Ground:
    """The demo season, with nothing known of it, and with its light and drives computed."""

    bare: Surroundings
    known: Surroundings

    def both(self, route: Route) -> tuple[WeighedRoute, WeighedRoute]:
        """Weigh a route with nothing known and from what is known."""
        return weigh(self.bare, route), weigh(self.known, route)


@pytest.fixture(scope="module")
def ground(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ground]:
    folder = tmp_path_factory.mktemp("weighed")
    for source in demo_folder.glob("heath.*"):
        if source.suffix in (".dimpsy", ".npz"):
            shutil.copy(source, folder)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        season, plan = file.season(), file.plan()
        network = road_network(file.path, season.roads)
        bare = Surroundings(season, plan, network)
        yield Ground(bare, replace(bare, known=season_problem(season, network)))


def assert_same(one: WeighedRoute, other: WeighedRoute) -> None:
    assert other.route == one.route
    assert other.findings == one.findings
    assert figures(other.figures) == pytest.approx(figures(one.figures), abs=1e-6, nan_ok=True)
    assert drives(other.problem) == pytest.approx(drives(one.problem), abs=1e-6)


def figures(of: RouteFigures) -> list[float]:
    points = [value for point in of.points for value in dataclasses.astuple(point)]
    margins = [value for one in of.margins for value in (one.minutes, one.day and one.day.toordinal())]
    return [float("nan") if value is None else float(value) for value in (*points, *margins)]


def drives(problem: SeasonProblem) -> list[float]:
    (tables,) = problem.drives.values()
    parts = (tables.legs, tables.out, tables.back)
    return [value for part in parts for value in part.cautious.ravel().tolist()]


def test_that_a_route_as_it_stands_is_looked_up(ground: Ground) -> None:
    route = ground.bare.season.route("R17")
    bare, known = ground.both(route)
    assert_same(bare, known)
    assert ground.known.known is not None
    assert known.problem.light["R17"] is ground.known.known.light["R17"]
    assert known.problem.drives["R17"] is ground.known.known.drives["R17"]


def moved(route: Route) -> Route:
    first = route.points[0]
    place = Place(first.place.latitude + 0.002, first.place.longitude)
    return replace(route, points=(replace(first, place=place), *route.points[1:]))


def longer(route: Route) -> Route:
    last = route.points[-1]
    return replace(route, points=(*route.points, Point(last.number + 1, Place(54.69, -2.33))))


@pytest.mark.parametrize("change", [moved, longer], ids=["moved", "longer"])
def test_that_a_route_changed_since_is_measured_where_it_is_new(ground: Ground, change: object) -> None:
    assert callable(change)
    assert_same(*ground.both(change(ground.bare.season.route("R05"))))


def test_that_a_route_the_season_did_not_have_is_measured_whole(ground: Ground) -> None:
    assert_same(*ground.both(replace(ground.bare.season.route("R05"), code="R99")))


def test_that_every_fix_and_order_is_weighed_from_the_route_before_it(ground: Ground) -> None:
    weighed = weigh(ground.known, ground.bare.season.route("R05"))
    (finding,) = [one for one in weighed.findings if one.rule is Rule.ROUTE_CIRCLES]
    offered = [*fixes_for(ground.known, weighed, finding)]
    offered += [weigh_fix(ground.known, weighed, fix) for fix in order_fixes(weighed)]
    offered.append(weigh_fix(ground.known, weighed, drop_fix(weighed.route, [7])))
    assert len(offered) > 2
    for offer in offered:
        assert_same(weigh(ground.bare, offer.fix.after), offer.after)


def test_that_who_has_come_since_drives_to_it(ground: Ground) -> None:
    season = ground.bare.season
    somebody = replace(season.volunteers[0], code="V99", home=Place(54.7, -2.3))
    grown = replace(season, volunteers=(*season.volunteers, somebody))
    route = season.route("R01")
    bare, known = (weigh(replace(around, season=grown), route) for around in (ground.bare, ground.known))
    assert_same(bare, known)
    assert known.problem.drives["R01"].out.cautious.shape[0] == len(grown.volunteers)
