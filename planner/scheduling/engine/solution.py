"""Whole plans as columns: what they cost, what room they leave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from planner.scheduling.engine import weights
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.instance import Instance, Room

Solution = Mapping[int, Column]
"""By route; a route that is not here stays empty."""


def value_of(instance: Instance, solution: Solution) -> float:
    """Return the objective of a whole plan, fixed visits included."""
    return instance.constant + value_in(instance.room, solution.values())


def value_in(room: Room, columns: Iterable[Column]) -> float:
    """Return what columns add to the objective in a room, the rise of the loads included."""
    cost, load = 0.0, room.load.copy()
    for column in columns:
        cost += column.cost
        for volunteer, visits in column.loads:
            cost += weights.LOAD * float((load[volunteer] + visits) ** 2 - load[volunteer] ** 2)
            load[volunteer] += visits
    return cost


def room_after(room: Room, columns: Iterable[Column]) -> Room:
    """Return the room that columns leave."""
    for column in columns:
        room = room.taking(column.slots, column.loads)
    return room


def keeps_room(room: Room, columns: Iterable[Column]) -> bool:
    """Say whether columns fit together in a room."""
    for column in columns:
        if not room.holds(column.slots, column.loads):
            return False
        room = room.taking(column.slots, column.loads)
    return True
