"""Areas of a report: those that the routes were given, else the first letters of their codes, else the compass."""

from __future__ import annotations

import re
from collections.abc import Sequence

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.usecases.routes.areas import middle_of

GIVEN_WORDS = "Areas are those that the routes were given in this season."
PREFIX_WORDS = "Areas are the first letters of the routes' codes."
COMPASS_WORDS = (
    "Areas are named after the compass: the ground between the outermost routes is cut into thirds, north to south and"
    " west to east."
)
WITHOUT_POINTS = "without points"
NO_AREA = "no area said"

_LETTERS = re.compile(r"[^\W\d_]+")
_LEAST_ROUTES_A_PREFIX = 2.0
"""Where there are fewer routes to a prefix in the mean, each code is a name of its own rather than one of an area."""


def report_areas(routes: Sequence[Route]) -> tuple[dict[str, str], str]:
    """Return the area of every route by code, in the order in which areas are told, and what areas are in a sentence.

    Where routes were given areas, these, by name, and routes without one last. A coordinator who codes routes by area,
    as DO01 and WI01, means these. Else a grid of nine, which stays the same when a route inside it is added, and says
    where it is to somebody who knows no route.
    """
    if any(route.area for route in routes):
        ordered = sorted(routes, key=lambda route: (not route.area, route.area.casefold(), route.area))
        return {route.code: route.area or NO_AREA for route in ordered}, GIVEN_WORDS
    prefixes = {route.code: match.group() for route in routes if (match := _LETTERS.match(route.code))}
    kinds = len(set(prefixes.values()))
    if len(prefixes) == len(routes) and 1 < kinds <= len(routes) / _LEAST_ROUTES_A_PREFIX:
        return dict(sorted(prefixes.items(), key=lambda item: item[1])), PREFIX_WORDS
    return _by_compass(routes), COMPASS_WORDS


def _by_compass(routes: Sequence[Route]) -> dict[str, str]:
    middles = {route.code: middle_of(route) for route in routes if route.points}
    found = {route.code: (9, WITHOUT_POINTS) for route in routes}
    if middles:
        first = next(iter(middles.values()))
        norths = [place.latitude for place in middles.values()]
        easts = [_degrees_east(place, first) for place in middles.values()]
        for code, place in middles.items():
            row = 2 - _third(place.latitude, min(norths), max(norths))
            column = _third(_degrees_east(place, first), min(easts), max(easts))
            found[code] = 3 * row + column, _NAMES[row][column]
    ordered = sorted(found.items(), key=lambda item: item[1][0])
    return {code: name for code, (_, name) in ordered}


_NAMES = (("north-west", "north", "north-east"), ("west", "middle", "east"), ("south-west", "south", "south-east"))


def _third(value: float, least: float, most: float) -> int:
    """Return in which third of a span a value lies: 0, 1 or 2; the middle where the span is nothing."""
    if most <= least:
        return 1
    return min(int(3.0 * (value - least) / (most - least)), 2)


def _degrees_east(place: Place, first: Place) -> float:
    """Return degrees east of another place, across the date line too."""
    return (place.longitude - first.longitude + 180.0) % 360.0 - 180.0
