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
