"""Where the numbers and names of a map go, so that none lies on another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from planner.printing.geometry import Box, Spot

DISC_MM = 3.4
"""Radius of a point's numbered disc."""
_CLEAR_MM = 0.6


def disc_spots(spots: Sequence[Spot], frame: Box) -> list[Spot]:
    """Return a centre for the disc of each spot: on it, or beside it where another disc is in the way."""
    placed: list[Spot] = []
    for number, spot in enumerate(spots):
        others = [*placed, *(other for other in spots[number + 1 :] if math.dist(other, spot) > DISC_MM)]
        placed.append(_free_spot(spot, others, placed, frame))
    return placed


def _free_spot(spot: Spot, others: Sequence[Spot], placed: Sequence[Spot], frame: Box) -> Spot:
    if _is_free(spot, placed, frame):
        return spot
    for candidate in _around(spot):
        if _is_free(candidate, others, frame):
            return candidate
    return spot


def _around(spot: Spot) -> Iterator[Spot]:
    for distance in (2.4 * DISC_MM, 3.6 * DISC_MM, 4.8 * DISC_MM):
        for eighth in range(8):
            angle = eighth * math.pi / 4
            yield spot[0] + distance * math.cos(angle), spot[1] + distance * math.sin(angle)


def _is_free(spot: Spot, others: Sequence[Spot], frame: Box) -> bool:
    reach = DISC_MM + _CLEAR_MM
    inside = frame.holds(Box(spot[0] - reach, spot[1] - reach, 2 * reach, 2 * reach))
    return inside and all(math.dist(spot, other) >= 2 * DISC_MM + _CLEAR_MM for other in others)


def around_disc(spot: Spot) -> Box:
    """Return the ground that a disc covers."""
    return Box(spot[0] - DISC_MM - 0.5, spot[1] - DISC_MM - 0.5, 2 * DISC_MM + 1.0, 2 * DISC_MM + 1.0)


def is_clear(box: Box, taken: Sequence[Box], frame: Box) -> bool:
    """Whether a label's box lies in the frame and on nothing that is there already."""
    return frame.holds(box) and not any(box.meets(other) for other in taken)


def along(line: Sequence[Spot], every: float, start: float = 0.0) -> Iterator[tuple[Spot, float]]:
    """Yield places along a line and the line's direction there (radians, clockwise from east).

    Args:
        line: corners in millimetres.
        every: distance from one place to the next.
        start: distance of the first place from the line's beginning.
    """
    ahead = start
    for begin, end in pairwise(line):
        length = math.dist(begin, end)
        while length > 0 and ahead <= length:
            share = ahead / length
            spot = begin[0] + (end[0] - begin[0]) * share, begin[1] + (end[1] - begin[1]) * share
            yield spot, math.atan2(end[1] - begin[1], end[0] - begin[0])
            ahead += every
        ahead -= length
