"""A season's table of the sun's events: how long it takes beside astral's own functions, and how right it is."""

from __future__ import annotations

import argparse
import datetime as dt
import resource
import time
from collections.abc import Callable
from zoneinfo import ZoneInfo

import astral.sun
import numpy as np
from astral import Observer

from planner.light import ANGLES_DEG, EventStatus, event_table
from tests.unit.light.ephemeris import altitude_and_rate

EVENTS = tuple(ANGLES_DEG)
ROUTES, DATES = 200, 120
ZONE = "Europe/London"
REPEATS = 5

BANDS = {
    "up to 30": (-30, -12, 0, 10, 25, 30),
    "35 to 50": (-45, -38, 35, 40, 45, 50),
    "50 to 55": (-54, 51, 52, 53, 54, 55),
    "55 to 60": (56, 57, 58, 59, 60),
    "63 to 66": (-64, 63, 64, 65, 66),
}
"""Latitudes in degrees by band."""
PROMISED_S = {"up to 30": 5.0, "35 to 50": 5.0, "50 to 55": 5.0, "55 to 60": 10.0, "63 to 66": 15.0}
"""Seconds within which sunrise, sunset and civil twilight are promised; the deeper twilights have 10 at least."""

AstralFunction = Callable[[Observer, dt.date], dt.datetime]


def _dawn(angle_deg: float) -> AstralFunction:
    return lambda observer, day: astral.sun.dawn(observer, day, angle_deg, ZoneInfo(ZONE))


def _dusk(angle_deg: float) -> AstralFunction:
    return lambda observer, day: astral.sun.dusk(observer, day, angle_deg, ZoneInfo(ZONE))


ASTRAL: dict[str, AstralFunction] = {
    "sunrise": lambda observer, day: astral.sun.sunrise(observer, day, ZoneInfo(ZONE)),
    "sunset": lambda observer, day: astral.sun.sunset(observer, day, ZoneInfo(ZONE)),
    "civil_dawn": _dawn(6.0),
    "civil_dusk": _dusk(6.0),
    "nautical_dawn": _dawn(12.0),
    "nautical_dusk": _dusk(12.0),
    "astronomical_dawn": _dawn(18.0),
    "astronomical_dusk": _dusk(18.0),
}


def run(arguments: list[str]) -> dict[str, object]:
    """Time 192,000 events (200 routes, 120 dates, 8 events); with ``--accuracy`` also judge a year of them."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench light")
    parser.add_argument("--accuracy", action="store_true", help="errors against skyfield with DE421")
    options = parser.parse_args(arguments)
    result = speed()
    if options.accuracy:
        result["accuracy"] = accuracy()
    return result


def speed() -> dict[str, object]:
    """Time the table and astral's own functions in the same run; the median of five, and astral once."""
    chance = np.random.default_rng(2027)
    latitudes, longitudes = chance.uniform(50.0, 58.0, ROUTES), chance.uniform(-6.0, 1.5, ROUTES)
    dates = [dt.date(2027, 4, 1) + dt.timedelta(days=i) for i in range(DATES)]
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        event_table(EVENTS, dates, latitudes, longitudes, ZONE)
        times.append(time.perf_counter() - start)
    table = event_table(EVENTS, dates, latitudes, longitudes, ZONE)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    seconds = float(np.median(times))
    astral_seconds = _astral_seconds(latitudes.tolist(), longitudes.tolist(), dates)
    return {
        "rows": int(table.instants_s.size),
        "happening": int((table.statuses == EventStatus.HAPPENS).sum()),
        "seconds": round(seconds, 4),
        "first_seconds": round(times[0], 4),
        "astral_seconds": round(astral_seconds, 3),
        "ratio": round(astral_seconds / seconds, 1),
        "peak_mb": round(peak_mb, 1),
    }


def _astral_seconds(latitudes: list[float], longitudes: list[float], dates: list[dt.date]) -> float:
    start = time.perf_counter()
    for latitude, longitude in zip(latitudes, longitudes, strict=True):
        observer = Observer(latitude, longitude)
        for day in dates:
            for event in EVENTS:
                try:
                    ASTRAL[event](observer, day)
                except ValueError:  # it does not happen, or astral misses it
                    continue
    return time.perf_counter() - start


def accuracy() -> list[dict[str, object]]:
    """Return the errors in seconds by latitude band and event over every sixth date of 2027."""
    dates = [dt.date(2027, 1, 1) + dt.timedelta(days=i) for i in range(0, 365, 6)]
    return [_band_errors(band, event, dates) for band in BANDS for event in EVENTS]


def _band_errors(band: str, event: str, dates: list[dt.date]) -> dict[str, object]:
    latitudes = np.array(BANDS[band], dtype=np.float64)
    longitudes = latitudes * 37.3 % 360.0 - 180.0
    table = event_table([event], dates, latitudes, longitudes, "UTC")
    errors = []
    promised = PROMISED_S[band] if event.startswith(("sun", "civil")) else max(10.0, PROMISED_S[band])
    for place, (latitude, longitude) in enumerate(zip(latitudes.tolist(), longitudes.tolist(), strict=True)):
        instants = table.instants_s[0, place]
        instants = instants[np.isfinite(instants)]
        altitude, rate = altitude_and_rate(instants, latitude, longitude)
        errors.append(np.abs((altitude - ANGLES_DEG[table.events[0]]) / rate))
    seconds = np.concatenate(errors)
    return {
        "latitudes": band,
        "event": event,
        "rows": len(seconds),
        "median_s": round(float(np.median(seconds)), 1),
        "p99_s": round(float(np.percentile(seconds, 99)), 1),
        "max_s": round(float(seconds.max()), 1),
        "promised_s": promised,
        "out_of_promise": int((seconds > promised).sum()),
    }
