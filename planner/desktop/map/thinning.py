"""From which size on a disc or a name is shown, so that none lies on another.

Each thing has one size from which on it is shown: it never comes and goes while the map is drawn nearer, nor while it
is pushed about. Things are taken in order of their weight; one that would lie on a weightier thing waits until the two
have come apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.desktop.map.ground import Floats, Ints
from planner.desktop.map.route_sheet import RouteSheet

DISC_APART_PX = 23.0
"""From middle to middle of two numbered discs."""
DOT_APART_PX = 9.0
DISC_SCALE, DOT_SCALE = 1 / 100, 1 / 250
"""Pixels per metre below which there are none at all."""


@dataclass(frozen=True, eq=False)
class Boxes:
    """Things of fixed size in pixels, hung at places of the ground; the weightiest first."""

    east: Floats
    south: Floats
    """Metres of the map."""
    aside: Floats
    below: Floats
    """Pixels from the place to the middle of the thing."""
    half_width: Floats
    half_height: Floats
    """Pixels."""
    owners: Ints
    """Things of one owner do not keep each other away."""


def boxes_from(boxes: Boxes) -> Floats:
    """Return the scale (pixels per metre) from which on each thing is shown; inf: never."""
    shown_from = np.zeros(len(boxes.east))
    for this in range(1, len(shown_from)):
        shown_from[this] = _apart_from(boxes, this, shown_from[:this])
    return shown_from


def _apart_from(boxes: Boxes, this: int, shown_from: Floats) -> float:
    """Return the scale from which on a thing lies on none of those before it that are shown."""
    before = slice(0, this)
    low_x, high_x = _overlap(
        boxes.east[this] - boxes.east[before],
        boxes.aside[this] - boxes.aside[before],
        boxes.half_width[this] + boxes.half_width[before],
    )
    low_y, high_y = _overlap(
        boxes.south[this] - boxes.south[before],
        boxes.below[this] - boxes.below[before],
        boxes.half_height[this] + boxes.half_height[before],
    )
    low, high = np.maximum(low_x, low_y), np.minimum(high_x, high_y)
    met = (low < high) & (high > shown_from) & (boxes.owners[before] != boxes.owners[this])
    return float(high[met].max(initial=0.0))


def _overlap(metres: Floats, pixels: Floats, reach: Floats) -> tuple[Floats, Floats]:
    """Return between which scales two things overlap along one axis: |metres * scale + pixels| < reach."""
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = (-reach - pixels) / metres, (reach - pixels) / metres
    low, high = np.minimum(one, other), np.maximum(one, other)
    level = metres == 0.0
    always = np.abs(pixels) < reach
    low = np.where(level, np.where(always, 0.0, np.inf), np.maximum(low, 0.0))
    high = np.where(level, np.where(always, np.inf, 0.0), high)
    return low, high


def rounds_from(east: Floats, south: Floats, apart_px: float, least_scale: float) -> Floats:
    """Return the scale from which on each of many equal round things is shown.

    Args:
        east: middles, metres of the map; the weightiest first.
        south: likewise.
        apart_px: least distance from middle to middle.
        least_scale: below it none is shown.
    """
    # Loaded when the first routes are laid out, on a thread of its own: the window does not wait for it.
    from scipy.spatial import cKDTree

    shown_from = np.full(len(east), least_scale)
    if len(east) < 2:
        return shown_from
    places = np.column_stack([east, south])
    pairs = cKDTree(places).query_pairs(apart_px / least_scale, output_type="ndarray")
    first, second = pairs.min(axis=1), pairs.max(axis=1)
    order = np.argsort(second, kind="stable")
    first, second = first[order], second[order]
    metres = np.hypot(*(places[first] - places[second]).T)
    with np.errstate(divide="ignore"):
        parted = apart_px / metres
    begins = np.searchsorted(second, np.arange(len(east) + 1))
    for this in np.unique(second).tolist():
        near = slice(int(begins[this]), int(begins[this + 1]))
        met = parted[near] > shown_from[first[near]]
        shown_from[this] = parted[near][met].max(initial=least_scale)
    return shown_from


@dataclass(frozen=True, eq=False)
class Thinned:
    """From which scale on each point is a dot, and a numbered disc."""

    dots_from: Floats
    discs_from: Floats


def thin_points(sheet: RouteSheet) -> Thinned:
    """Return from which scale on the points of a sheet are shown."""
    order = _spread(len(sheet.east))
    dots, discs = np.empty(len(order)), np.empty(len(order))
    dots[order] = rounds_from(sheet.east[order], sheet.south[order], DOT_APART_PX, DOT_SCALE)
    discs[order] = rounds_from(sheet.east[order], sheet.south[order], DISC_APART_PX, DISC_SCALE)
    return Thinned(dots, discs)


def _spread(count: int) -> Ints:
    """Return an order of weight that does not favour the first routes: the same each time."""
    return np.random.default_rng(1).permutation(count)
