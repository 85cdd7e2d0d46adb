"""Whole plans as columns: what they cost, what room they leave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.instance import Instance, Room
from planner.scheduling.problem import BoolArray

Solution = Mapping[int, Column]
"""By route; a route that is not here stays empty."""


class Fitting:
    """Which of many columns fit a room: their days and visits laid out once."""

    def __init__(self) -> None:
        self._count = 0
        self._days: list[int] = []
        self._day_owner: list[int] = []
        self._visits: list[tuple[int, int, int]] = []

    def fits(self, columns: Sequence[Column], room: Room) -> BoolArray:
        """Return which columns fit, shape (columns,).

        Args:
            columns: those of the last call, and maybe more behind them.
            room: days and visits free.
        """
        days = room.closed.shape[1]
        for place in range(self._count, len(columns)):
            slots, loads = columns[place].slots, columns[place].loads
            self._days += [volunteer * days + day for volunteer, day in slots]
            self._day_owner += [place] * len(slots)
            self._visits += [(volunteer, visits, place) for volunteer, visits in loads]
        self._count = len(columns)
        found = np.ones(self._count, dtype=np.bool_)
        found[np.array(self._day_owner, dtype=np.int64)[room.closed.ravel()[np.array(self._days, dtype=np.int64)]]] = 0
        visits = np.array(self._visits, dtype=np.int64).reshape(-1, 3)
        found[visits[:, 2][room.limit[visits[:, 0]] < visits[:, 1]]] = False
        return found


def value_of(instance: Instance, solution: Solution) -> float:
    """Return the objective of a whole plan, fixed visits included."""
    return instance.constant + value_in(instance.room, solution.values(), instance.weights.load)


def value_in(room: Room, columns: Iterable[Column], load_weight: float) -> float:
    """Return what columns add to the objective in a room, the rise of the loads included."""
    cost, load = 0.0, room.load.copy()
    for column in columns:
        cost += column.cost
        for volunteer, visits in column.loads:
            cost += load_weight * float((load[volunteer] + visits) ** 2 - load[volunteer] ** 2)
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
