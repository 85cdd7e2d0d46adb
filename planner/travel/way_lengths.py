"""How many kilometres a drive is: along the roads, else as they are estimated."""

from __future__ import annotations

import numpy as np

from planner.domain.travel import FigureSource
from planner.travel.coordinates import LatLon
from planner.travel.estimate import detour_km
from planner.travel.geodesic import geodesic_metres, step_metres
from planner.travel.network import RoadNetwork


def way_km(origin: LatLon, destination: LatLon, network: RoadNetwork | None) -> tuple[float, FigureSource]:
    """Return the kilometres of the quickest way and where they come from.

    On roads the line of the way is measured over the ellipsoid, from road to road: what is walked from the road is not
    driven. Without a road map, and where no road leads there, they are an estimate: the crow's distance with a detour.

    Args:
        origin: (latitude, longitude).
        destination: (latitude, longitude).
        network: the season's roads; None: there are none.

    Raises:
        RuleError: a coordinate is out of range.
    """
    line = network.path(origin, destination) if network is not None else ()
    if line:
        return float(step_metres(line).sum()) / 1000.0, FigureSource.ROAD
    crow_km = np.array([geodesic_metres(origin, destination) / 1000.0])
    return float(detour_km(crow_km)[0]), FigureSource.ESTIMATE
