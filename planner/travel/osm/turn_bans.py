"""Turn restrictions put onto the edges of a network, as sequences of arcs that may not be driven."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise, product

import numpy as np

from planner.travel.coordinates import Ints
from planner.travel.osm.turn_rules import TurnRule, TurnRules
from planner.travel.road_arrays import RoadArrays

_Sequence = tuple[int, ...]


_MOST_BANS = 256
"""Manoeuvres that one restriction can forbid: no junction has so many roads, and a map could be made to fill the
memory with them."""


class _UnclearError(Exception):
    """A restriction whose turn cannot be told, for a way it names goes on beyond the junction."""


class _ElsewhereError(Exception):
    """A restriction that names what is not in the network."""


@dataclass(frozen=True, slots=True)
class TurnCount:
    """What became of the turn restrictions of a file."""

    kept: int
    """They forbid something."""
    idle: int
    """Nothing is left for them to forbid: no car goes there anyway."""
    elsewhere: int
    """They name roads that are beyond the border, or not for cars."""
    unclear: int
    """Their members do not meet as the wiki describes."""


def with_turn_bans(
    roads: RoadArrays, rules: TurnRules, edge_ways: Ints, node_ids: Ints
) -> tuple[RoadArrays, TurnCount]:
    """Return a network with the manoeuvres that turn restrictions forbid, and what became of each.

    ``only_`` restrictions forbid every other way on, turning back included; where they lead through ways they hold at
    the last junction, for whoever came all the way. A restriction is put onto the edges next to its node or ways.

    Args:
        roads: the network without them.
        rules: the restrictions.
        edge_ways: id of the way of each edge.
        node_ids: id of each node, 0 for those made where a road is cut.
    """
    if not rules.rules:
        return roads, TurnCount(0, 0, 0, rules.not_understood)
    named = _NamedRoads(roads, rules.rules, edge_ways, node_ids)
    bans: set[_Sequence] = set()
    kept = idle = elsewhere = unclear = 0
    for rule in rules.rules:
        try:
            found = set(named.sequences(rule))
        except _UnclearError:
            unclear += 1
        except _ElsewhereError:
            elsewhere += 1
        else:
            kept, idle = kept + bool(found), idle + (not found)
            bans |= found
    return _with_bans(roads, sorted(bans)), TurnCount(kept, idle, elsewhere, unclear + rules.not_understood)


def _with_bans(roads: RoadArrays, bans: list[_Sequence]) -> RoadArrays:
    starts = np.concatenate([[0], np.cumsum([len(ban) for ban in bans])]).astype(np.int64)
    arcs = np.array([arc for ban in bans for arc in ban], dtype=np.int64)
    return replace(roads, banned_starts=starts, banned_arcs=arcs)


class _NamedRoads:
    """The arcs of the ways that restrictions name, and those that leave a node."""

    def __init__(self, roads: RoadArrays, rules: list[TurnRule], edge_ways: Ints, node_ids: Ints) -> None:
        self._open = np.stack([np.isfinite(roads.forward_seconds), np.isfinite(roads.backward_seconds)], axis=1).ravel()
        self._starts = np.stack([roads.tails, roads.heads], axis=1).ravel()
        self._by_start = np.argsort(self._starts, kind="stable")
        self._sorted_starts = self._starts[self._by_start]
        self._arcs: dict[int, list[int]] = defaultdict(list)
        ways = np.unique(np.array([way for rule in rules for way in rule.ways], dtype=np.int64))
        for edge in np.flatnonzero(np.isin(edge_ways, ways)).tolist():
            self._arcs[int(edge_ways[edge])] += [2 * edge, 2 * edge + 1]
        vias = {node for rule in rules for node in rule.via_nodes}
        places = np.flatnonzero(np.isin(node_ids, np.array(sorted(vias), dtype=np.int64)))
        self._nodes = {int(node_ids[place]): int(place) for place in places.tolist()}

    def sequences(self, rule: TurnRule) -> Iterator[_Sequence]:
        """Yield what a restriction forbids; raises an error of this module where that cannot be told."""
        if any(way not in self._arcs for way in rule.ways) or any(node not in self._nodes for node in rule.via_nodes):
            raise _ElsewhereError
        if rule.via_ways:
            yield from self._through_ways(rule)
            return
        node = self._nodes[rule.via_nodes[0]]
        if rule.u_turn and rule.froms == rule.tos:
            yield from ((arc, arc ^ 1) for arc in self._into(rule.froms[0], node) if self._open[arc ^ 1])
            return
        into = _one_each(self._into(way, node) for way in rule.froms)
        out = _one_each(self._out_of(way, node) for way in rule.tos)
        yield from self._forbidden([(arc,) for arc in into], out, node, only=rule.only)

    def _through_ways(self, rule: TurnRule) -> Iterator[_Sequence]:
        chain = (rule.froms[0], *rule.via_ways, rule.tos[0])
        if len(rule.froms) > 1 or len(rule.tos) > 1:
            raise _UnclearError
        meetings = self._meetings(chain)
        if meetings is None:
            chain = (chain[0], *reversed(rule.via_ways), chain[-1])
            meetings = self._meetings(chain)
        if meetings is None:
            raise _UnclearError
        into = _one_each([self._into(chain[0], meetings[0])])
        out = _one_each([self._out_of(chain[-1], meetings[-1])])
        between: _Sequence = ()
        for way, (start, end) in zip(chain[1:-1], pairwise(meetings), strict=True):
            stretch = self._along(way, start, end)
            if stretch is None:
                return
            between += stretch
        yield from self._forbidden([(arc, *between) for arc in into], out, meetings[-1], only=rule.only)

    def _forbidden(self, befores: list[_Sequence], out: list[int], node: int, *, only: bool) -> Iterator[_Sequence]:
        banned = out if not only else [arc for arc in self._leaving(node) if arc != out[0]] if out else []
        if len(befores) * len(banned) > _MOST_BANS:
            raise _UnclearError
        yield from ((*before, arc) for before, arc in product(befores, banned))

    def _into(self, way: int, node: int) -> list[int]:
        return [arc for arc in self._arcs[way] if self._open[arc] and self._starts[arc ^ 1] == node]

    def _out_of(self, way: int, node: int) -> list[int]:
        return [arc for arc in self._arcs[way] if self._open[arc] and self._starts[arc] == node]

    def _leaving(self, node: int) -> list[int]:
        first, last = np.searchsorted(self._sorted_starts, [node, node + 1])
        return [arc for arc in self._by_start[first:last].tolist() if self._open[arc]]

    def _meetings(self, chain: tuple[int, ...]) -> list[int] | None:
        """Return the node at which each way of a chain meets the next; None where that is not one, or no way on."""
        ends = [{int(self._starts[arc]) for arc in self._arcs[way]} for way in chain]
        shared = [one & other for one, other in pairwise(ends)]
        if any(len(nodes) != 1 for nodes in shared):
            return None
        meetings = [nodes.pop() for nodes in shared]
        return meetings if all(one != following for one, following in pairwise(meetings)) else None

    def _along(self, way: int, start: int, end: int) -> _Sequence | None:
        """Return the arcs of a way from one node to another; None where it cannot be driven so."""
        came: dict[int, _Sequence] = {start: ()}
        waiting = deque([start])
        while waiting and end not in came:
            node = waiting.popleft()
            for arc in self._out_of(way, node):
                following = int(self._starts[arc ^ 1])
                if following not in came:
                    came[following] = (*came[node], arc)
                    waiting.append(following)
        return came.get(end)


def _one_each(found: Iterable[list[int]]) -> list[int]:
    """Return all arcs found; more than one for a way leaves open which of them is meant."""
    arcs: list[int] = []
    for one in found:
        if len(one) > 1:
            raise _UnclearError
        arcs += one
    return arcs
