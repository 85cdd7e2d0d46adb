"""``dimpsy light``: the sun and a protocol's windows at one place."""

from __future__ import annotations

import argparse
import datetime as dt
import zoneinfo

from planner.cli.output import Report
from planner.cli.usage import UsageError, any_date, whole
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.light import LightWindow, NoWindow, Span
from planner.domain.window import Event
from planner.usecases.light_table import LightOfDay, light_table

NAME = "light"
HELP = "sun, twilight and a protocol's light windows at one place"

_COLUMNS = (
    Event.NAUTICAL_DAWN,
    Event.CIVIL_DAWN,
    Event.SUNRISE,
    Event.SUNSET,
    Event.CIVIL_DUSK,
    Event.NAUTICAL_DUSK,
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--lat", type=float, required=True, metavar="DEG", help="latitude, north positive")
    parser.add_argument("--lon", type=float, required=True, metavar="DEG", help="longitude, east positive")
    parser.add_argument("--zone", required=True, help="IANA time zone, such as Europe/London")
    parser.add_argument("--date", type=any_date, required=True, metavar="DATE", help="first day, YYYY-MM-DD")
    parser.add_argument("--days", type=whole, default=1, metavar="N", help="how many days (default 1)")
    parser.add_argument("--protocol", default="", metavar="NAME", help="also its light windows")


def run(arguments: argparse.Namespace) -> Report:
    """Print a table of the days in local time."""
    try:
        place = Place(arguments.lat, arguments.lon)
        days = light_table(place, arguments.zone, arguments.date, arguments.days, arguments.protocol)
    except RuleError as error:
        raise UsageError(str(error)) from error
    zone = zoneinfo.ZoneInfo(arguments.zone)
    header = "date            " + "".join(f"{event.words:>15}" for event in _COLUMNS)
    lines = [f"Local times, {arguments.zone}; to the nearest minute.", header]
    lines += [line for day in days for line in _lines(day, zone)]
    data = {"place": place, "zone": arguments.zone, "days": [_day_data(day) for day in days]}
    return Report(data, tuple(lines))


def _lines(day: LightOfDay, zone: zoneinfo.ZoneInfo) -> list[str]:
    results = {result.event: result for result in day.events}
    cells = [_clock(results[event].instant, zone, day.date) if results[event].instant else "–" for event in _COLUMNS]
    lines = [f"{day.date:%a %Y-%m-%d}  " + "".join(f"{cell:>15}" for cell in cells)]
    lines += [f"    {results[event].reason}" for event in _COLUMNS if results[event].reason]
    lines += [f"    window '{window.name}': {_window_words(window, zone)}" for window in day.windows]
    return lines


def _window_words(window: LightWindow | NoWindow, zone: zoneinfo.ZoneInfo) -> str:
    if isinstance(window, NoWindow):
        return f"none, {window.reason}"
    clear = ", then ".join(_span_words(span, zone, window.date) for span in window.passes)
    if not window.overcast:
        return clear
    return (
        f"{clear}; under an overcast sky {', then '.join(_span_words(s, zone, window.date) for s in window.overcast)}"
    )


def _span_words(span: Span, zone: zoneinfo.ZoneInfo, day: dt.date) -> str:
    return f"{_clock(span.open_utc, zone, day)} to {_clock(span.close_utc, zone, day)} ({span.minutes:.0f} min)"


def _clock(instant: dt.datetime | None, zone: zoneinfo.ZoneInfo, day: dt.date) -> str:
    """Return a local clock time to the nearest minute, with the weekday where it falls on another date."""
    if instant is None:
        return "–"
    local = (instant + dt.timedelta(seconds=30)).astimezone(zone)
    return f"{local:%H:%M}" if local.date() == day else f"{local:%H:%M %a}"


def _day_data(day: LightOfDay) -> dict[str, object]:
    return {
        "date": day.date,
        "events": {result.event.value: {"utc": result.instant, "reason": result.reason} for result in day.events},
        "windows": [_window_data(window) for window in day.windows],
    }


def _window_data(window: LightWindow | NoWindow) -> dict[str, object]:
    if isinstance(window, NoWindow):
        return {"name": window.name, "exists": False, "reason": window.reason, "grazing": window.grazing}
    return {"name": window.name, "exists": True, "passes": window.passes, "overcast": window.overcast}
