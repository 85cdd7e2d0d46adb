"""Forbidden turns: where one comes from is remembered at a junction, but only where it decides how one may go on.

A *state* is a junction together with what was driven last, as far as a forbidden manoeuvre may begin with it. Every
junction is a state by itself: nothing that matters was driven. Those beyond are numbered after the junctions.
Manoeuvres are matched all at once by the automaton of Aho and Corasick ("Efficient string matching", Communications
of the ACM, 1975): a state is a beginning of one that was driven, and falls back to the longest shorter one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.travel.coordinates import Floats, Ints
from planner.travel.road_arrays import RoadArrays


@dataclass(frozen=True, slots=True, eq=False)
class TurnStates:
    """States, and the steps between them. Directed arc 2 * e drives edge e from tail to head, 2 * e + 1 back."""

    junction_count: int
    beyond: Ints
    """Junction of each state that is more than a junction by itself, numbered ``junction_count`` and on."""
    seconds: Floats
    """What each directed arc takes; ``inf`` where it is closed."""
    arc_starts: Ints
    """Junction at which each directed arc starts."""
    after: Ints
    """State in which one is after each directed arc, driven from its junction by itself or from a place on it."""
    more_starts: Ints
    """Steps that start beyond the junctions: from which state, by which open arc, to which state."""
    more_arcs: Ints
    """Rising."""
    more_ends: Ints

    @classmethod
    def build(cls, roads: RoadArrays) -> TurnStates:
        """Return the states that the forbidden manoeuvres of a network call for; none beyond where there are none."""
        seconds = np.column_stack([roads.forward_seconds, roads.backward_seconds]).ravel()
        starts = np.column_stack([roads.tails, roads.heads]).ravel()
        ends = np.column_stack([roads.heads, roads.tails]).ravel()
        bans = [roads.banned_arcs[slice(*span)].tolist() for span in pairwise(roads.banned_starts.tolist())]
        matcher = _Matcher(ban for ban in bans if ban)
        state_of = {node: roads.node_count + number for number, node in enumerate(matcher.live)}
        after = ends.copy()
        for arc, node in matcher.first_arcs():
            after[arc] = state_of[node]
        beyond = ends[np.array([matcher.last_arc[node] for node in matcher.live], dtype=np.int64)]
        arcs_out = _arcs_out(starts, seconds, beyond)
        steps = sorted(
            (arc, state_of[node], state_of.get(there, int(ends[arc])))
            for node, junction in zip(matcher.live, beyond.tolist(), strict=True)
            for arc in arcs_out[junction]
            for there in matcher.after(node, arc)
        )
        more = np.array(steps, dtype=np.int64).reshape(-1, 3)
        return cls(roads.node_count, beyond, seconds, starts, after, more[:, 1], more[:, 0], more[:, 2])

    @property
    def count(self) -> int:
        """Number of states."""
        return self.junction_count + len(self.beyond)

    @property
    def junctions(self) -> Ints:
        """Junction of each state."""
        return np.concatenate([np.arange(self.junction_count), self.beyond])

    def steps(self) -> tuple[Ints, Ints, Ints]:
        """Return every step over an open arc: from which state, by which arc, to which state."""
        plain = np.flatnonzero(np.isfinite(self.seconds))
        return (
            np.concatenate([self.arc_starts[plain], self.more_starts]),
            np.concatenate([plain, self.more_arcs]),
            np.concatenate([self.after[plain], self.more_ends]),
        )

    def before(self, arcs: Ints) -> tuple[Ints, Ints]:
        """Return from which states arcs may be driven: rows of the arcs given, and the states."""
        rows, found = _matches(self.more_arcs, arcs)
        states = np.concatenate([self.arc_starts[arcs], self.more_starts[found]])
        return np.concatenate([np.arange(len(arcs)), rows]), states

    def at(self, junctions: Ints) -> tuple[Ints, Ints]:
        """Return all states at junctions: rows of the junctions given, and the states."""
        order = np.argsort(self.beyond, kind="stable")
        rows, found = _matches(self.beyond[order], junctions)
        states = np.concatenate([junctions, self.junction_count + order[found]])
        return np.concatenate([np.arange(len(junctions)), rows]), states


def _matches(keys: Ints, wanted: Ints) -> tuple[Ints, Ints]:
    """Return every pair of a row of ``wanted`` and a place in ``keys``, which rise, that are equal."""
    first, last = np.searchsorted(keys, wanted), np.searchsorted(keys, wanted, side="right")
    counts = last - first
    rows = np.repeat(np.arange(len(wanted)), counts)
    return rows, first[rows] + np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)


def _arcs_out(starts: Ints, seconds: Floats, junctions: Ints) -> dict[int, list[int]]:
    """Return the open arcs that start at some junctions."""
    found: dict[int, list[int]] = {junction: [] for junction in junctions.tolist()}
    arcs = np.flatnonzero(np.isin(starts, junctions) & np.isfinite(seconds))
    for arc, start in zip(arcs.tolist(), starts[arcs].tolist(), strict=True):
        found[start].append(arc)
    return found


class _Matcher:
    """The beginnings of the manoeuvres as a tree; 0 is its root, nothing driven that matters."""

    def __init__(self, manoeuvres: Iterable[list[int]]) -> None:
        self._next: list[dict[int, int]] = [{}]
        self.last_arc = [-1]
        self._whole = [False]
        for arcs in manoeuvres:
            self._add(arcs)
        self._shorter = [0] * len(self._next)
        self.live: list[int] = []
        """Beginnings that may be driven: no manoeuvre is complete in them."""
        self._link()

    def _add(self, arcs: list[int]) -> None:
        node = 0
        for arc in arcs:
            if arc not in self._next[node]:
                self._next[node][arc] = len(self._next)
                self._next.append({})
                self.last_arc.append(arc)
                self._whole.append(False)
            node = self._next[node][arc]
        self._whole[node] = True

    def _link(self) -> None:
        """Find for each beginning the longest shorter one that it ends with, nearest to the root first."""
        waiting = deque(self._next[0].values())
        while waiting:
            node = waiting.popleft()
            self._whole[node] |= self._whole[self._shorter[node]]
            if self._whole[node]:
                continue
            self.live.append(node)
            for arc, longer in self._next[node].items():
                self._shorter[longer] = self._step(self._shorter[node], arc)
                waiting.append(longer)

    def _step(self, node: int, arc: int) -> int:
        while node and arc not in self._next[node]:
            node = self._shorter[node]
        return self._next[node].get(arc, 0)

    def first_arcs(self) -> Iterator[tuple[int, int]]:
        """Yield the arcs that manoeuvres begin with, and where each leads."""
        yield from ((arc, node) for arc, node in self._next[0].items() if not self._whole[node])

    def after(self, node: int, arc: int) -> Iterator[int]:
        """Yield where one is after driving an arc, nothing where that completes a manoeuvre."""
        there = self._step(node, arc)
        if not self._whole[there]:
            yield there
