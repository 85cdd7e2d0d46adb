"""The way on foot between a parked car and the place where a volunteer stands, by Naismith's rule."""

from __future__ import annotations

from enum import Flag

import numpy as np

from planner.travel.coordinates import Floats

FLAT_M_PER_HOUR = 3 * 1609.344
ASCENT_M_PER_HOUR = 2_000 * 0.3048
"""'An hour for every three miles on the map, with an additional hour for every 2,000 feet of ascent': W. W. Naismith,
Scottish Mountaineering Club Journal 2 (1892), page 136. Meant for people in fair condition on easy ground."""

ROADSIDE_M = 20.0
"""Nearer to its road than this a place is on the verge, where the car stands too: the width of a road, and what a
position is worth. Assumption, no published source."""
CAUTIOUS_SHARE = 1.5
"""What a plan reckons with, as a multiple of Naismith's rule, which is for daylight and free hands. Assumption, no
published source."""


class Standing(Flag):
    """At which ends of a drive people get out and walk to the very place; a home's car stands at the home."""

    NOWHERE = 0
    ORIGINS = 1
    DESTINATIONS = 2
    BOTH = ORIGINS | DESTINATIONS


def naismith_minutes(metres: Floats, ascent_metres: Floats | float = 0.0) -> Floats:
    """Return the minutes on foot by Naismith's rule, elementwise.

    Args:
        metres: on the map, 0 or more.
        ascent_metres: climbed on the way, 0 or more; descent takes nothing. Left out, the ground is taken as level.
    """
    return np.asarray(60.0 * (metres / FLAT_M_PER_HOUR + ascent_metres / ASCENT_M_PER_HOUR), dtype=np.float64)


def walked_minutes(off_road_metres: Floats) -> Floats:
    """Return the minutes on foot from the road to places so far from it, as on level ground; heights are not known.

    Args:
        off_road_metres: from each place to the road that drives to it end on; NaN where drives end on none.
    """
    metres = np.nan_to_num(off_road_metres, nan=0.0)
    return naismith_minutes(np.where(metres > ROADSIDE_M, metres, 0.0))
