"""What was measured and computed of a route before it is judged."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.travel import BusyRoad, Side

FloatArray: TypeAlias = npt.NDArray[np.float64]
IntArray: TypeAlias = npt.NDArray[np.int64]
BoolArray: TypeAlias = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class RouteFacts:
    """Distances, drives and light of one route. Points are in the route's order, volunteers in the season's."""

    straight_m: FloatArray
    """Geodesic metres from point to point, shape (points, points)."""
    legs_minutes: FloatArray
    """Drive from point to point, shape (points, points); inf where no road leads there."""
    one_way_minutes: FloatArray
    """Each volunteer's expected drive to the route, shape (volunteers,); inf where no road leads there."""
    margin_minutes: FloatArray
    """From the end of the last count to the closing in the best order, by window and date of the season, shape
    (windows, days); below 0: so many minutes too long; NaN: no window on that date."""
    no_window: tuple[Mapping[dt.date, str], ...]
    """For each window, why a date has none, in words."""
    points_lost: IntArray | None = None
    """Points that do not fit, shape (windows, days); None where that was not computed."""
    road_m: FloatArray | None = None
    """Metres along the road from point to point, shape (points, points); None without a road map."""
    snap_m: FloatArray | None = None
    """Metres from each point to the nearest road, inf or NaN where there is none near; None without a road map."""
    on_main: BoolArray | None = None
    """Whether that road belongs to the connected part of the road map; None without one."""
    sides: tuple[Side | None, ...] = ()
    """What there is to doubt of the road that drives to each point end on; empty without a road map."""
    busy_roads: tuple[BusyRoad | None, ...] = ()
    """The busy road that each point stands too near to, None where there is none; empty where the protocol does not
    ask, or without a road map."""

    @property
    def reached_by_nobody(self) -> bool:
        """Whether there are volunteers, and no road leads from the home of any of them."""
        return bool(len(self.one_way_minutes)) and bool(np.isinf(self.one_way_minutes).all())
