"""Light windows of a season: one rule at many places on many dates, computed all at once.

A window for date D is built from the events of D, each edge ``event + offset`` added up in UTC. Edges that
belong to the morning (a dawn event, or a clock time before noon) of a window that opens in the evening are
those of the next date. So a window may cross midnight and keeps the date of the evening it opens in, even in
far northern summers when dusk itself comes after midnight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from planner.domain.geo import Place
from planner.domain.light import LightWindow, NoWindow, Span
from planner.domain.window import Edge, Event, MoonRule, Pass, StartRule, Strength, Window
from planner.light.events import DAWNS, EventStatus, EventTable, as_utc, event_table, reason_in_words
from planner.light.localdays import zone_named
from planner.light.moontrack import moon_table
from planner.light.sun import Floats

NOON_CLOCK = time(12, 0)
MOON_SAMPLE_S = 900.0
"""Step at which the moon is looked at; its altitude bends by less than 0.05 degrees within one."""


@dataclass(frozen=True, slots=True)
class Bar:
    """Why there is no window, in words."""

    reason: str
    grazing: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class WindowTable:
    """One window at places on dates. Times are Unix seconds of shape (passes, places, dates).

    Where there is no window they are NaN.
    """

    window: Window
    dates: tuple[date, ...]
    opens_s: Floats
    closes_s: Floats
    overcast_opens_s: Floats
    """As ``opens_s`` under an overcast sky; equal to it where the window does not depend on the sky."""
    overcast_closes_s: Floats
    moon_holds: NDArray[np.bool_]
    """Shape (places, dates): whether the moon meets the rule for the whole window; true without a rule."""
    bars: tuple[Bar, ...]
    barred_by: NDArray[np.int16]
    """Shape (places, dates): index into ``bars``, or -1 where there is a window."""

    @property
    def exists(self) -> NDArray[np.bool_]:
        """Shape (places, dates): whether there is a window."""
        return self.barred_by < 0

    def at(self, place: int, day: int) -> LightWindow | NoWindow:
        """Return the window of one place and date, both by index."""
        index = int(self.barred_by[place, day])
        if index >= 0:
            bar = self.bars[index]
            return NoWindow(self.window.name, self.dates[day], bar.reason, bar.grazing)
        passes = _spans(self.opens_s[:, place, day], self.closes_s[:, place, day])
        overcast = _spans(self.overcast_opens_s[:, place, day], self.overcast_closes_s[:, place, day])
        return LightWindow(
            self.window.name, self.dates[day], passes, overcast if self.window.depends_on_sky else ()
        )


def _spans(opens_s: Floats, closes_s: Floats) -> tuple[Span, ...]:
    return tuple(Span(as_utc(a), as_utc(b)) for a, b in zip(opens_s, closes_s, strict=True))


def window_table(
    window: Window,
    places: Sequence[Place],
    dates: Sequence[date],
    zone: str | tzinfo,
    moon: MoonRule | None = None,
) -> WindowTable:
    """Compute a window at places on dates.

    Args:
        window: the protocol's rule.
        places: where the counts are.
        dates: local civil dates of the openings.
        zone: the time zone of every place.
        moon: what the moon must do from the first opening to the last closing, if anything. A required rule
            that is not met means no window; a preferred one shows in ``moon_holds`` alone.

    Raises:
        RuleError: an unknown zone, or a year outside 1900 to 2100.
    """
    edges = _Edges.of(window, places, dates, zone)
    clear = [edges.span(run, overcast=False) for run in window.passes]
    overcast = [edges.span(run, overcast=True) for run in window.passes] if window.depends_on_sky else clear
    opens, closes = np.stack([span[0] for span in clear]), np.stack([span[1] for span in clear])
    dull_opens, dull_closes = np.stack([span[0] for span in overcast]), np.stack([span[1] for span in overcast])

    bars, barred_by = edges.bars()
    hollow = ((closes <= opens) | (dull_closes <= dull_opens)).any(axis=0) & (barred_by < 0)
    barred_by[hollow] = len(bars)
    bars.append(Bar(f"the window closes before it opens: {_words(window)}"))

    holds = np.ones(barred_by.shape, dtype=np.bool_)
    if moon is not None:
        lit, up = _moon(moon, places, opens[0], closes[-1], barred_by < 0)
        holds = lit & up
        if moon.strength is Strength.REQUIRED:
            barred_by[~lit & (barred_by < 0)] = len(bars)
            barred_by[~up & (barred_by < 0)] = len(bars) + 1
            bars.append(Bar(f"the moon is less than {moon.least_illuminated:.0%} lit"))
            bars.append(Bar("the moon is below the horizon for some or all of the window"))
    for times in (opens, closes, dull_opens, dull_closes):
        times[:, barred_by >= 0] = np.nan
    return WindowTable(
        window, tuple(dates), opens, closes, dull_opens, dull_closes, holds, tuple(bars), barred_by
    )


def _words(window: Window) -> str:
    """Return the edges of every pass in words."""
    return ", ".join(
        f"{run.open.words} to {run.close.words if run.close else f'{run.within_minutes:g} min later'}"
        for run in window.passes
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """The moments that the edges of one window are tied to."""

    opening: Edge
    events: EventTable
    """Events of the dates and, after those, of the dates that follow: twice as many columns."""
    dates: tuple[date, ...]
    zone: tzinfo
    places: int

    @classmethod
    def of(
        cls, window: Window, places: Sequence[Place], dates: Sequence[date], zone: str | tzinfo
    ) -> _Edges:
        used = [e.event for run in window.passes for e in (run.open, run.close) if e is not None]
        events = event_table(
            dict.fromkeys(event for event in used if event is not Event.CLOCK),
            [*dates, *(day + timedelta(days=1) for day in dates)],
            np.array([place.latitude for place in places], dtype=np.float64),
            np.array([place.longitude for place in places], dtype=np.float64),
            zone,
        )
        return cls(window.passes[0].open, events, tuple(dates), zone_named(zone), len(places))
