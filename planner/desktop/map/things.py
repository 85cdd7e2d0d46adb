"""What rooms put on the map besides roads and routes."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.geo import Place


@dataclass(frozen=True, slots=True)
class MapHome:
    """Where a volunteer sets out from."""

    code: str
    name: str
    place: Place


@dataclass(frozen=True, slots=True)
class MapTie:
    """A straight light line that says who goes where; no road is meant by it."""

    origin: Place
    destination: Place
    words: str
    """What the tie says when it is pointed at: 'Ann Example leads R05, visit 1'."""


@dataclass(frozen=True, slots=True)
class MapStop:
    """A point that is proposed."""

    number: int
    place: Place
    words: str
    """What it says when it is pointed at."""


@dataclass(frozen=True, slots=True)
class MapBarred:
    """A stretch of a proposal's line where no point may stand."""

    line: tuple[Place, ...]
    words: str
    """Why."""


@dataclass(frozen=True, slots=True)
class MapProposal:
    """Points proposed along a line, and the places that a person chose for it."""

    pins: tuple[Place, ...] = ()
    """What the person chose, in order: A, B, C …"""
    line: tuple[Place, ...] = ()
    stops: tuple[MapStop, ...] = ()
    barred: tuple[MapBarred, ...] = ()
    radius_m: float | None = None
    """Of the circle round each stop; None: none is drawn."""
    roads: tuple[tuple[Place, ...], ...] = ()
    """Of a name that the person gave, before it is known from where the line is to run."""


def pin_name(place: int) -> str:
    """Return what the pin at a place in the order is called, 0 the first: A to Z, then 27 and on."""
    return chr(ord("A") + place) if place < ALPHABET else str(place + 1)


ALPHABET = 26
