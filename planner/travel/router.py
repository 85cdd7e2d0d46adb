"""Drive seconds between many places on a network, by whichever way is less work."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from planner.travel.coordinates import Floats
from planner.travel.positions import Positions, same_edge_seconds
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing import Arcs, network_seconds
from planner.travel.turn_states import TurnStates


class Router:
    """What searches need of a network, made when first asked for and shared by all who look at it."""

    def __init__(self, roads: RoadArrays) -> None:
        """Take the roads."""
        self._roads = roads

    @cached_property
    def states(self) -> TurnStates:
        """Junctions, and what must be remembered at them for the sake of forbidden turns."""
        return TurnStates.build(self._roads)

    @cached_property
    def arcs(self) -> Arcs:
        """The steps between states."""
        return Arcs.build(self.states)

    @cached_property
    def _reverse_arcs(self) -> Arcs:
        return Arcs.build(self.states, reverse=True)

    def seconds(self, start: Positions, end: Positions, limit_seconds: float) -> Floats:
        """Return the least seconds from all positions to all others, ``inf`` beyond the limit or where no way is.

        Args:
            start: n positions.
            end: m positions.
            limit_seconds: the most that is asked for; may be ``inf``.

        Returns:
            Seconds, shape (n, m).
        """
        if not (len(start) and len(end)):
            return np.full((len(start), len(end)), np.inf)
        seconds = np.minimum(self._through(start, end, limit_seconds), same_edge_seconds(self.states, start, end))
        seconds[seconds > limit_seconds] = np.inf
        return seconds

    def _through(self, start: Positions, end: Positions, limit_seconds: float) -> Floats:
        # One search serves one row: search from the side with fewer places, backwards if need be.
        if len(start) <= len(end):
            return network_seconds(self.arcs, start.leaving, end.entering, limit_seconds)
        return network_seconds(self._reverse_arcs, end.entering, start.leaving, limit_seconds).T
