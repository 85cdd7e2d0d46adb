"""Drive minutes where no roads are known: crow's distance, detour, speed."""

from __future__ import annotations

import numpy as np

from planner.domain.travel import ESTIMATE_BAND
from planner.travel.coordinates import Floats, Places
from planner.travel.geodesic import geodesic_table_metres

DETOUR_FACTORS = ((5.0, 1.5), (10.0, 1.35), (np.inf, 1.25))
"""(up to km as the crow flies, road km for each of them).

Measured on the roads of an alpine country: median 1.49 from 0.2 to 1 km, 1.45 from 2 to 5 km, 1.30 from 5 to 10 km,
1.19 from 10 to 30 km. Short trips are more circuitous than long ones: Giacomin & Levinson 2015; about 1.2 for long
ones: O'Sullivan (1.21 to 1.23)."""

ESTIMATED_SPEED_KMH = 45.0
"""Mean speed on country roads; assumption, no published source."""

OPTIMISTIC_SHARE = ESTIMATE_BAND.least_share
CAUTIOUS_SHARE = ESTIMATE_BAND.planned_share
"""What a plan reckons with, as a multiple of the estimate: no less than the truth for nine of ten drives of 2 km or
more, and for the legs of nine of ten routes taken together, measured on the roads of Gothenburg. A single leg of less
than 2 km can take longer (``ESTIMATE_BAND``)."""

ROAD_OPTIMISTIC_SHARE = 0.9
ROAD_CAUTIOUS_SHARE = 1.2
"""Band of a figure from roads, as multiples of it; assumption, no published source."""


def measured_shares(factors: Floats, doubts: Floats) -> tuple[Floats, Floats]:
    """Return the optimistic and cautious shares of estimates that recorded drives have measured.

    What was recorded takes the place of the unmeasured band: the range of its factor, or the band of roads where that
    is wider, for single drives differ more than their mean does. Drives that took just the minutes that unmeasured
    ones are planned with (``CAUTIOUS_SHARE``) bear these minutes out, and they stay. Drives that took less are never
    planned with more; drives that took more are planned with as much again, up to that band. Our own rule, no
    published source.

    Args:
        factors: what drives took, as multiples of their estimates.
        doubts: how many times larger the true factors may be; same shape.

    Returns:
        Multiples of estimate times factor; neither is farther from 1 than those of an unmeasured estimate.
    """
    optimistic = np.clip(1.0 / doubts, OPTIMISTIC_SHARE, ROAD_OPTIMISTIC_SHARE)
    from_planned = np.maximum(CAUTIOUS_SHARE / factors, factors / CAUTIOUS_SHARE)
    cautious = np.minimum(np.clip(doubts, ROAD_CAUTIOUS_SHARE, CAUTIOUS_SHARE), from_planned)
    return optimistic, cautious


def detour_km(crow_km: Floats) -> Floats:
    """Return the road kilometres expected for kilometres as the crow flies.

    Where the factor drops (at 5 and 10 km) the road length stays level until the lower factor has caught up,
    so that a farther place is never nearer by road.
    """
    road = np.zeros_like(crow_km)
    reached_km = longest_km = 0.0
    for up_to_km, factor in DETOUR_FACTORS:
        here = (crow_km > reached_km) & (crow_km <= up_to_km)
        road[here] = np.maximum(crow_km[here] * factor, longest_km)
        reached_km, longest_km = up_to_km, up_to_km * factor
    return road


def estimate_minutes(origins: Places, destinations: Places) -> Floats:
    """Return expected drive minutes without roads, shape (origins, destinations), stop overhead not included.

    Geodesic distance times ``DETOUR_FACTORS`` by ``ESTIMATED_SPEED_KMH``. ``ESTIMATE_BAND`` says how far the truth may
    lie from it: say so wherever an estimate is shown.

    Raises:
        RuleError: a coordinate is out of range.
    """
    crow_km = geodesic_table_metres(origins, destinations) / 1000.0
    return detour_km(crow_km) / ESTIMATED_SPEED_KMH * 60.0


def crow_km_within(minutes: float) -> float:
    """Return how far, as the crow flies, a drive of so many minutes leads by the estimate: the inverse of it."""
    road_km = minutes / 60.0 * ESTIMATED_SPEED_KMH
    found_km = longest_km = 0.0
    for up_to_km, factor in DETOUR_FACTORS:
        if road_km < longest_km:
            break
        found_km = max(found_km, min(up_to_km, road_km / factor))
        longest_km = up_to_km * factor
    return found_km
