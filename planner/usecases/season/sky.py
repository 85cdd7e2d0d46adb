"""The season at a glance: the sun over the hours of every date, and the light windows in them."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from planner.domain.geo import Place
from planner.domain.window import PartOfDay
from planner.light import sun_altitude
from planner.scheduling import SeasonProblem, WindowLight
from planner.scheduling.problem import FloatArray
from planner.usecases.routes.areas import middle_of

STEP_MINUTES = 5
BEFORE_MINUTES, AFTER_MINUTES = 75, 60
"""Shown beside the windows, rounded out to full hours: enough for the day to fade into the night."""


@dataclass(frozen=True, slots=True, eq=False)
class SkyBand:
    """One pass of a light window over the season: from the earliest opening to the latest closing of all points."""

    window: str
    opens: FloatArray
    """Minutes of the clock after local midnight at the start of the date, below 0 or above 1440 where it lies on
    another date; NaN where no point has a window. Shape (dates,)."""
    closes: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class SkyPanel:
    """The evenings, or the mornings, of a season."""

    part: PartOfDay
    first_minute: int
    """Of the clock, after local midnight at the start of each date; a full hour."""
    altitudes_deg: FloatArray
    """Of the sun's centre, every ``STEP_MINUTES``; shape (minutes, dates)."""
    bands: tuple[SkyBand, ...]

    @property
    def last_minute(self) -> int:
        """Of the clock, as ``first_minute``; a full hour."""
        return self.first_minute + STEP_MINUTES * (len(self.altitudes_deg) - 1)


@dataclass(frozen=True, slots=True, eq=False)
class SeasonSky:
    """What the picture of a season is painted from."""

    dates: tuple[dt.date, ...]
    panels: tuple[SkyPanel, ...]
    """Evenings before mornings; empty where no date of the season has a window."""


def season_sky(problem: SeasonProblem) -> SeasonSky:
    """Return the sun and the windows of a season; the sun is that of the middle of its first route."""
    dates = tuple(problem.days)
    first = next((middle_of(route) for route in problem.season.routes if route.points), None)
    if first is None:
        return SeasonSky(dates, ())
    parts = {window.name: window.part for window in problem.season.protocol.windows}
    bands = {part: _bands(problem, {name for name in parts if parts[name] is part}) for part in PartOfDay}
    panels = (_panel(problem, part, bands[part], first) for part in (PartOfDay.DUSK, PartOfDay.DAWN))
    return SeasonSky(dates, tuple(panel for panel in panels if panel is not None))


def _bands(problem: SeasonProblem, names: set[str]) -> tuple[SkyBand, ...]:
    lights: dict[str, list[WindowLight]] = defaultdict(list)
    for light in problem.light.values():
        for window in light.windows:
            if window.name in names:
                lights[window.name].append(window)
    return tuple(band for name, windows in lights.items() for band in _passes(problem, name, windows))


def _passes(problem: SeasonProblem, name: str, windows: Sequence[WindowLight]) -> Iterator[SkyBand]:
    for number in range(len(windows[0].passes)):
        spans = [window.passes[number] for window in windows]
        opens = np.fmin.reduce([np.fmin.reduce(span.open_utc, axis=1) for span in spans])
        closes = np.fmax.reduce([np.fmax.reduce(span.close_utc, axis=1) for span in spans])
        yield SkyBand(name, _clock_minutes(problem, opens), _clock_minutes(problem, closes))


def _clock_minutes(problem: SeasonProblem, instants_s: FloatArray) -> FloatArray:
    """Return instants, one a date, as minutes of the local clock after the midnight that begins the date."""
    zone = problem.season.tzinfo
    minutes = np.full(len(instants_s), np.nan)
    for n, (day, instant) in enumerate(zip(problem.days, instants_s, strict=True)):
        if np.isfinite(instant):
            local = dt.datetime.fromtimestamp(float(instant), zone).replace(tzinfo=None)
            minutes[n] = (local - dt.datetime.combine(day, dt.time())).total_seconds() / 60
    return minutes


def _panel(problem: SeasonProblem, part: PartOfDay, bands: Sequence[SkyBand], place: Place) -> SkyPanel | None:
    edges = [edge for band in bands for edge in (band.opens, band.closes)]
    known = np.concatenate(edges) if edges else np.empty(0)
    known = known[np.isfinite(known)]
    if not known.size:
        return None
    first = int((known.min() - BEFORE_MINUTES) // 60) * 60
    last = -int(-(known.max() + AFTER_MINUTES) // 60) * 60
    return SkyPanel(part, first, _altitudes(problem, place, first, last), tuple(bands))


def _altitudes(problem: SeasonProblem, place: Place, first: int, last: int) -> FloatArray:
    zone = problem.season.tzinfo
    midnights = [dt.datetime.combine(day, dt.time()) for day in problem.days]
    minutes = [dt.timedelta(minutes=minute) for minute in range(first, last + 1, STEP_MINUTES)]
    instants = [[(day + minute).replace(tzinfo=zone).timestamp() for day in midnights] for minute in minutes]
    return sun_altitude(np.array(instants), place.latitude, place.longitude)
