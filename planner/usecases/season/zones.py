"""The time zone of places, for a person to take or to overrule."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place, sphere_metres
from planner.domain.season import Season
from planner.exchange import CoordinateError, parse_pair
from planner.light.zone_finder import NoZonesError, zone_town, zones_of
from planner.usecases.wording import listed

INSTALL_ZONES = (
    "pip install 'dimpsy[zones]' brings a map of time zones (34 MB, OpenStreetMap, ODbL) by which it is found offline"
)
_MOST_NAMED = 6
_FAR_KM = 3_500.0
"""No place of a zone that is named for a town lies farther from it: Russia and Brazil are cut finer; our choice."""


@dataclass(frozen=True, slots=True)
class ZoneFound:
    """The time zone of a place."""

    zone: str
    """IANA name; empty where none was found."""
    reason: str
    """How it was found, or why not; in words."""


def zone_at(place: Place) -> ZoneFound:
    """Return the time zone that a place lies in; never raises."""
    try:
        (zone,) = zones_of([place])
    except NoZonesError:
        return ZoneFound("", f"The time zone is not known without a map of them: {INSTALL_ZONES}.")
    if not zone:
        return ZoneFound("", f"{place} lies at sea, where no time zone has a name.")
    if zone not in zoneinfo.available_timezones():
        return ZoneFound("", f"{place} lies in {zone}, which this computer's time zones do not know.")
    return ZoneFound(zone, f"{place} lies in {zone} by the map of time zones; look at it where a border is near.")


def zone_of_text(text: str) -> ZoneFound:
    """Return the time zone of a place as it is typed, latitude first: '54.74, -2.21'; never raises."""
    try:
        place = parse_pair(text)
    except CoordinateError as error:
        return ZoneFound("", f"Expected {error.expected}, found {error.found}.")
    return zone_at(place)


def zone_of_all(places: Sequence[Place]) -> str:
    """Return the zone that most of some places lie in; empty where it cannot be known."""
    return max(Counter(_zones(places)).items(), key=lambda one: one[1], default=("", 0))[0] if places else ""


def zone_doubts(named: Sequence[tuple[str, Place]], season: Season) -> Iterator[tuple[str, str]]:
    """Yield what is odd about the zones of places: where, and in words what; nothing without the map of zones.

    A zone whose clocks show the same as the season's on every day of it is as good as the same.

    Args:
        named: places with what each is called: 'point 3 of route R01'.
        season: its zone is the one that every time is told in.
    """
    zones = _zones([place for _, place in named])
    same = {zone: bool(zone) and _same_clock(zone, season) for zone in set(zones)}
    odd = [(name, zone) for (name, _), zone in zip(named, zones, strict=False) if not same[zone]]
    for name, zone in odd[:_MOST_NAMED]:
        lies = f"lies in the time zone {zone}" if zone else "lies at sea, in no time zone"
        yield name, f"{lies}; the season's is {season.zone}"
    if len(odd) > _MOST_NAMED:
        yield "", f"{len(odd) - _MOST_NAMED} more places lie outside of {season.zone}"


def zone_findings(season: Season) -> Iterator[Finding]:
    """Yield a finding for each route with points whose clocks are not the season's; nothing without the map of zones.

    Points at sea are passed over: an invented season may lie there, and no clock of theirs could differ.
    """
    points = [(route.code, point.number, point.place) for route in season.routes for point in route.points]
    zones = _zones([place for _, _, place in points])
    same = {zone: not zone or _same_clock(zone, season) for zone in set(zones)}
    odd: dict[str, dict[str, list[int]]] = {}
    for (code, number, _), zone in zip(points, zones, strict=False):
        if not same[zone]:
            odd.setdefault(code, {}).setdefault(zone, []).append(number)
    for code, numbers in odd.items():
        said = "; ".join(f"{_points_lie(found)} in {zone}" for zone, found in numbers.items())
        yield Finding(
            Rule.SEASON_ZONE,
            Severity.DOUBT,
            Subject(route=code, point=next(iter(numbers.values()))[0]),
            f"By the map of time zones {said}; every time is told in {season.zone}, the season's.",
            "Near a border the map may be wrong; else mend the coordinates, or make the season with the other zone.",
        )


def _points_lie(numbers: Sequence[int]) -> str:
    return f"point {numbers[0]} lies" if len(numbers) == 1 else f"points {listed(map(str, numbers))} lie"


def _same_clock(zone: str, season: Season) -> bool:
    if zone == season.zone:
        return True
    if zone not in zoneinfo.available_timezones():
        return False
    other = zoneinfo.ZoneInfo(zone)
    noons = [dt.datetime.combine(day, dt.time(12)) for day in season.dates]
    return all(
        noon.replace(tzinfo=other).utcoffset() == noon.replace(tzinfo=season.tzinfo).utcoffset() for noon in noons
    )


def swapped_by_zone(places: Sequence[Place], season_zone: str) -> bool:
    """Whether places lie nowhere near the season's time zone as they stand, and near it with their figures swapped."""
    town = zone_town(season_zone)
    if town is None or not places or any(abs(place.longitude) > 90 for place in places):
        return False
    swapped = [Place(place.longitude, place.latitude) for place in places]
    if all(sphere_metres(place, town) > _FAR_KM * 1000 for place in places):
        return all(sphere_metres(place, town) <= _FAR_KM * 1000 for place in swapped)
    zones = set(_zones(places))
    return bool(zones) and season_zone not in zones and set(_zones(swapped)) == {season_zone}


def _zones(places: Sequence[Place]) -> tuple[str, ...]:
    try:
        return zones_of(places)
    except NoZonesError:
        return ()
