"""Routes as arrays on the map's ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from PySide6.QtCore import QRectF

from planner.desktop.map.camera import bounds
from planner.desktop.map.ground import Floats, Ground, Ints
from planner.domain.geo import Place
from planner.domain.route import Route


@dataclass(frozen=True, eq=False)
class RouteSheet:
    """All points of all routes, one route after the other; routes without points take no row."""

    routes: tuple[Route, ...]
    starts: Ints
    """First row of each route, and the number of rows at the end."""
    numbers: Ints
    """Each point's number."""
    east: Floats
    south: Floats
    """Metres of the map."""
    true_east: Floats
    true_south: Floats
    """Metres of the map that a true metre is at each point."""
    radius_m: float | None
    """Of the circle round each point, true metres."""

    @classmethod
    def of(cls, routes: Sequence[Route], ground: Ground, radius_m: float | None) -> RouteSheet:
        """Lay routes out on the ground."""
        points = [point for route in routes for point in route.points]
        latitudes = np.array([point.place.latitude for point in points], dtype=np.float64)
        longitudes = np.array([point.place.longitude for point in points], dtype=np.float64)
        east, south = ground.metres(latitudes, longitudes)
        true_east, true_south = ground.stretch(latitudes)
        return cls(
            tuple(routes),
            np.cumsum([0, *(len(route.points) for route in routes)], dtype=np.int64),
            np.array([point.number for point in points], dtype=np.int64),
            east,
            south,
            true_east,
            true_south,
            radius_m,
        )

    @cached_property
    def owners(self) -> Ints:
        """Place in ``routes`` of each row's route."""
        return np.repeat(np.arange(len(self.routes)), np.diff(self.starts))

    @cached_property
    def _places(self) -> dict[str, int]:
        return {route.code: place for place, route in enumerate(self.routes)}

    def route_place(self, code: str) -> int | None:
        """Return the place of a route in ``routes``; None where it is not shown."""
        return self._places.get(code)

    def rows(self, place: int) -> slice:
        """Return the rows of a route's points."""
        return slice(int(self.starts[place]), int(self.starts[place + 1]))

    def row(self, code: str, number: int) -> int | None:
        """Return the row of a point; None where it is not shown."""
        place = self._places.get(code)
        if place is None:
            return None
        rows = self.rows(place)
        found = np.flatnonzero(self.numbers[rows] == number)
        return rows.start + int(found[0]) if len(found) else None

    def title(self, row: int) -> str:
        """Return what a point is called."""
        return self.routes[int(self.owners[row])].title

    def code(self, row: int) -> str:
        """Return the code of a point's route."""
        return self.routes[int(self.owners[row])].code

    def spacings(self) -> Floats:
        """Return the usual step from one point to the next of each route, metres of the map; inf for single points.

        A quarter of the steps are shorter.
        """
        steps = np.hypot(np.diff(self.east), np.diff(self.south))
        usual = np.full(len(self.routes), np.inf)
        for place in np.flatnonzero(np.diff(self.starts) > 1).tolist():
            usual[place] = np.quantile(steps[self.starts[place] : self.starts[place + 1] - 1], 0.25)
        return usual

    @cached_property
    def boxes(self) -> tuple[Floats, Floats, Floats, Floats]:
        """West, north, east and south end of each route, metres of the map; nan where it has no points."""
        ends = [np.full(len(self.routes), np.nan) for _ in range(4)]
        filled = np.flatnonzero(np.diff(self.starts) > 0)
        if len(filled):
            begins = self.starts[filled]
            reducers = (np.minimum, np.minimum, np.maximum, np.maximum)
            values = (self.east, self.south, self.east, self.south)
            for end, reducer, value in zip(ends, reducers, values, strict=True):
                end[filled] = reducer.reduceat(value, begins)
        return ends[0], ends[1], ends[2], ends[3]

    def top_row(self, place: int) -> int:
        """Return the row of a route's northernmost point; the route must have one."""
        rows = self.rows(place)
        return int(rows.start) + int(np.argmin(self.south[rows]))

    def extent(self, place: int | None = None) -> QRectF | None:
        """Return the ground that a route, or all of them, span with their circles; None where there is no point."""
        rows = slice(None) if place is None else self.rows(place)
        east, south = self.east[rows], self.south[rows]
        if not len(east):
            return None
        around = (self.radius_m or 0.0) * float(np.max(self.true_east[rows]))
        return bounds(east, south).adjusted(-around, -around, around, around)

    def moved(self, row: int, place: Place, ground: Ground) -> RouteSheet:
        """Return the sheet with one point elsewhere."""
        east, south = self.east.copy(), self.south.copy()
        east[row], south[row] = ground.spot(place)
        return replace(self, east=east, south=south)
