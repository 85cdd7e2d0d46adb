"""The mark of every page: darkness drawn as engraved lines that close up as the light goes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise

from planner.domain.light import SunLine
from planner.printing.canvas import Canvas
from planner.printing.geometry import Box

DAY_SPACING_MM = 4.0
NIGHT_SPACING_MM = 0.4
LINE_MM = 0.2

Darkness = Callable[[float], float]
"""From 0 (left edge) to 1 (right edge) to how dark it is there: 0 day, 1 night."""


def draw_darkness(canvas: Canvas, box: Box, darkness: Darkness) -> None:
    """Fill a box with upright lines, the closer the darker; daylight is left white, unless there is nothing else."""
    only_day = not any(darkness(part / 8) > 0 for part in range(9))
    at = 0.0
    while at < box.width:
        dark = darkness(at / box.width)
        if dark > 0 or only_day:
            canvas.line((box.left + at, box.top), (box.left + at, box.bottom), LINE_MM * (0.7 + dark * 0.7))
        at += DAY_SPACING_MM * (NIGHT_SPACING_MM / DAY_SPACING_MM) ** max(dark, 0.0)


def nightfall(at: float) -> float:
    """Return an evening's darkness for bands that belong to no date: day at the left, night at the right."""
    return max(0.01, at)


def darkness_at(sun: SunLine, moment: dt.datetime) -> float:
    """Return how dark it is, from 0 before sunset to 1 past nautical dusk, straight between the sun's events."""
    anchors = _anchors(sun)
    if not anchors:
        return 0.0
    if moment <= anchors[0][0]:
        return anchors[0][1]
    for (before, dark), (after, darker) in pairwise(anchors):
        if moment <= after:
            share = (moment - before) / (after - before)
            return dark + (darker - dark) * share
    return anchors[-1][1]


@lru_cache(maxsize=64)
def _anchors(sun: SunLine) -> tuple[tuple[dt.datetime, float], ...]:
    """Return how dark it is at the sun's events; asked again for each line that is drawn of one evening."""
    known = [
        (sun.nautical_dawn_utc, 0.9),
        (sun.civil_dawn_utc, 0.45),
        (sun.sunrise_utc, 0.0),
        (sun.sunset_utc, 0.0),
        (sun.civil_dusk_utc, 0.45),
        (sun.nautical_dusk_utc, 0.9),
    ]
    anchors = [(moment, dark) for moment, dark in known if moment is not None]
    return tuple(sorted(anchors))
