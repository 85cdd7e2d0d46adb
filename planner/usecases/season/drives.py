"""The drives of a season: all of them, or those alone that a change has made untrue."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from planner.domain.field.drive_factors import DriveFactors
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.travel import FigureSource
from planner.scheduling import DriveMinutes, RouteDrives
from planner.travel import SOURCES, Calibration, LatLon, RoadNetwork, Standing, drive_table

_ESTIMATE = SOURCES.index(FigureSource.ESTIMATE)
_POINTS_AT_ONCE = 500
"""For the sake of memory: a table of so many points by as many takes some 20 MB while it is made."""
_ALL = slice(None)
_COLUMNS = tuple(field.name for field in fields(DriveMinutes))


def season_drives(season: Season, network: RoadNetwork | None) -> dict[str, RouteDrives]:
    """Return every drive within routes, from homes to points and back, by route code.

    Args:
        season: all its routes have points.
        network: the roads as the homes of the season are served; None makes every drive an estimate.
    """
    roads = _Roads(season, network)
    out = roads.minutes(_homes(season), _points(season), Standing.DESTINATIONS)
    back = roads.minutes(_points(season), _homes(season), Standing.ORIGINS)
    return _by_route(season, roads.legs(season.routes), out, back)


def season_drives_after(
    before: Season, drives: Mapping[str, RouteDrives], season: Season, network: RoadNetwork | None
) -> dict[str, RouteDrives]:
    """Return what ``season_drives`` does, measuring only drives that begin or end at a place that is new.

    Args:
        before: the season as it stood; all its routes have points. What recorded drives of the season and of road
            classes came to is the same in both; that of routes may differ.
        drives: its drives, on the same roads.
        season: the season as it stands; all its routes have points.
        network: the roads, as in ``season_drives``.
    """
    if not before.routes:
        return season_drives(season, network)
    same_homes = _homes(before) == _homes(season)
    places = {route.code: _places(route) for route in before.routes if _same_factor(before, season, route.code)}
    same = {route.code for route in season.routes if places.get(route.code) == _places(route)}
    if same_homes and len(same) == len(season.routes):
        return {route.code: drives[route.code] for route in season.routes}
    roads = _Roads(season, network)
    legs = {code: drives[code].legs for code in same}
    legs |= roads.legs([route for route in season.routes if route.code not in places])
    for route in season.routes:
        if route.code not in legs:
            legs[route.code] = roads.legs_after(places[route.code], drives[route.code].legs, route)
    homes, points = (_Kept.build(old(before), old(season)) for old in (_homes, _points))
    old_out = _side_by_side([drives[route.code].out for route in before.routes], axis=1)
    old_back = _side_by_side([drives[route.code].back for route in before.routes], axis=0)
    out = _extended(old_out, homes, points, lambda a, b: roads.minutes(a, b, Standing.DESTINATIONS))
    back = _extended(old_back, points, homes, lambda a, b: roads.minutes(a, b, Standing.ORIGINS))
    found = _by_route(season, legs, out, back)
    return found | ({code: drives[code] for code in same} if same_homes else {})


def calibration_of(factors: DriveFactors, route: str = "") -> Calibration:
    """Return what recorded drives came to within one route, or within none."""
    return Calibration(factors.route_factor(route), factors.season_factor, factors.estimates_doubt(route))


def same_calibration(before: DriveFactors, factors: DriveFactors, route: str = "") -> bool:
    """Whether estimated drives, and those that go by the season's factor, are the same within a route, or none."""
    one, other = (
        (some.season_factor, some.route_factor(route), some.estimates_doubt(route)) for some in (before, factors)
    )
    return one == other


def _same_factor(before: Season, season: Season, route: str) -> bool:
    return same_calibration(before.drive_factors, season.drive_factors, route)


def point_rows(routes: Sequence[Route]) -> Iterator[tuple[Route, slice]]:
    """Yield each route with the rows of its points among those of all the routes."""
    start = 0
    for route in routes:
        yield route, slice(start, start + len(route.points))
        start += len(route.points)


@dataclass(frozen=True, slots=True)
class _Roads:
    """What drives are measured by."""

    season: Season
    network: RoadNetwork | None

    def minutes(
        self,
        origins: Sequence[Place],
        destinations: Sequence[Place],
        standing: Standing,
        calibration: Calibration | None = None,
    ) -> DriveMinutes:
        """Return the drives from all origins to all destinations, as recorded drives say they are.

        Args:
            origins: places to leave.
            destinations: places to reach.
            standing: at which of them people walk to their very place.
            calibration: of the routes within which the drives are; None: they are within none.
        """
        table = drive_table(
            _pairs(origins),
            _pairs(destinations),
            network=self.network,
            stop_overhead_minutes=self.season.protocol.travel.stop_overhead_minutes,
            calibration=self._calibration() if calibration is None else calibration,
            standing=standing,
        )
        return DriveMinutes(
            optimistic=table.optimistic_minutes,
            expected=table.expected_minutes,
            cautious=table.cautious_minutes,
            estimated=table.source_numbers == _ESTIMATE,
        )

    def legs(self, routes: Sequence[Route]) -> dict[str, DriveMinutes]:
        """Return the drives from point to point within each route, by its code.

        On roads many routes are measured at once: a search goes out from each point in any case, and a large table
        is quicker than many small ones.
        """
        found = {}
        for some in _groups(routes, _POINTS_AT_ONCE if self.network else 0):
            places = [place for route in some for place in _places(route)]
            table = self.minutes(places, places, Standing.BOTH, self._calibration_of(some))
            found.update({route.code: _part(table, (rows, rows)) for route, rows in point_rows(some)})
        return found

    def legs_after(self, earlier: tuple[Place, ...], legs: DriveMinutes, route: Route) -> DriveMinutes:
        """Return the drives within a route of which some places were there before, their drives known."""
        points, calibration = _Kept.build(earlier, _places(route)), self._calibration(route.code)
        return _extended(legs, points, points, lambda a, b: self.minutes(a, b, Standing.BOTH, calibration))

    def _calibration(self, route: str = "") -> Calibration:
        return calibration_of(self.season.drive_factors, route)

    def _calibration_of(self, routes: Sequence[Route]) -> Calibration:
        """Return the calibration of drives from each point of some routes."""
        lengths = [len(route.points) for route in routes]
        factors = self.season.drive_factors
        # Whether estimates were measured is so for all routes or for none.
        each = [factors.estimates_doubt(route.code) for route in routes]
        doubts = [one for one in each if one is not None]
        return Calibration(
            np.repeat([factors.route_factor(route.code) for route in routes], lengths),
            factors.season_factor,
            np.repeat(doubts, lengths) if doubts else None,
        )


def _groups(routes: Sequence[Route], most_points: int) -> Iterator[list[Route]]:
    """Yield routes in their order, together as long as they have so many points at most, one at least."""
    some: list[Route] = []
    for route in routes:
        if some and sum(len(one.points) for one in (*some, route)) > most_points:
            yield some
            some = []
        some.append(route)
    if some:
        yield some


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """Places as they are now, and where among the earlier ones each is; -1 where it is new."""

    places: tuple[Place, ...]
    earlier: NDArray[np.int64]

    @classmethod
    def build(cls, earlier: tuple[Place, ...], places: tuple[Place, ...]) -> _Kept:
        """Look places up among earlier ones."""
        numbers = {place: number for number, place in enumerate(earlier)}
        return cls(places, np.array([numbers.get(place, -1) for place in places], dtype=np.int64))

    @property
    def old(self) -> NDArray[np.int64]:
        """Rows of the places that were there."""
        return np.flatnonzero(self.earlier >= 0)

    @property
    def new(self) -> NDArray[np.int64]:
        """Rows of the places that were not."""
        return np.flatnonzero(self.earlier < 0)

    def some(self, rows: NDArray[np.int64]) -> tuple[Place, ...]:
        """Return the places of some rows."""
        return tuple(self.places[row] for row in rows.tolist())


_Measure = Callable[[Sequence[Place], Sequence[Place]], DriveMinutes]


def _extended(known: DriveMinutes, rows: _Kept, columns: _Kept, measure: _Measure) -> DriveMinutes:
    """Return a table of which the cells between two places that were there are known."""
    # Measuring nothing would still put every place of the other side onto the roads.
    whole_rows = measure(rows.some(rows.new), columns.places) if len(rows.new) else None
    rest = measure(rows.some(rows.old), columns.some(columns.new)) if len(rows.old) and len(columns.new) else None
    arrays = {}
    for name in _COLUMNS:
        earlier = getattr(known, name)
        array = np.empty((len(rows.places), len(columns.places)), dtype=earlier.dtype)
        array[np.ix_(rows.old, columns.old)] = earlier[np.ix_(rows.earlier[rows.old], columns.earlier[columns.old])]
        if whole_rows is not None:
            array[rows.new] = getattr(whole_rows, name)
        if rest is not None:
            array[np.ix_(rows.old, columns.new)] = getattr(rest, name)
        arrays[name] = array
    return DriveMinutes(**arrays)


def _side_by_side(tables: Iterable[DriveMinutes], axis: int) -> DriveMinutes:
    some = list(tables)
    return DriveMinutes(**{name: np.concatenate([getattr(one, name) for one in some], axis) for name in _COLUMNS})


def _by_route(
    season: Season, legs: dict[str, DriveMinutes], out: DriveMinutes, back: DriveMinutes
) -> dict[str, RouteDrives]:
    return {
        route.code: RouteDrives(legs[route.code], _part(out, (_ALL, rows)), _part(back, (rows, _ALL)))
        for route, rows in point_rows(season.routes)
    }


def _part(table: DriveMinutes, cells: tuple[slice, slice]) -> DriveMinutes:
    return DriveMinutes(**{name: getattr(table, name)[cells] for name in _COLUMNS})


def _places(route: Route) -> tuple[Place, ...]:
    return tuple(point.place for point in route.points)


def _points(season: Season) -> tuple[Place, ...]:
    return tuple(place for route in season.routes for place in _places(route))


def _homes(season: Season) -> tuple[Place, ...]:
    return tuple(volunteer.home for volunteer in season.volunteers)


def _pairs(places: Iterable[Place]) -> list[LatLon]:
    return [(place.latitude, place.longitude) for place in places]
