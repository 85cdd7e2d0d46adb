"""Drive seconds between many places on a network, by whichever way is less work."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from planner.travel.coordinates import Floats
from planner.travel.doors import Doors
from planner.travel.large_tables.hierarchy import Hierarchy
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.arcs import Arcs, network_seconds, node_seconds
from planner.travel.routing.positions import Positions, same_edge_seconds
from planner.travel.routing.turn_states import TurnStates

_TAKING_APART = 70.0
"""Searches over the whole network that take as long as taking it apart. Measured on grids of 20,000 to 2 million roads,
as are the next two; nearly the same for all sizes."""
_PLACES_A_SEARCH = 100.0
"""Labels of so many places take as long as a search."""
_PAIRS_A_SEARCH = 100_000.0
"""So many pairs of labels take as long as a search."""
_IDLE_SHARE = 0.1
"""Of a search over the whole network, what one that ends at once still takes: SciPy clears a row of all nodes."""
_PROBES = 4
"""Searches made to see how much of the network a limit leaves."""


class Router:
    """What searches need of a network, made when first asked for and shared by all who look at it."""

    def __init__(self, roads: RoadArrays) -> None:
        """Take the roads."""
        self._roads = roads
        self._hierarchy: Hierarchy | None = None
        self._tangled = False

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

    @property
    def is_apart(self) -> bool:
        """Whether the network was taken apart for a large table, which makes further ones quick."""
        return self._hierarchy is not None

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
        seconds = self._through(start, end, limit_seconds)
        rows, columns, straight = same_edge_seconds(self.states, start, end)
        seconds[rows, columns] = np.minimum(seconds[rows, columns], straight)
        seconds[seconds > limit_seconds] = np.inf
        return seconds

    def _through(self, start: Positions, end: Positions, limit_seconds: float) -> Floats:
        if self._better_apart(start, end, limit_seconds) and (hierarchy := self._taken_apart()):
            return hierarchy.seconds(start.leaving, end.entering, limit_seconds)
        # One search serves one row: search from the side with fewer places, backwards if need be.
        if len(start) <= len(end):
            return network_seconds(self.arcs, start.leaving, end.entering, limit_seconds)
        return network_seconds(self._reverse_arcs, end.entering, start.leaving, limit_seconds).T

    def _better_apart(self, start: Positions, end: Positions, limit_seconds: float) -> bool:
        """Return whether taking the network apart, where that is not done yet, is less work than searching."""
        searches = float(min(len(start), len(end)))
        making = 0.0 if self.is_apart else _TAKING_APART
        asking = (len(start) + len(end)) / _PLACES_A_SEARCH + len(start) * len(end) / _PAIRS_A_SEARCH
        if self._tangled or making + asking >= searches:
            return False
        if np.isfinite(limit_seconds):
            searches *= min(_IDLE_SHARE + self._reached_share(start.leaving, limit_seconds), 1.0)
        return making + asking < searches

    def _reached_share(self, doors: Doors, limit_seconds: float) -> float:
        """Return the share of the network that is within the limit of a place, by a few of the places."""
        shares = [
            np.isfinite(node_seconds(self.arcs, doors.of(place), limit_seconds)).mean()
            for place in np.linspace(0, doors.count - 1, _PROBES).round().astype(int).tolist()
        ]
        return float(np.mean(shares))

    def _taken_apart(self) -> Hierarchy | None:
        if self._hierarchy is None and not self._tangled:
            junctions = self.states.junctions
            latitudes, longitudes = self._roads.node_latitudes[junctions], self._roads.node_longitudes[junctions]
            self._hierarchy = Hierarchy.build(self.arcs.seconds, latitudes, longitudes)
            self._tangled = self._hierarchy is None
        return self._hierarchy
