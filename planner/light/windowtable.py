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
from planner.light.localdays import day_spans, zone_named
from planner.light.moontrack import moon_table
from planner.light.sun import Floats

NOON_CLOCK = time(12, 0)
MOON_SAMPLE_S = 900.0
"""Step at which the moon is looked at; near the horizon its altitude bends by less than 0.05
degrees within one."""


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
        return LightWindow(self.window.name, self.dates[day], passes, overcast if self.window.depends_on_sky else ())


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
    edges = _Edges.of(window, places, dates, zone_named(zone))
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
    return WindowTable(window, tuple(dates), opens, closes, dull_opens, dull_closes, holds, tuple(bars), barred_by)


def _words(window: Window) -> str:
    """Return the edges of every pass in words."""
    return ", ".join(
        f"{run.open.words} to {run.close.words if run.close else f'{run.within_minutes:g} min later'}"
        for run in window.passes
    )


def _moon(
    rule: MoonRule, places: Sequence[Place], opens_s: Floats, closes_s: Floats, exists: NDArray[np.bool_]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return whether the moon is lit enough, and whether it is up where it must be, for whole windows.

    Shapes (places, dates); true where no window exists. Both ends are looked at first; then, for windows that
    may hold, every quarter of an hour, which sees a moon that sets and rises again in a long night. At high
    latitudes, where the moon may skim the horizon, that is right to 0.05 degrees.
    """
    lit, up = np.ones(exists.shape, dtype=np.bool_), np.ones(exists.shape, dtype=np.bool_)
    north = np.array([[place.latitude] for place in places], dtype=np.float64)
    east = np.array([[place.longitude] for place in places], dtype=np.float64)
    north, east = np.broadcast_to(north, exists.shape), np.broadcast_to(east, exists.shape)
    lengths = closes_s[exists] - opens_s[exists]
    samples = max(2, int(np.ceil(lengths.max(initial=0.0) / MOON_SAMPLE_S)) + 1)
    for steps in (2, samples):
        rows = exists & lit & up
        shares = np.linspace(0.0, 1.0, steps)
        instants = opens_s[rows][:, None] + shares * (closes_s[rows] - opens_s[rows])[:, None]
        moon = moon_table(north[rows][:, None], east[rows][:, None], instants)
        lit[rows] = moon.illuminated.min(axis=1, initial=1.0) >= rule.least_illuminated
        if rule.above_horizon:
            up[rows] = moon.altitudes_deg.min(axis=1, initial=90.0) > 0.0
    return lit, up


def _in_morning(edge: Edge) -> bool:
    """Whether an edge belongs to the morning of its date."""
    return edge.event in DAWNS or (edge.clock is not None and edge.clock < NOON_CLOCK)


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """The moments that the edges of one window are tied to, at places on dates."""

    window: Window
    dates: tuple[date, ...]
    zone: tzinfo
    places: int
    events: EventTable
    """The sun's events on the dates and on the dates after them."""
    columns: NDArray[np.int64]
    """Shape (2, dates): the columns of ``events`` that hold a date, and the date after it."""

    @classmethod
    def of(cls, window: Window, places: Sequence[Place], dates: Sequence[date], zone: tzinfo) -> _Edges:
        """Compute the events that the window needs."""
        following = [day + timedelta(days=1) for day in dates]
        needed = sorted({*dates, *following})
        column = {day: i for i, day in enumerate(needed)}
        used = [e.event for run in window.passes for e in (run.open, run.close) if e is not None]
        events = event_table(
            dict.fromkeys(event for event in used if event is not Event.CLOCK),
            needed,
            np.array([place.latitude for place in places], dtype=np.float64),
            np.array([place.longitude for place in places], dtype=np.float64),
            zone,
        )
        columns = np.array([[column[day] for day in days] for days in (dates, following)], dtype=np.int64)
        return cls(window, tuple(dates), zone, len(places), events, columns.reshape(2, len(dates)))

    def span(self, run: Pass, *, overcast: bool) -> tuple[Floats, Floats]:
        """Return opening and closing of one pass, Unix seconds, shape (places, dates)."""
        opens = self._moments(run.open, overcast=overcast)
        closes = None if run.close is None else self._moments(run.close, overcast=overcast)
        if run.within_minutes is not None and (closes is None or run.start is StartRule.EXACTLY):
            latest = opens + 60.0 * run.within_minutes
            closes = latest if closes is None else np.minimum(closes, latest)
        assert closes is not None, "a pass has a closing edge or minutes from its start"
        return opens, closes

    def _days_later(self, edge: Edge) -> int:
        """Return 1 for a morning edge of a window that opens in the evening, else 0."""
        return int(_in_morning(edge) and not _in_morning(self.window.passes[0].open))

    def _moments(self, edge: Edge, *, overcast: bool) -> Floats:
        """Return ``event + offset``, Unix seconds, shape (places, dates)."""
        later = self._days_later(edge)
        if edge.clock is None:
            moments = self.events.of(edge.event)[0][:, self.columns[later]]
        else:
            clock = edge.clock.replace(tzinfo=None)
            days = [day + timedelta(days=later) for day in self.dates]
            at = [datetime.combine(day, clock, tzinfo=self.zone).astimezone(UTC).timestamp() for day in days]
            moments = np.broadcast_to(np.array(at, dtype=np.float64), (self.places, len(days)))
        offset = edge.overcast_offset_minutes if overcast else None
        return moments + 60.0 * (edge.offset_minutes if offset is None else offset)

    def bars(self) -> tuple[list[Bar], NDArray[np.int16]]:
        """Return why edges have no moment, and for every place and date the first such reason, or -1."""
        starts, ends = day_spans(self.dates, self.zone)
        bars = [Bar("the time zone skips this date")]
        barred_by = np.full((self.places, len(self.dates)), -1, dtype=np.int16)
        barred_by[:, starts >= ends] = 0
        for run in self.window.passes:
            for edge in (run.open, run.close):
                if edge is None or edge.event is Event.CLOCK:
                    continue
                statuses = self.events.of(edge.event)[1][:, self.columns[self._days_later(edge)]]
                for status in map(EventStatus, np.unique(statuses).tolist()):
                    if status is not EventStatus.HAPPENS:
                        barred_by[(statuses == status) & (barred_by < 0)] = len(bars)
                        reason = reason_in_words(edge.event, status)
                        bars.append(Bar(reason, grazing=status is EventStatus.GRAZING))
        return bars, barred_by
