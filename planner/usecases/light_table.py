"""The sun, and a protocol's light windows, at one place over some days."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.light import LightWindow, NoWindow
from planner.domain.window import Event
from planner.exchange import read_protocol, shipped_protocol
from planner.light import EventResult, event_on, window_table

LAST_DAY = dt.date(2100, 12, 30)
"""A day's light needs the day after it, and the sun is computed up to the end of 2100."""


@dataclass(frozen=True, slots=True)
class LightOfDay:
    """One date: the sun's events, and the protocol's windows where one was named."""

    date: dt.date
    events: tuple[EventResult, ...]
    windows: tuple[LightWindow | NoWindow, ...]


def light_table(place: Place, zone: str, first: dt.date, days: int, protocol_name: str = "") -> tuple[LightOfDay, ...]:
    """Return the light of some days at a place.

    Raises:
        RuleError: an unknown zone, or a year outside 1900 to 2100.
        InputError: an unknown protocol.
    """
    if first.toordinal() + days - 1 > LAST_DAY.toordinal():
        raise RuleError(f"the sun is computed up to {LAST_DAY}; {days} days from {first} on go beyond it")
    dates = [first + dt.timedelta(days=offset) for offset in range(days)]
    tables = []
    if protocol_name:
        named = (
            read_protocol(Path(protocol_name)) if protocol_name.endswith(".toml") else shipped_protocol(protocol_name)
        )
        tables = [window_table(window, [place], dates, zone, named.moon) for window in named.windows]
    return tuple(
        LightOfDay(
            date=day,
            events=tuple(
                event_on(event, day, place.latitude, place.longitude, zone)
                for event in Event
                if event is not Event.CLOCK
            ),
            windows=tuple(table.at(0, index) for table in tables),
        )
        for index, day in enumerate(dates)
    )
