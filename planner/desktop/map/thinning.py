"""The points and names of a season, each with the size from which on it is shown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.desktop.map.boxes import Boxes, boxes_from, overlap, rounds_from
from planner.desktop.map.ground import Floats, Ints
from planner.desktop.map.labels import Labels
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, HOME_PX

DISC_APART_PX = 2 * DISC_PX + 3.0
"""From middle to middle of two numbered discs."""
DOT_APART_PX = 10.0
DISC_SCALE, DOT_SCALE = 1 / 100, 1 / 250
"""Pixels per metre below which there are none at all."""


@dataclass(frozen=True, eq=False)
class Thinned:
    """From which scale (pixels per metre) on each point is a dot and a numbered disc, and each name is shown."""

    dots_from: Floats
    discs_from: Floats
    names_from: Floats


def rough(sheet: RouteSheet) -> Thinned:
    """Return what can be said at once: the points of a route are dots where most of them have room."""
    return Thinned(_room(sheet) * DOT_APART_PX, np.full(len(sheet.east), np.inf), np.empty(0))


def thin(sheet: RouteSheet, marks: Boxes, labels: Labels) -> Thinned:
    """Return from which scale on the points and names of a sheet are shown.

    The points of a route turn into dots, and into discs, together, where most have room; those closer together follow.
    Names lie on no mark of a finding. Codes keep discs of other routes away; titles and homes' names wait for them.

    Args:
        sheet: the routes.
        marks: what marks of findings cover.
        labels: the names, the weightiest first.
    """
    names, first = labels.boxes, len(marks.east)
    names_from = boxes_from(marks.before(names), _least_scales(sheet, labels, first), always=first)[first:]
    dots_from = _points_from(sheet, DOT_APART_PX, DOT_SCALE)
    discs_from = _points_from(sheet, DISC_APART_PX, DISC_SCALE)
    for name in np.flatnonzero(labels.titles >= 0).tolist():
        met, parted = _foreign_points(sheet, names, name, DISC_PX)
        met &= parted > names_from[name]
        discs_from[met] = np.maximum(discs_from[met], parted[met])
    return Thinned(dots_from, discs_from, names_from)


def _points_from(sheet: RouteSheet, apart_px: float, least_scale: float) -> Floats:
    """Return from which scale on the points have room, each for itself and most of its route."""
    # An order of weight that does not favour the first routes, the same each time.
    order = np.random.default_rng(1).permutation(len(sheet.east))
    shown_from = np.empty(len(order))
    shown_from[order] = rounds_from(sheet.east[order], sheet.south[order], apart_px, least_scale)
    return np.maximum(shown_from, _room(sheet) * apart_px)


def _room(sheet: RouteSheet) -> Floats:
    """Return for each point one by the usual step of its route, or of most routes where that is less, per metre."""
    spacings = sheet.spacings()
    usual = float(np.median(spacings)) if len(spacings) else np.inf
    with np.errstate(divide="ignore"):
        return 1.0 / np.minimum(spacings, usual)[sheet.owners]


def _least_scales(sheet: RouteSheet, labels: Labels, marks: int) -> Floats:
    """Return from which scale on things may be shown at all, marks first.

    Titles and homes' names wait until they lie on no point of another route, homes' also until no other home is so
    near that it might be meant.
    """
    boxes = labels.boxes
    least = np.zeros(marks + len(labels.texts))
    homes = np.flatnonzero(boxes.owners < 0)
    for name in (*labels.titles[labels.titles >= 0].tolist(), *homes.tolist()):
        met, parted = _foreign_points(sheet, boxes, name, DISC_PX)
        least[marks + name] = parted[met].max(initial=0.0)
    for home in homes.tolist():
        away = np.hypot(boxes.east[homes] - boxes.east[home], boxes.south[homes] - boxes.south[home])
        nearest = away[homes != home].min(initial=np.inf)
        least[marks + home] = max(least[marks + home], 3 * HOME_PX / nearest if nearest > 0.0 else np.inf)
    return least


def _foreign_points(sheet: RouteSheet, names: Boxes, name: int, radius_px: float) -> tuple[Ints, Floats]:
    """Return which points of other routes ever lie under a name, and the scale at which they come out."""
    low_x, high_x = overlap(sheet.east - names.east[name], -names.aside[name], names.half_width[name] + radius_px)
    low_y, high_y = overlap(sheet.south - names.south[name], -names.below[name], names.half_height[name] + radius_px)
    low, high = np.maximum(low_x, low_y), np.minimum(high_x, high_y)
    return (low < high) & (sheet.owners != names.owners[name]), high
