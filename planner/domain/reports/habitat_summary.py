"""The habitat of routes, added up from the sheets that are handed in."""

from __future__ import annotations

from dataclasses import dataclass

WHOLE_SEASON = ""
"""In the place of a route: all of them."""


@dataclass(frozen=True, slots=True)
class ClassCover:
    """The cover of one class over the points of a route on one visit, in percent."""

    code: str
    mean: float
    least: float
    most: float
    change: float | None = None
    """Of the mean since the visit before, over the points that have sheets of both; None: there are none."""


@dataclass(frozen=True, slots=True)
class RouteHabitat:
    """The habitat of one route on one visit."""

    route: str
    visit: int
    points: int
    """Points with a sheet handed in; all means are over these."""
    covers: tuple[ClassCover, ...]
    """Every class of the protocol, in its order."""
    compared: int
    """Points that have sheets of this visit and of the one before."""
    grazed_mean: float | None
    """Percent of the ground that was grazed, over the points where it was said; None: nowhere."""
    livestock: float | None
    """Domestic animals in all, over the points where it was said; None: nowhere."""

    @property
    def dominant(self) -> str:
        """Code of the class with the largest mean; of equals the protocol's first."""
        return max(self.covers, key=lambda cover: cover.mean).code if self.covers else ""


@dataclass(frozen=True, slots=True)
class HabitatReport:
    """The habitat of a season."""

    classes: tuple[tuple[str, str], ...]
    """Code and name of every class, in the protocol's order."""
    routes: tuple[RouteHabitat, ...]
    """By the season's order of routes, then by visit; only where a sheet is handed in."""
    whole: tuple[RouteHabitat, ...]
    """All routes together, by visit."""
    with_grazing: bool
    with_livestock: bool
