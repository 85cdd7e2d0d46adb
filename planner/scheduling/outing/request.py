"""What timing one outing needs: the ground, the light of that date, and the protocol's minutes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.domain.counting import Direction
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.habitat import HabitatTiming
from planner.domain.travel import DriveFigure, FigureSource
from planner.scheduling.outing.passes import PassSpan
from planner.scheduling.problem import DriveMinutes

_Cells: TypeAlias = npt.NDArray[np.int64] | tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]


@dataclass(frozen=True, slots=True, eq=False)
class OutingRequest:
    """One outing to be timed: a survey visit, a set-up day, or both. Arrays run over the points of the route."""

    route: str
    date: dt.date
    numbers: tuple[int, ...]
    """Numbers of the points, in the route's own order."""
    legs: DriveMinutes
    """Point to point, shape (points, points)."""
    out: DriveMinutes
    """From this person's home, shape (points,)."""
    back: DriveMinutes
    """To this person's home, shape (points,)."""
    sunrise_utc: float
    """Unix seconds; NaN where the sun does not rise or set that day, and then daylight binds nothing."""
    sunset_utc: float
    direction: Direction = Direction.ANY
    count_minutes: float = 0.0
    window: str = ""
    """Name of the light window."""
    spans: tuple[PassSpan, ...] = ()
    """Rule and light of each pass; none at all on a set-up day of its own."""
    overcast: tuple[PassSpan, ...] = ()
    """The same under an overcast sky; none where the sky changes nothing."""
    habitat_minutes: float = 0.0
    """Minutes at each point of the habitat round; 0: this outing has none."""
    setup_minutes: float = 0.0
    """Minutes at each point for set-up, in place of the habitat round; 0: no set-up."""
    timing: HabitatTiming = HabitatTiming.BEFORE_COUNTS
    measured: bool = False
    """Whether drives from point to point were recorded, and the minutes by road are what they came to."""

    def __post_init__(self) -> None:
        points = len(self.numbers)
        if not points:
            raise RuleError(f"route {self.route} has no points: give it at least one before an outing is timed")
        if self.legs.expected.shape != (points, points) or self.out.expected.shape != (points,):
            raise RuleError(f"route {self.route}: drives must be given for its {points} points")

    @property
    def round_minutes(self) -> float:
        """Minutes at each point of the round in daylight; 0: there is no round."""
        return self.setup_minutes or self.habitat_minutes

    @property
    def sunrise_s(self) -> float:
        """Earliest moment of daylight in Unix seconds; -inf where nothing binds."""
        return -np.inf if np.isnan(self.sunrise_utc) else self.sunrise_utc

    @property
    def sunset_s(self) -> float:
        """Latest moment of daylight in Unix seconds; inf where nothing binds."""
        return np.inf if np.isnan(self.sunset_utc) else self.sunset_utc

    def figure(self, origin: int | None, destination: int | None) -> DriveFigure:
        """Return the drive between two places of the arrays; None stands for home."""
        if origin is None:
            return _figure(self.out, (destination,))
        if destination is None:
            return _figure(self.back, (origin,))
        figure = _figure(self.legs, (origin, destination))
        # An estimate stays one: recorded drives say how far off estimates are on the whole, not on one leg.
        if self.measured and figure.source is FigureSource.ROAD:
            return replace(figure, source=FigureSource.MEASURED)
        return figure

    def only(self, points: npt.NDArray[np.int64]) -> OutingRequest:
        """Return the request for some of the points, by their places."""
        square = points[:, None], points[None, :]
        return replace(
            self,
            numbers=tuple(self.numbers[point] for point in points),
            legs=_part(self.legs, square),
            out=_part(self.out, points),
            back=_part(self.back, points),
            spans=_spans(self.spans, points),
            overcast=_spans(self.overcast, points),
        )

    def reachable(self) -> npt.NDArray[np.int64]:
        """Return the places of points that can be driven to, between, and home from.

        Raises:
            ImpossibleError: there are none.
        """
        kept = np.flatnonzero(np.isfinite(self.out.cautious) & np.isfinite(self.back.cautious))
        while len(kept):
            cut = ~np.isfinite(self.legs.cautious[np.ix_(kept, kept)])
            np.fill_diagonal(cut, val=False)
            if not cut.any():
                return np.asarray(kept, dtype=np.int64)
            kept = np.delete(kept, int(np.argmax(cut.sum(axis=0) + cut.sum(axis=1))))
        raise ImpossibleError(
            f"no outing to route {self.route} is possible: no road leads from this home to its points and back",
            "check where the points and the home lie, and whether the road map covers both",
        )


def _part(drives: DriveMinutes, cells: _Cells) -> DriveMinutes:
    return DriveMinutes(
        drives.optimistic[cells],
        drives.expected[cells],
        drives.cautious[cells],
        drives.estimated[cells],
    )


def _spans(spans: tuple[PassSpan, ...], points: npt.NDArray[np.int64]) -> tuple[PassSpan, ...]:
    return tuple(PassSpan(span.rule, span.open_s[points], span.close_s[points]) for span in spans)


def _figure(drives: DriveMinutes, cell: tuple[int | None, ...]) -> DriveFigure:
    at = tuple(index for index in cell if index is not None)
    return DriveFigure(
        float(drives.optimistic[at]),
        float(drives.expected[at]),
        float(drives.cautious[at]),
        FigureSource.ESTIMATE if drives.estimated[at] else FigureSource.ROAD,
    )
