"""Sun, moon and light windows: when there is the light that a survey asks for."""

from planner.domain.window import Event
from planner.light.events import (
    ANGLES_DEG,
    GRAZING_DEG,
    SUN_EVENTS,
    EventResult,
    EventStatus,
    EventTable,
    event_on,
    event_table,
    event_time,
    reason_in_words,
)
from planner.light.localdays import zone_named
from planner.light.moon import MoonState, moon_at, moon_holds, moon_least
from planner.light.moontrack import MoonTable, moon_table
from planner.light.sun import sun_altitude
from planner.light.windows import light_window, sun_line
from planner.light.windowtable import WindowTable, window_table

__all__ = [
    "ANGLES_DEG",
    "GRAZING_DEG",
    "SUN_EVENTS",
    "Event",
    "EventResult",
    "EventStatus",
    "EventTable",
    "MoonState",
    "MoonTable",
    "WindowTable",
    "event_on",
    "event_table",
    "event_time",
    "light_window",
    "moon_at",
    "moon_holds",
    "moon_least",
    "moon_table",
    "reason_in_words",
    "sun_altitude",
    "sun_line",
    "window_table",
    "zone_named",
]
