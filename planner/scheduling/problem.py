"""The season as the scheduler is given it: the season itself, with light and drive minutes already computed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.season import Season

FloatArray: TypeAlias = npt.NDArray[np.float64]
BoolArray: TypeAlias = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class PassLight:
    """The span of light of one pass of one window, for every day of the season and every point of a route."""

    open_utc: FloatArray
    """Unix seconds, shape (days, points); NaN where that date has no window there."""
    close_utc: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class WindowLight:
    """One of the protocol's windows on one route: a span for each pass, and what the sky or the moon changes."""

    name: str
    passes: tuple[PassLight, ...]
    overcast: tuple[PassLight, ...]
    """The spans under an overcast sky; empty where they do not differ."""
    moon_meets: BoolArray
    """Whether the moon does what the protocol asks, shape (days,); all true where it asks nothing."""
    reasons: Mapping[dt.date, str]
    """Why a date has no window, in words."""


@dataclass(frozen=True, slots=True, eq=False)
class RouteLight:
    """All light of one route."""

    windows: tuple[WindowLight, ...]
    """In the order of the protocol's windows."""
    sunrise_utc: FloatArray
    """Unix seconds at the route's first point, shape (days,); NaN where the sun does not rise."""
    sunset_utc: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class DriveMinutes:
    """Drive minutes from each row to each column, stop overhead included; inf where no road leads there."""

    optimistic: FloatArray
    expected: FloatArray
    cautious: FloatArray
    estimated: BoolArray
    """True where the figure is an estimate without roads."""

    def __post_init__(self) -> None:
        shapes = {self.optimistic.shape, self.expected.shape, self.cautious.shape, self.estimated.shape}
        if len(shapes) != 1:
            raise RuleError(f"drive minutes must have one shape, found {sorted(shapes)}")


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class RouteDrives:
    """The drives of one route. Points are in the route's own order, volunteers in the season's."""

    legs: DriveMinutes
    """Point to point, shape (points, points)."""
    out: DriveMinutes
    """Home to point, shape (volunteers, points)."""
    back: DriveMinutes
    """Point to home, shape (points, volunteers)."""


@dataclass(frozen=True, slots=True, eq=False)
class SeasonProblem:
    """Everything that planning and judging a season need; nothing is looked up elsewhere."""

    season: Season
    light: Mapping[str, RouteLight]
    """By route code."""
    drives: Mapping[str, RouteDrives]
    """By route code."""
    today: dt.date | None = None
    """Visits before this date are past: they are left alone. None: nothing is past."""

    def __post_init__(self) -> None:
        codes = {route.code for route in self.season.routes}
        for name, table in (("light", self.light), ("drives", self.drives)):
            if set(table) != codes:
                raise RuleError(f"{name} must be given for every route, and for no other")

    @property
    def days(self) -> DateRange:
        """The dates that the arrays' day axis runs over."""
        return self.season.dates

    def day_index(self, day: dt.date) -> int:
        """Return the place of that date on the day axis; raises RuleError outside the season."""
        if day not in self.days:
            raise RuleError(f"{day} lies outside the season ({self.days})")
        return (day - self.days.first).days


def drive_one_way_minutes(drives: RouteDrives) -> FloatArray:
    """Return each volunteer's expected one-way drive to the route, shape (volunteers,).

    The mean of out and back at the nearer end of the route: what the drive limit is held against, and what
    a season's driving is added up from.
    """
    ends = [0, -1]
    there = drives.out.expected[:, ends]
    back = drives.back.expected[ends, :].T
    return np.asarray(((there + back) / 2).min(axis=1), dtype=np.float64)
