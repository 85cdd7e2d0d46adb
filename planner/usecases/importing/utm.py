"""The UTM zone that metres without one may be in, by what is known of where the season lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.domain.geo import Place, sphere_metres
from planner.domain.season import Season
from planner.exchange import middle_of, utm_readings, utm_zone_at
from planner.light.zone_finder import zone_town
from planner.usecases.season.zones import zone_of_all

_MOST_OFFERED = 3


def likely_zones(season: Season, metres: tuple[str, str], others: Sequence[Place]) -> Iterator[tuple[str, str]]:
    """Yield the zones that some metres are likely in, the likeliest first, and in words why.

    The season's own places tell it, else those of the other files, else the town that the season's time zone is named
    for: then each zone counts that puts the metres into the time zone, or, where no map tells, the nearest.

    Args:
        season: where it lies is known by its places and its time zone.
        metres: an easting and a northing as they are written; both empty where none can be read.
        others: the places in the other files of the same import.
    """
    middle, why = middle_of(season), "where the season lies"
    if middle is None and others:
        middle, why = _middle(others), "where the other files lie"
    if middle is not None:
        by_distance = _by_distance(metres, middle)
        yield by_distance[0][0] if by_distance else str(utm_zone_at(middle)), why
        return
    town = zone_town(season.zone)
    by_distance = _by_distance(metres, town) if town is not None else []
    inside = [zone for zone, place in by_distance if zone_of_all([place]) == season.zone]
    for zone in inside[:_MOST_OFFERED]:
        yield zone, f"which puts them into the time zone {season.zone}"
    if not inside:
        yield from ((zone, f"near the time zone {season.zone}") for zone, _ in by_distance[:_MOST_OFFERED])


def _by_distance(metres: tuple[str, str], near: Place) -> list[tuple[str, Place]]:
    """Return the zones around a place with where the metres lie in each, the nearest to the place first."""
    found = [(str(zone), place) for zone, place in utm_readings(*metres, near)]
    return sorted(found, key=lambda one: sphere_metres(one[1], near))


def _middle(places: Sequence[Place]) -> Place:
    """Return the place with the median latitude and longitude, which one place far away does not move."""
    half = len(places) // 2
    latitudes = sorted(place.latitude for place in places)
    return Place(latitudes[half], sorted(place.longitude for place in places)[half])
