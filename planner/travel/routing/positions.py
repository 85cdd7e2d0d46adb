"""Places on edges, with the doors between them and the network."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.doors import Doors
from planner.travel.routing.turn_states import TurnStates

_AT_NODE = 1e-9
"""A fraction of an edge this near 0 or 1 is the junction itself."""


@dataclass(frozen=True, slots=True, eq=False)
class Positions:
    """Places on edges, ready for routing; edge -1 for a place that is on no road."""

    edges: Ints
    fractions: Floats
    """0 at the tail, 1 at the head."""
    leaving: Doors
    """From the places to states."""
    entering: Doors
    """From states to the places."""

    def __len__(self) -> int:
        return len(self.edges)

    @classmethod
    def build(cls, states: TurnStates, edges: Ints, fractions: Floats) -> Positions:
        """Return positions with the seconds along their own edges.

        A place at a junction (fraction 0 or 1) is at the junction itself and may go any way from there, even against
        the direction of its own edge.
        """
        return cls(edges, fractions, _leaving(states, edges, fractions), _entering(states, edges, fractions))


def _leaving(states: TurnStates, edges: Ints, fractions: Floats) -> Doors:
    """Return the doors out: to the tail by the arc back, to the head by the arc ahead."""
    on_road = np.flatnonzero(edges >= 0)
    columns = []
    for end, part in ((0, fractions[on_road]), (1, 1.0 - fractions[on_road])):
        arcs = 2 * edges[on_road] + 1 - end
        nodes = np.where(part <= _AT_NODE, states.arc_starts[arcs ^ 1], states.after[arcs])
        columns.append((on_road, nodes, _share(states.seconds[arcs], part), np.full(len(on_road), end)))
    return Doors.build(len(edges), *(np.concatenate(column) for column in zip(*columns, strict=True)))


def _entering(states: TurnStates, edges: Ints, fractions: Floats) -> Doors:
    """Return the doors in: from each state at tail or head from which the arc to the place may be driven."""
    on_road = np.flatnonzero(edges >= 0)
    columns = []
    for end, part in ((0, fractions[on_road]), (1, 1.0 - fractions[on_road])):
        arcs = 2 * edges[on_road] + end
        seconds = _share(states.seconds[arcs], part)
        rows, nodes = _states_before(states, arcs, part <= _AT_NODE)
        columns.append((on_road[rows], nodes, seconds[rows], np.full(len(rows), end)))
    return Doors.build(len(edges), *(np.concatenate(column) for column in zip(*columns, strict=True)))


def _states_before(states: TurnStates, arcs: Ints, at_start: Flags) -> tuple[Ints, Ints]:
    """Return rows of arcs, and the states from which places on them are entered: any, at the very start."""
    there, along = np.flatnonzero(at_start), np.flatnonzero(~at_start)
    there_rows, there_states = states.at(states.arc_starts[arcs[there]])
    along_rows, along_states = states.before(arcs[along])
    rows = np.concatenate([there[there_rows], along[along_rows]])
    return rows, np.concatenate([there_states, along_states])


def _share(seconds: Floats, fraction: Floats) -> Floats:
    part = np.zeros(len(seconds))
    away = fraction > _AT_NODE
    part[away] = seconds[away] * fraction[away]
    return part


def same_edge_seconds(states: TurnStates, origins: Positions, destinations: Positions) -> tuple[Ints, Ints, Floats]:
    """Return the rows and columns of origins and destinations that share an edge, and the seconds straight along it."""
    shared = (origins.edges[:, None] == destinations.edges[None, :]) & (origins.edges[:, None] >= 0)
    rows, columns = np.nonzero(shared)
    ahead = destinations.fractions[columns] - origins.fractions[rows]
    seconds = states.seconds[2 * origins.edges[rows] + (ahead <= 0)]
    return rows, columns, _share(seconds, np.abs(ahead))
