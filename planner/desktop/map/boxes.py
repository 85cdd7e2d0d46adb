"""From which size on a disc or a name is shown, so that none lies on another.

Each thing has one size from which on it is shown: it never comes and goes while the map is drawn nearer, nor while it
is pushed about. Things are taken in order of their weight; one that would lie on a weightier thing waits until the two
have come apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.desktop.map.ground import Floats, Ints


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

    def before(self, other: Boxes) -> Boxes:
        """Return these and then those of another."""
        pairs = ((getattr(self, name), getattr(other, name)) for name in self.__dataclass_fields__)
        return Boxes(*(np.concatenate(pair) for pair in pairs))


def boxes_from(boxes: Boxes, least: Floats, always: int = 0) -> Floats:
    """Return the scale (pixels per metre) from which on each thing is shown; inf: never.

    Args:
        boxes: the things.
        least: scale from which on each may be shown at all.
        always: so many of the first are shown from ``least`` on, whatever they lie on.
    """
    shown_from = least.copy()
    for this in range(max(always, 1), len(shown_from)):
        shown_from[this] = max(_apart_from(boxes, this, shown_from[:this]), least[this])
    return shown_from


def _apart_from(boxes: Boxes, this: int, shown_from: Floats) -> float:
    """Return the scale from which on a thing lies on none of those before it that are shown."""
    before = slice(0, this)
    low_x, high_x = overlap(
        boxes.east[this] - boxes.east[before],
        boxes.aside[this] - boxes.aside[before],
        boxes.half_width[this] + boxes.half_width[before],
    )
    low_y, high_y = overlap(
        boxes.south[this] - boxes.south[before],
        boxes.below[this] - boxes.below[before],
        boxes.half_height[this] + boxes.half_height[before],
    )
    low, high = np.maximum(low_x, low_y), np.minimum(high_x, high_y)
    met = (low < high) & (high > shown_from) & (boxes.owners[before] != boxes.owners[this])
    return float(high[met].max(initial=0.0))


def overlap(metres: Floats, pixels: Floats | float, reach: Floats | float) -> tuple[Floats, Floats]:
    """Return between which scales two things overlap along one axis: |metres * scale + pixels| < reach."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
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
    with np.errstate(divide="ignore", over="ignore"):
        parted = apart_px / metres
    begins = np.searchsorted(second, np.arange(len(east) + 1))
    for this in np.unique(second).tolist():
        near = slice(int(begins[this]), int(begins[this + 1]))
        met = parted[near] > shown_from[first[near]]
        shown_from[this] = parted[near][met].max(initial=least_scale)
    return shown_from
