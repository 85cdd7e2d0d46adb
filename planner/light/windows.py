"""The light window of one date at one place."""

from __future__ import annotations

from datetime import date, tzinfo
from functools import lru_cache

from planner.domain.geo import Place
from planner.domain.light import LightWindow, NoWindow, SunLine
from planner.domain.window import Event, MoonRule, Window
from planner.light.events import EventStatus, as_utc, event_table
from planner.light.windowtable import window_table

SUN_LINE = (
    Event.SUNRISE,
    Event.SUNSET,
    Event.CIVIL_DAWN,
    Event.CIVIL_DUSK,
    Event.NAUTICAL_DAWN,
    Event.NAUTICAL_DUSK,
)


def light_window(
    window: Window, place: Place, date: date, zone: str | tzinfo, moon: MoonRule | None = None
) -> LightWindow | NoWindow:
    """Return the window of one date at one place, or why there is none.

    Args:
        window: the protocol's rule.
        place: where the counts are.
        date: local civil date of the opening.
        zone: the IANA name of the place's time zone, or the zone itself.
        moon: what the moon must do for the whole window, if anything; a preferred rule bars nothing.

    Raises:
        RuleError: an unknown zone, or a year outside 1900 to 2100.
    """
    return window_table(window, [place], [date], zone, moon).at(0, 0)


@lru_cache(maxsize=1024)
def sun_line(place: Place, date: date, zone: str | tzinfo) -> SunLine:
    """Return the sun's events of one local date at one place, in the order of :class:`SunLine`.

    Everybody on an outing has the same on paper, and so has each view of it: what was computed is kept.

    Raises:
        RuleError: an unknown zone, or a year outside 1900 to 2100.
    """
    table = event_table(SUN_LINE, [date], [place.latitude], [place.longitude], zone)
    return SunLine(
        *(
            as_utc(instant) if status == EventStatus.HAPPENS else None
            for instant, status in zip(table.instants_s[:, 0, 0], table.statuses[:, 0, 0], strict=True)
        )
    )
