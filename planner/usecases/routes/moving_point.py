"""What a point comes to while it is dragged: where the road takes it, and how far and how long to its neighbours."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from planner.domain.field.drive_factors import DriveFactors
from planner.domain.geo import Place
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.travel import Calibration, LatLon, RoadNetwork, Standing, drive_table, geodesic_table_metres
from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.route_checks.measuring import along_metres
from planner.usecases.route_fixes.roads import rounded
from planner.usecases.season.drives import calibration_of


@dataclass(frozen=True, slots=True)
class Neighbour:
    """The way between the dragged point and the one before or behind it."""

    number: int
    apart_m: float
    """As the protocol's spacing is measured: along the road, or as the crow flies; inf: no road leads there."""
    was_apart_m: float
    drive_minutes: float
    """Expected, in the order of the route, stop overhead included; inf: no road leads there."""
    was_drive_minutes: float
    spaced: bool
    """Whether the two stand as far apart as the protocol wants."""


@dataclass(frozen=True, slots=True)
class MovingPoint:
    """A point under the cursor."""

    route: str
    number: int
    place: Place
    """Where it would stand: on the nearest road, else under the cursor."""
    to_road_m: float | None
    """From the cursor to that road; None where there is no road map, or no road near."""
    before: Neighbour | None
    """None for the first point."""
    behind: Neighbour | None
    """None for the last point."""
    overlapping: tuple[int, ...]
    """Points whose habitat circles would overlap its own."""

    @property
    def drive_change_minutes(self) -> float:
        """How much longer the drive along the route would take; inf where a neighbour could not be reached."""
        legs = [one for one in (self.before, self.behind) if one is not None]
        return sum(one.drive_minutes for one in legs) - sum(one.was_drive_minutes for one in legs)


def moving_point(
    protocol: Protocol,
    network: RoadNetwork | None,
    route: Route,
    number: int,
    cursor: Place,
    factors: DriveFactors | None = None,
) -> MovingPoint:
    """Return what a point of a route comes to with the cursor at a place; a pure computation of a few milliseconds.

    Args:
        protocol: the season's.
        network: its roads, at its speeds and as recorded drives say; None: drives are estimates.
        route: as it stands.
        number: of the point that is dragged.
        cursor: where it is held.
        factors: what recorded drives of the season came to; None: nothing was recorded.

    Raises:
        RuleError: the route has no such point.
    """
    at = route.points.index(route.point(number))
    place, to_road_m = _on_road(network, cursor)
    points = tuple(replace(point, place=place) if index == at else point for index, point in enumerate(route.points))
    moved = replace(route, points=points)
    factors = factors or DriveFactors()
    measure = _Legs(protocol, network, calibration_of(factors, route.code))
    return MovingPoint(
        route=route.code,
        number=number,
        place=place,
        to_road_m=to_road_m,
        before=_neighbour(measure, (route, moved), (at - 1, at), at - 1),
        behind=_neighbour(measure, (route, moved), (at, at + 1), at + 1),
        overlapping=_overlapping(protocol, moved, at),
    )


def _on_road(network: RoadNetwork | None, cursor: Place) -> tuple[Place, float | None]:
    snap = network.snap([cursor])[0].used if network is not None else None
    return (rounded(cursor), None) if snap is None else (rounded(snap.place), snap.distance_m)


@dataclass(frozen=True, slots=True)
class _Legs:
    """What legs are measured by."""

    protocol: Protocol
    network: RoadNetwork | None
    calibration: Calibration

    def leg(self, route: Route, leg: tuple[int, int]) -> tuple[float, float]:
        """Return metres apart and drive minutes of one leg."""
        here, there = (_spot(route.points[index].place) for index in leg)
        drive = drive_table(
            [here],
            [there],
            network=self.network,
            stop_overhead_minutes=self.protocol.travel.stop_overhead_minutes,
            calibration=self.calibration,
            standing=Standing.BOTH,
        )
        spacing = self.protocol.points.spacing
        if self.network is not None and spacing is not None and spacing.along_road:
            metres = along_metres(self.network.path(here, there))
        else:
            metres = float(geodesic_table_metres([here], [there])[0, 0])
        return metres, float(drive.expected_minutes[0, 0])


def _neighbour(measure: _Legs, routes: tuple[Route, Route], leg: tuple[int, int], other: int) -> Neighbour | None:
    """Return the way of one leg, on the route as it was and as it would be; None beyond the ends."""
    was, now = routes
    if not 0 <= other < len(now.points):
        return None
    (was_m, was_minutes), (now_m, now_minutes) = (measure.leg(one, leg) for one in (was, now))
    spacing = measure.protocol.points.spacing
    least, most = (spacing.least_allowed_m, spacing.most_allowed_m) if spacing is not None else (0.0, None)
    return Neighbour(
        number=now.points[other].number,
        apart_m=now_m,
        was_apart_m=was_m,
        drive_minutes=now_minutes,
        was_drive_minutes=was_minutes,
        spaced=least <= now_m and (most is None or now_m <= most),
    )


def _overlapping(protocol: Protocol, route: Route, at: int) -> tuple[int, ...]:
    habitat = protocol.habitat
    if habitat is None or habitat.circles_may_overlap:
        return ()
    spots = [_spot(point.place) for point in route.points]
    metres: FloatArray = geodesic_table_metres([spots[at]], spots)[0]
    near = np.flatnonzero(metres < 2 * habitat.radius.metres)
    return tuple(route.points[int(index)].number for index in near if index != at)


def _spot(place: Place) -> LatLon:
    return place.latitude, place.longitude
