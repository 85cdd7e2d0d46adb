"""What a person has said so far of a layout: enough for a request, or what is lacking."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum, auto

from planner.desktop.routes.words import tr
from planner.domain.geo import Place
from planner.usecases.laying_out import Along, AlongLine, AlongRoad, FoundLine, LayoutRequest, ThroughPlaces

BESIDE_M = 50.0
"""Who wants no point at a place wants none so near to it either: our choice."""


class Way(Enum):
    """Along what points are laid out."""

    PLACES = auto()
    """The quickest way through places."""
    ROAD = auto()
    """A road by its name."""
    LINE = auto()
    """A line of a file."""


@dataclass(frozen=True, slots=True)
class LayoutWish:
    """A layout as far as it has been said."""

    way: Way = Way.PLACES
    places: tuple[Place, ...] = ()
    road: str = ""
    line: FoundLine | None = None
    points: int | None = None
    """None: as many as the protocol allows."""
    start_after_m: float = 0.0
    avoid: tuple[tuple[float, float], ...] = ()

    @property
    def lacks(self) -> str:
        """What has still to be said before there can be a proposal; empty: nothing."""
        if self.way is Way.LINE:
            return "" if self.line is not None else tr("Choose a file with a track or line.")
        if not self.places:
            return tr("Click on the map where the line is to start, or type the place.")
        if self.way is Way.ROAD:
            return "" if self.road else tr("Say the name of the road, as the map spells it.")
        return "" if len(self.places) > 1 else tr("Click where the line is to end; places between it goes through.")

    def request(self) -> LayoutRequest:
        """Return the request; raises RuleError where something is still lacking, or cannot be."""
        return LayoutRequest(self._along(), self.points, self.start_after_m, self.avoid)

    def turned(self) -> LayoutWish:
        """Return the same from the other end; stretches to avoid are counted from the start, so they go."""
        line = self.line
        if line is not None:
            line = replace(line, along=AlongLine(line.along.places[::-1]))
        return replace(self, places=self.places[::-1], line=line, avoid=())

    def without_place(self, number: int) -> LayoutWish:
        """Return the same without one of its places, 0 the first."""
        return replace(self, places=(*self.places[:number], *self.places[number + 1 :]))

    def away_from(self, along_m: float) -> LayoutWish:
        """Return the same without a point near a place on the line."""
        stretch = (max(0.0, along_m - BESIDE_M), along_m + BESIDE_M)
        return replace(self, avoid=tuple(sorted({*self.avoid, stretch})))

    def allowed(self, along_m: float) -> LayoutWish:
        """Return the same, a place on the line no longer avoided."""
        kept = tuple(one for one in self.avoid if not one[0] <= along_m <= one[1])
        return replace(self, avoid=kept)

    def _along(self) -> Along:
        if self.way is Way.LINE and self.line is not None:
            return self.line.along
        if self.way is Way.ROAD and self.places:
            return AlongRoad(self.road, self.places[0], self.places[1] if len(self.places) > 1 else None)
        return ThroughPlaces(self.places)
