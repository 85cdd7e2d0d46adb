"""Finds places that lie where no place of this season can lie: swapped coordinates, a slip in a figure."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.domain.errors import Fault, RuleError
from planner.domain.geo import Place, sphere_metres
from planner.exchange.reads import Origin

LEAST_LIMIT_KM = 300.0
"""Farther than this from the centre, a place is doubted in any season: our choice, no published source."""
LIMIT_IN_MEDIANS = 4.0
"""A wide season (a whole country) is allowed this many times the median distance: our choice."""
FEWEST_PLACES = 3
"""With fewer, there is no saying which of them is wrong."""


@dataclass(frozen=True, slots=True)
class Located:
    """A place with where it was read, and what it is in words: 'point 3 of route R01'."""

    origin: Origin
    what: str
    place: Place
    owner: tuple[str, str] = ("", "")
    """Whether of a route or a home, and whose: what is read anew replaces what the season has."""


@dataclass(frozen=True, slots=True)
class Ground:
    """Where a season lies."""

    centre: Place
    limit_km: float

    def holds(self, place: Place) -> bool:
        """Whether a place lies within the limit."""
        return self.km_from_centre(place) <= self.limit_km

    def km_from_centre(self, place: Place) -> float:
        """Return the distance from the centre in kilometres."""
        return sphere_metres(self.centre, place) / 1000


def ground_of(places: Sequence[Place]) -> Ground | None:
    """Return the middle of some places, by the medians of their directions in space, and how far they may lie from it.

    Medians are not moved by a few that are far off, and directions know no edge at 180 degrees. None for fewer than
    three places.
    """
    if len(places) < FEWEST_PLACES:
        return None
    x, y, z = (statistics.median(axis) for axis in zip(*map(_direction, places), strict=True))
    centre = Place(math.degrees(math.atan2(z, math.hypot(x, y))), math.degrees(math.atan2(y, x)))
    median_km = statistics.median(sphere_metres(centre, place) for place in places) / 1000
    return Ground(centre, max(LEAST_LIMIT_KM, LIMIT_IN_MEDIANS * median_km))


def swapped_faults(located: Iterable[Located], ground: Ground) -> list[Fault]:
    """Return a fault for each place that is far off as it stands, and would be near with its coordinates swapped."""
    return [_swapped_fault(one, ground) for one in located if is_swapped(one.place, ground)]


def is_swapped(place: Place, ground: Ground) -> bool:
    """Whether a place is far off as it stands, and would be near with its coordinates swapped."""
    if ground.holds(place):
        return False
    try:
        return ground.holds(Place(place.longitude, place.latitude))
    except RuleError:
        return False


def far_faults(located: Iterable[Located], ground: Ground) -> list[Fault]:
    """Return a fault for each place that is far off either way round."""
    return [
        _far_fault(one, ground) for one in located if not ground.holds(one.place) and not is_swapped(one.place, ground)
    ]


def _direction(place: Place) -> tuple[float, float, float]:
    phi, lam = math.radians(place.latitude), math.radians(place.longitude)
    return math.cos(phi) * math.cos(lam), math.cos(phi) * math.sin(lam), math.sin(phi)


def _swapped_fault(one: Located, ground: Ground) -> Fault:
    return Fault(
        one.origin.source,
        one.origin.where,
        f"{one.what} near the others, round {ground.centre}",
        f"{one.place}: latitude and longitude look swapped",
        "Swap the two.",
    )


def _far_fault(one: Located, ground: Ground) -> Fault:
    return Fault(
        one.origin.source,
        one.origin.where,
        f"{one.what} within {ground.limit_km:,.0f} km of the middle of the season, {ground.centre}",
        f"{one.place}, {ground.km_from_centre(one.place):,.0f} km away",
        "Check both figures and their signs.",
    )
