"""Small invented road networks as arrays, and what drives on them take by trying every way."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from planner.travel.road_arrays import RoadArrays

Edge = tuple[int, int, float, float]
"""Tail, head, seconds ahead, seconds back."""
Floats = npt.NDArray[np.float64]
Place = tuple[int, float]
"""Edge, and how far along it: 0 at its tail, 1 at its head."""


def road_arrays(edges: Sequence[Edge], bans: Sequence[Sequence[int]] = (), side: int = 4) -> RoadArrays:
    """Return straight roads between junctions that lie on a grid so many wide, row by row."""
    tails, heads = (np.array([edge[end] for edge in edges], dtype=np.int64) for end in (0, 1))
    count = int(max(tails.max(), heads.max())) + 1
    latitudes, longitudes = grid_degrees(count, side)
    ends = np.column_stack([tails, heads]).ravel()
    none = np.zeros(len(edges), dtype=np.int64)
    return RoadArrays(
        node_latitudes=latitudes,
        node_longitudes=longitudes,
        tails=tails,
        heads=heads,
        metres=np.full(len(edges), 1000.0),
        forward_seconds=np.array([edge[2] for edge in edges], dtype=np.float64),
        backward_seconds=np.array([edge[3] for edge in edges], dtype=np.float64),
        geometry_starts=2 * np.arange(len(edges) + 1),
        geometry_latitudes=latitudes[ends],
        geometry_longitudes=longitudes[ends],
        kind_numbers=none,
        name_numbers=none,
        kinds=("residential",),
        names=("",),
        banned_starts=np.cumsum([0, *(len(ban) for ban in bans)]),
        banned_arcs=np.array([arc for ban in bans for arc in ban], dtype=np.int64),
    )


def grid_degrees(count: int, side: int) -> tuple[Floats, Floats]:
    """Return latitudes and longitudes of so many nodes on a grid so many wide, row by row."""
    rows, columns = np.divmod(np.arange(count), side)
    return np.asarray(50.0 + rows * 0.01, dtype=np.float64), np.asarray(10.0 + columns * 0.01, dtype=np.float64)


class EveryWay:
    """Drives found with all that was driven last kept in mind: slow, and plainly right."""

    def __init__(self, edges: Sequence[Edge], bans: Sequence[Sequence[int]]) -> None:
        """Take edges and forbidden manoeuvres, each a row of directed arcs."""
        self._edges, self._bans = edges, [tuple(ban) for ban in bans]
        self._banned = {arc for ban in bans for arc in ban}
        self._memory = max((len(ban) for ban in bans), default=1) - 1

    def ends(self, arc: int) -> tuple[int, int]:
        """Return where a directed arc starts and ends."""
        tail, head = self._edges[arc // 2][:2]
        return (head, tail) if arc % 2 else (tail, head)

    def seconds_of(self, arc: int) -> float:
        """Return what a directed arc takes; inf: closed."""
        return self._edges[arc // 2][2 + arc % 2]

    def forbids(self, driven: tuple[int, ...]) -> bool:
        """Return whether arcs, one after the other, end with a forbidden manoeuvre."""
        return any(driven[-len(ban) :] == ban for ban in self._bans)

    def seconds(self, start: Place, end: Place) -> float:
        """Return the least seconds from one place to another, inf where there is no way."""
        best = self._straight(start, end)
        known: set[tuple[int, tuple[int, ...]]] = set()
        waiting = list(self._leaving(start))
        heapq.heapify(waiting)
        while waiting:
            took, node, driven = heapq.heappop(waiting)
            if (node, driven) in known:
                continue
            known.add((node, driven))
            best = min(best, took + self._entering(end, node, driven))
            for arc in range(2 * len(self._edges)):
                longer = (*driven, arc)
                if self.ends(arc)[0] == node and math.isfinite(self.seconds_of(arc)) and not self.forbids(longer):
                    heapq.heappush(waiting, (took + self.seconds_of(arc), self.ends(arc)[1], self._kept(longer)))
        return best

    def _kept(self, driven: tuple[int, ...]) -> tuple[int, ...]:
        """Return the last arcs driven, as many as a manoeuvre may need; none after one that is in no manoeuvre."""
        return driven[max(len(driven) - self._memory, 0) :] if driven[-1] in self._banned else ()

    def _straight(self, start: Place, end: Place) -> float:
        if start[0] != end[0]:
            return math.inf
        ahead = end[1] - start[1]
        return abs(ahead) * self.seconds_of(2 * start[0] + (ahead < 0)) if ahead else 0.0

    def _leaving(self, place: Place) -> Iterator[tuple[float, int, tuple[int, ...]]]:
        for arc, left in ((2 * place[0], 1.0 - place[1]), (2 * place[0] + 1, place[1])):
            if left == 0.0:
                yield 0.0, self.ends(arc)[1], ()
            elif math.isfinite(self.seconds_of(arc)):
                yield left * self.seconds_of(arc), self.ends(arc)[1], self._kept((arc,))

    def _entering(self, place: Place, node: int, driven: tuple[int, ...]) -> float:
        ways = [math.inf]
        for arc, part in ((2 * place[0], place[1]), (2 * place[0] + 1, 1.0 - place[1])):
            if self.ends(arc)[0] == node and (part == 0.0 or not self.forbids((*driven, arc))):
                ways.append(part * self.seconds_of(arc) if part else 0.0)
        return min(ways)


def manoeuvres(edges: Sequence[Edge], dice: np.random.Generator, count: int) -> list[list[int]]:
    """Return random rows of two to four open arcs, each starting where the one before ends."""
    roads = EveryWay(edges, ())
    arcs = [arc for arc in range(2 * len(edges)) if math.isfinite(roads.seconds_of(arc))]
    found: list[list[int]] = []
    for _ in range(count):
        row = [int(dice.choice(arcs))]
        for _ in range(int(dice.integers(1, 4))):
            going_on = [arc for arc in arcs if roads.ends(arc)[0] == roads.ends(row[-1])[1]]
            if going_on:
                row.append(int(dice.choice(going_on)))
        if len(row) > 1:
            found.append(row)
    return found


def drives_a_ban(arcs: Sequence[int], bans: Sequence[Sequence[int]]) -> bool:
    """Return whether a row of arcs holds a forbidden manoeuvre anywhere."""
    return any(list(arcs[at : at + len(ban)]) == list(ban) for ban in bans for at in range(len(arcs)))


def joined(arcs: Sequence[int], roads: EveryWay) -> bool:
    """Return whether each arc starts where the one before ends."""
    return all(roads.ends(a)[1] == roads.ends(b)[0] for a, b in pairwise(arcs))
