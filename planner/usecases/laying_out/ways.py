"""From what is asked to a line: the quickest way through places, a named road, or a track put onto the roads."""

from __future__ import annotations

from itertools import pairwise

from planner.domain.errors import ImpossibleError
from planner.travel import LatLon, RoadNetwork
from planner.usecases.laying_out.ground import Ground, ground_of
from planner.usecases.laying_out.matching import put_on_roads
from planner.usecases.laying_out.named_road import line_along_road
from planner.usecases.laying_out.request import Along, AlongLine, ThroughPlaces


def ground_along(along: Along, network: RoadNetwork | None) -> Ground:
    """Return the steps along what is asked.

    Raises:
        ImpossibleError: there is no way, no such road, or no road map where one is needed.
    """
    if isinstance(along, AlongLine):
        places = [(place.latitude, place.longitude) for place in along.places]
        if network is None:
            return ground_of(places, None)
        return ground_of(*put_on_roads(places, network))
    if network is None:
        raise ImpossibleError(
            "Points cannot be laid out along roads without a road map.",
            "Import an OpenStreetMap extract of the area, or lay them out along a track.",
        )
    line = _through(along, network) if isinstance(along, ThroughPlaces) else line_along_road(along, network)
    return ground_of(line, network)


def _through(along: ThroughPlaces, network: RoadNetwork) -> list[LatLon]:
    line: list[LatLon] = []
    for number, (here, there) in enumerate(pairwise(along.places), start=1):
        way = network.path((here.latitude, here.longitude), (there.latitude, there.longitude))
        if not way:
            raise ImpossibleError(
                "There is no way by road through these places.",
                f"None leads from place {number} ({here}) to place {number + 1} ({there}).",
            )
        line += way if not line else way[1:]
    return line
