"""Which strings of points become the routes: far enough from each other, short enough for the light."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from island import XY, metres_between
from numpy.typing import NDArray
from paths import Candidate, path_through, string_points, usual_spacing, wander
from roads import QUIET, Network
from shapely import Point, STRtree

ROUTES_APART_M = 860.0
"""Least distance between points of different routes: 850 m and room for the flat scale's error."""
ATTEMPTS = 8
"""How often points are strung along one path, from different starts."""
RESTARTS = 12
NOTES = (
    "",
    "",
    "",
    "",
    "by the field gate",
    "lay-by on the left",
    "at the twin birches",
    "wide verge",
    "by the cattle grid",
    "old milestone",
    "pull in past the bend",
    "at the heath's edge",
    "by the trough",
)


@dataclass(frozen=True, slots=True)
class Route:
    """A route as it is written: its points, their notes, and what it asks for."""

    code: str
    name: str
    points: tuple[XY, ...]
    notes: tuple[str, ...]
    needs: str = ""
    people: int = 1
    lead: str = ""
    area: str = ""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the strings of points must be like."""

    counts: tuple[int, ...]
    count_minutes: float
    shortest_minutes: float
    longest_minutes: float
    seed: str


def candidates(network: Network[int], wanted: Wanted, taken: Sequence[XY] = ()) -> list[Candidate]:
    """Return the strings of points on quiet roads that meet the wishes and keep clear of points taken."""
    choose = random.Random(f"{wanted.seed} strings")
    found = []
    for start in sorted(network):
        count = choose.choice(wanted.counts)
        for way in wander(network, start, 1000.0 * (count - 1) + 400, QUIET):
            path = path_through(network, way)
            for attempt in range(ATTEMPTS):
                seed = f"{wanted.seed} {way} {attempt}"
                first_m = random.Random(seed).uniform(40, 700)
                string = string_points(path, count, usual_spacing(seed), first_m)
                if string and _fits(string, wanted) and _clear(string, taken):
                    found.append(string)
                    break
    return found


def _fits(string: Candidate, wanted: Wanted) -> bool:
    minutes = string.visit_minutes(wanted.count_minutes)
    return wanted.shortest_minutes <= minutes <= wanted.longest_minutes


def _clear(string: Candidate, taken: Sequence[XY]) -> bool:
    return all(metres_between(a, b) >= ROUTES_APART_M for a in string.points for b in taken)


def choose_apart(strings: Sequence[Candidate], seed: str) -> list[Candidate]:
    """Return many strings that keep clear of each other.

    Greedy: next the one that hinders the fewest left, with some caprice; the best of several tries.
    """
    spots = [spot for string in strings for spot in string.points]
    owner = np.array([number for number, string in enumerate(strings) for _ in string.points])
    geometries = [Point(spot) for spot in spots]
    left, right = STRtree(geometries).query(geometries, predicate="dwithin", distance=ROUTES_APART_M)
    hinders = np.zeros((len(strings), len(strings)), dtype=bool)
    hinders[owner[left], owner[right]] = True
    draw = random.Random(f"{seed} order")
    tries = [_pick(hinders, np.array([draw.uniform(1, 1.1) for _ in strings])) for _ in range(RESTARTS)]
    return [strings[number] for number in max(tries, key=len)]


def _pick(hinders: NDArray[np.bool_], dislike: NDArray[np.float64]) -> list[int]:
    alive = np.ones(len(hinders), dtype=bool)
    chosen = []
    burden = hinders.sum(axis=1).astype(float)
    while alive.any():
        best = int(np.where(alive, burden * dislike, np.inf).argmin())
        chosen.append(best)
        gone = alive & hinders[best]
        burden -= hinders[:, gone].sum(axis=1)
        alive &= ~gone
    return chosen


def point_notes(code: str, count: int) -> tuple[str, ...]:
    """Return a note for each point of a route, most of them empty."""
    choose = random.Random(f"notes of {code}")
    return tuple(choose.choice(NOTES) for _ in range(count))
