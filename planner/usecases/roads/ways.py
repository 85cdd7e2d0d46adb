"""The way along the roads through a string of places."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from planner.domain.geo import Place
from planner.travel import LatLon, RoadNetwork


def way_along_roads(stops: Sequence[Place], network: RoadNetwork | None) -> tuple[Place, ...]:
    """Return the line through the stops, along the roads; straight where no road joins two of them."""
    way: list[Place] = list(stops[:1])
    for here, there in pairwise(stops):
        along = () if network is None else network.path(_pair(here), _pair(there))
        way.extend(places_of(along) or (there,))
    return tuple(way)


def places_of(line: Sequence[LatLon]) -> tuple[Place, ...]:
    """Return the places of a line of latitudes and longitudes."""
    return tuple(Place(latitude, longitude) for latitude, longitude in line)


def _pair(place: Place) -> LatLon:
    return place.latitude, place.longitude
