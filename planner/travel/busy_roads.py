"""The nearest busy road of a place, where the map tells which roads are busy."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Flags, Places, degrees
from planner.travel.near_lines import Lines, NearLines, Plane
from planner.travel.road_arrays import RoadArrays
from planner.travel.road_flags import RoadFlag


@dataclass(frozen=True, slots=True)
class BusyRoad:
    """A busy road near a place."""

    name: str
    """Name, else road number, else empty."""
    kind: str
    """Highway class."""
    metres: float
    """From the place, as the crow flies."""

    @property
    def title(self) -> str:
        """The road as it is called: 'Long Street (trunk)', 'a trunk road'."""
        word = self.kind.replace("_", " ")
        return f"{self.name} ({word})" if self.name else f"a {word} road"


def busy_edges(roads: RoadArrays, kinds: Collection[str], limit_kmh: float | None) -> Flags:
    """Return for each edge whether it is busy: of one of those classes, or with such a posted limit or a higher one.

    A road without any limit by sign is above every limit; where nothing is posted, the class alone decides. In a
    tunnel no road is heard.
    """
    wanted = np.array([kind in kinds for kind in roads.kinds], dtype=bool)
    busy = wanted[roads.kind_numbers]
    if limit_kmh is not None:
        with np.errstate(invalid="ignore"):
            busy |= (roads.forward_limit_kmh >= limit_kmh - _ROUNDING_KMH) & np.isfinite(roads.forward_seconds)
            busy |= (roads.backward_limit_kmh >= limit_kmh - _ROUNDING_KMH) & np.isfinite(roads.backward_seconds)
    return np.asarray(busy & ((roads.flags & RoadFlag.TUNNEL) == 0), dtype=bool)


def busy_roads_near(roads: RoadArrays, places: Places, busy: Flags, within_m: float) -> tuple[BusyRoad | None, ...]:
    """Return the nearest busy road of each place; None where none is within so many metres.

    Args:
        roads: the network.
        places: where to look.
        busy: as :func:`busy_edges` returns it.
        within_m: roads farther off are not looked for.

    Raises:
        RuleError: a coordinate is out of range.
    """
    table = degrees(places)
    if not len(table):
        return ()
    plane = Plane(table)
    nearest = NearLines(Lines.of_roads(roads), plane, table, within_m, busy).nearest(
        *plane.metres(table[:, 0], table[:, 1])
    )
    return tuple(
        None
        if edge < 0
        else BusyRoad(roads.names[roads.name_numbers[edge]], roads.kinds[roads.kind_numbers[edge]], metres)
        for edge, metres in zip(nearest.lines.tolist(), nearest.metres.tolist(), strict=True)
    )


_ROUNDING_KMH = 0.05
"""A limit of 50 mph is the same whichever unit it was read in."""
