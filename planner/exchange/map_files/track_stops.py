"""Finds where somebody stood, in the track that a satellite receiver kept of the way.

The rule is that of stay points (Li, Zheng, Xie, Chen, Liu and Ma, "Mining user similarity based on location history",
ACM GIS 2008, from memory): fixes that lie near each other for long enough. A fix is held against the mean of the stay
so far rather than against its first fix, and a short jump away does not end a stay, because receivers jump.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from planner.domain.geo import MEAN_EARTH_RADIUS_M, Place, sphere_metres
from planner.exchange.reads import Track

LEAST_STAY_S = 120.0
"""A shorter stay may be a gate or a junction; the shortest counts known to us take three minutes: our choice."""
RADIUS_M = 30.0
"""Receivers wander 5 to 15 m while they stand; points of surveys lie some hundred metres apart: our choice."""
LONGEST_JUMP_S = 60.0
"""Somebody who is back within this time never left: our choice."""
SAME_STOP_M = 60.0
"""Stays nearer than this, at whatever times, are one stop: our choice, twice the radius."""

_METRES_A_DEGREE = MEAN_EARTH_RADIUS_M * math.pi / 180


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where somebody stood."""

    place: Place
    arrived_s: float
    """The first time, in seconds since 1970 (UTC)."""
    stayed_s: float
    """All times together, in seconds."""


@dataclass(frozen=True, slots=True)
class _Fix:
    time_s: float
    place: Place


def find_stops(
    tracks: Sequence[Track], *, least_stay_s: float = LEAST_STAY_S, radius_m: float = RADIUS_M
) -> tuple[Stop, ...]:
    """Return the stops of some tracks, in the order of their first arrival; none where the tracks have no times.

    A time without fixes belongs to the stay where the fixes before and after it lie within its radius: many receivers
    keep nothing while they stand. Where the next fix lies elsewhere, nobody knows where the time was spent.

    Args:
        tracks: tracks of one evening; each is looked at by itself.
        least_stay_s: shorter stays are none, seconds.
        radius_m: how far fixes may lie from the middle of a stay, metres.
    """
    stays = [stay for track in tracks for stay in _stays(_fixes(track), least_stay_s, radius_m)]
    stops: list[Stop] = []
    for stay in sorted(stays, key=lambda one: one.arrived_s):
        near = min(stops, key=lambda stop: sphere_metres(stop.place, stay.place), default=None)
        if near is None or sphere_metres(near.place, stay.place) > SAME_STOP_M:
            stops.append(stay)
        else:
            place = near.place if near.stayed_s >= stay.stayed_s else stay.place
            stops[stops.index(near)] = Stop(place, near.arrived_s, near.stayed_s + stay.stayed_s)
    return tuple(stops)


def has_times(track: Track) -> bool:
    """Whether a track says when somebody was where."""
    return any(time is not None for time in track.times)


def _fixes(track: Track) -> list[_Fix]:
    """Return the fixes that have a time, in the order of time, no two within a second."""
    fixes: list[_Fix] = []
    timed = [_Fix(time, place) for time, place in zip(track.times, track.places, strict=False) if time is not None]
    for fix in sorted(timed, key=lambda one: one.time_s):
        if not fixes or fix.time_s - fixes[-1].time_s >= 1:
            fixes.append(fix)
    return fixes


def _stays(fixes: Sequence[_Fix], least_stay_s: float, radius_m: float) -> list[Stop]:
    stays: list[Stop] = []
    start = 0
    while start < len(fixes):
        inside = _stay_from(fixes, start, radius_m)
        stayed_s = inside[-1].time_s - inside[0].time_s
        if stayed_s >= least_stay_s:
            stays.append(Stop(_middle([fix.place for fix in inside]), inside[0].time_s, stayed_s))
            last = inside[-1]
            while start < len(fixes) and fixes[start].time_s <= last.time_s:
                start += 1
        else:
            # By one fix it would take the square of the time; an eighth of what is no stay costs 15 seconds at most.
            start += 1 + len(inside) // 8
    return stays


def _stay_from(fixes: Sequence[_Fix], start: int, radius_m: float) -> list[_Fix]:
    """Return the fixes of the longest stay that begins with a fix, jumps left out."""
    origin = fixes[start].place
    inside = [fixes[start]]
    east_sum = north_sum = 0.0
    away = False
    for index in range(start + 1, len(fixes)):
        fix, count = fixes[index], len(inside)
        if away and fix.time_s - inside[-1].time_s > LONGEST_JUMP_S:
            break
        east, north = _metres(origin, fix.place)
        away = math.hypot(east - east_sum / count, north - north_sum / count) > radius_m
        if not away:
            inside.append(fix)
            east_sum, north_sum = east_sum + east, north_sum + north
    return inside


def _metres(origin: Place, place: Place) -> tuple[float, float]:
    """Return metres east and north of a place that is near; exact enough for some hundred metres."""
    degrees = (place.longitude - origin.longitude + 180) % 360 - 180
    shrunk = math.cos(math.radians(origin.latitude))
    return degrees * shrunk * _METRES_A_DEGREE, (place.latitude - origin.latitude) * _METRES_A_DEGREE


def _middle(places: Sequence[Place]) -> Place:
    """Return the median place to a centimetre, which a few fixes on the way in and out do not move."""
    first = places[0]
    turned = [(place.longitude - first.longitude + 180) % 360 - 180 for place in places]
    longitude = (first.longitude + statistics.median(turned) + 180) % 360 - 180
    return Place(round(statistics.median(place.latitude for place in places), 7), round(longitude, 7))
