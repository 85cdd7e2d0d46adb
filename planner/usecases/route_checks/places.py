"""Places that lie so far from all others that a coordinate is probably wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place, sphere_metres
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.wording import listed, metres_words

FAR_M = 300_000.0
"""Farther than this from the middle of the season nobody goes for one evening: assumption, no published source."""


def place_findings(season: Season) -> Iterator[Finding]:
    """Yield a finding for each route with points, and each volunteer with a home, far from the season's middle."""
    middle = season_middle(season)
    if middle is None:
        return
    far = far_points(season)
    for route in season.routes:
        if far[route.code]:
            yield _on_route(route, sorted(far[route.code]), middle)
    for volunteer in season.volunteers:
        away = sphere_metres(volunteer.home, middle)
        if away > FAR_M:
            what = f"The home of {volunteer.code} lies {metres_words(away)} from the middle of the season."
            subject = Subject(volunteer=volunteer.code)
            yield Finding(Rule.VOLUNTEER_FAR_AWAY, Severity.DOUBT, subject, what, _what_to_mend(volunteer.home, middle))


def _on_route(route: Route, far: list[int], middle: Place) -> Finding:
    first = route.points[far[0]]
    away = metres_words(sphere_metres(first.place, middle))
    if len(far) == len(route.points):
        what, point = f"Route {route.code} lies {away} from the middle of the season.", None
    elif len(far) == 1:
        what, point = f"Point {first.number} lies {away} from the middle of the season.", first.number
    else:
        numbers = listed(route.points[index].number for index in far)
        what, point = f"Points {numbers} lie far from the middle of the season, the first of them {away}.", first.number
    subject = Subject(route=route.code, point=point)
    return Finding(Rule.ROUTE_FAR_AWAY, Severity.DOUBT, subject, what, _what_to_mend(first.place, middle))


def _what_to_mend(place: Place, middle: Place) -> str:
    """Say which slip of the pen would explain the place, if one does."""
    slips = {"latitude and longitude look swapped": (place.longitude, place.latitude)}
    slips["the sign of the longitude looks wrong"] = (place.latitude, -place.longitude)
    slips["the sign of the latitude looks wrong"] = (-place.latitude, place.longitude)
    for slip, (latitude, longitude) in slips.items():
        if abs(latitude) <= 90 and sphere_metres(Place(latitude, longitude), middle) <= FAR_M:
            return f"Look at {place}: {slip}."
    return f"Look at its coordinates, {place}."


def far_points(season: Season) -> Mapping[str, frozenset[int]]:
    """Return the places in the route of the points that lie far from the season's middle, by route code."""
    middle = season_middle(season)
    return {
        route.code: frozenset(
            index
            for index, point in enumerate(route.points)
            if middle is not None and sphere_metres(point.place, middle) > FAR_M
        )
        for route in season.routes
    }


def season_middle(season: Season) -> Place | None:
    """Return the middle of all points and homes, which a few misplaced ones do not move; None where there is none.

    The median of each coordinate on the sphere in space, put back onto the sphere.
    """
    places = [point.place for route in season.routes for point in route.points]
    places += [volunteer.home for volunteer in season.volunteers]
    if not places:
        return None
    north, east = np.radians([[place.latitude, place.longitude] for place in places]).T
    x, y, z = np.median([np.cos(north) * np.cos(east), np.cos(north) * np.sin(east), np.sin(north)], axis=1)
    if np.hypot(np.hypot(x, y), z) < 0.5:
        return None
    return Place(float(np.degrees(np.arctan2(z, np.hypot(x, y)))), float(np.degrees(np.arctan2(y, x))))
