"""What a visit record is held against, taken from the season's light and drives."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from planner.domain.field.record_ground import CountKey, CountLight, RecordGround, WindowLightOfDate
from planner.domain.light import Span
from planner.domain.route import Route
from planner.domain.window import Window
from planner.scheduling import DriveMinutes, PassLight, RouteDrives, SeasonProblem, WindowLight


def record_ground(problem: SeasonProblem, route: Route, date: dt.date) -> RecordGround:
    """Return light and drives of a route on one date; no windows where the date lies outside the season.

    Args:
        problem: the season with its light and drives.
        route: one of its routes.
        date: any date.
    """
    numbers = tuple(point.number for point in route.points)
    drives = problem.drives[route.code]
    codes = tuple(one.code for one in problem.season.volunteers)
    return RecordGround(
        season=problem.season,
        route=route,
        windows=tuple(_windows(problem, route, numbers, date)) if date in problem.days else (),
        legs_minutes=_pairs(drives.legs, numbers),
        out_minutes=_from_homes(drives, codes, numbers),
    )


def _windows(
    problem: SeasonProblem, route: Route, numbers: tuple[int, ...], date: dt.date
) -> Iterator[WindowLightOfDate]:
    day = problem.day_index(date)
    for window, light in zip(problem.season.protocol.windows, problem.light[route.code].windows, strict=True):
        yield _window(window, light, numbers, day, light.reasons.get(date, ""))


def _window(window: Window, light: WindowLight, numbers: tuple[int, ...], day: int, reason: str) -> WindowLightOfDate:
    found: dict[CountKey, CountLight] = {}
    for run, clear in enumerate(light.passes, start=1):
        overcast = light.overcast[run - 1] if light.overcast else None
        for place, number in enumerate(numbers):
            span = _span(clear, day, place)
            if span is not None:
                dull = _span(overcast, day, place) if overcast is not None else None
                found[number, run] = CountLight(span, dull if dull != span else None)
    whole = len(found) == len(numbers) * len(light.passes)
    return WindowLightOfDate(window, found if whole else {}, reason)


def _span(light: PassLight, day: int, place: int) -> Span | None:
    opens, closes = float(light.open_utc[day, place]), float(light.close_utc[day, place])
    if not (np.isfinite(opens) and np.isfinite(closes)) or closes <= opens:
        return None
    return Span(dt.datetime.fromtimestamp(opens, dt.UTC), dt.datetime.fromtimestamp(closes, dt.UTC))


def _pairs(legs: DriveMinutes, numbers: tuple[int, ...]) -> dict[tuple[int, int], float]:
    rows = legs.optimistic.tolist()
    return {
        (numbers[here], numbers[there]): minutes
        for here, row in enumerate(rows)
        for there, minutes in enumerate(row)
        if here != there and np.isfinite(minutes)
    }


def _from_homes(drives: RouteDrives, codes: tuple[str, ...], numbers: tuple[int, ...]) -> dict[tuple[str, int], float]:
    rows = drives.out.optimistic.tolist()
    return {
        (code, number): minutes
        for code, row in zip(codes, rows, strict=True)
        for number, minutes in zip(numbers, row, strict=True)
        if np.isfinite(minutes)
    }
