"""Where places on roads lead into the network, and where the network leads to them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Floats, Ints


@dataclass(frozen=True, slots=True, eq=False)
class Doors:
    """Ways between places and the nodes of a network, one row for each; a place on no road has none."""

    count: int
    """Number of places."""
    places: Ints
    """Place of each door, rising."""
    nodes: Ints
    seconds: Floats
    """Along the place's own edge, finite."""
    ends: Ints
    """Which end of the place's own edge: 0 its tail, 1 its head."""

    @classmethod
    def build(cls, count: int, places: Ints, nodes: Ints, seconds: Floats, ends: Ints) -> Doors:
        """Return the open doors, the quickest only where several of one place lead to one node."""
        is_open = np.flatnonzero(np.isfinite(seconds))
        order = is_open[np.lexsort((seconds[is_open], nodes[is_open], places[is_open]))]
        places, nodes = places[order], nodes[order]
        quickest = np.ones(len(order), dtype=bool)
        quickest[1:] = (places[1:] != places[:-1]) | (nodes[1:] != nodes[:-1])
        order = order[quickest]
        return cls(count, places[quickest], nodes[quickest], seconds[order], ends[order])

    def of(self, place: int) -> Doors:
        """Return the doors of one place, as the only one."""
        mine = slice(*np.searchsorted(self.places, [place, place + 1]).tolist())
        return Doors(1, np.zeros_like(self.places[mine]), self.nodes[mine], self.seconds[mine], self.ends[mine])
