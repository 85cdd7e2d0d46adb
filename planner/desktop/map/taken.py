"""What stands on the map already, for names that come last."""

from __future__ import annotations

import numpy as np

from planner.desktop.map.boxes import Boxes
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Floats
from planner.desktop.map.labels import LabelLayer
from planner.desktop.map.layers import HomeLayer, Lines, MarkLayer
from planner.desktop.map.road_names import Taken
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, HOME_PX

BEAD_PX = 14.0
"""A line counts as so many boxes of this size, one behind the other."""


def taken_by(sheet: RouteSheet, lines: Lines, homes: HomeLayer, marks: MarkLayer, labels: LabelLayer | None) -> Taken:
    """Return what gives the boxes of points, lines, homes, marks and names of routes at a sight."""
    marked = marks.boxes()

    def taken(sight: Sight) -> Floats:
        named = labels.shown(sight).values() if labels is not None else ()
        names = np.array([box.getCoords() for box in named], dtype=np.float64).reshape(-1, 4)
        points = _squares(sight, sheet.east, sheet.south, DISC_PX)
        houses = _squares(sight, homes.east, homes.south, HOME_PX)
        return np.vstack([names, _upright(sight, marked), points, houses, _beads(sight, lines)])

    return taken


def _squares(sight: Sight, east: Floats, south: Floats, half: float) -> Floats:
    x, y = sight.camera.spots(east, south)
    inside = (x > -half) & (x < sight.camera.width + half) & (y > -half) & (y < sight.camera.height + half)
    x, y = x[inside], y[inside]
    return np.column_stack([x - half, y - half, x + half, y + half])


def _upright(sight: Sight, boxes: Boxes) -> Floats:
    x, y = sight.camera.spots(boxes.east, boxes.south)
    x, y = x + boxes.aside, y + boxes.below
    wide, high = boxes.half_width, boxes.half_height
    return np.column_stack([x - wide, y - high, x + wide, y + high])


def _beads(sight: Sight, lines: Lines) -> Floats:
    """Return boxes strung along lines."""
    x, y = sight.camera.spots(lines.east, lines.south)
    owners = np.repeat(np.arange(len(lines.counts)), lines.counts)
    reach = BEAD_PX / 2
    low_x, high_x = np.minimum(x[1:], x[:-1]), np.maximum(x[1:], x[:-1])
    low_y, high_y = np.minimum(y[1:], y[:-1]), np.maximum(y[1:], y[:-1])
    near = (high_x > -reach) & (low_x < sight.camera.width + reach)
    near &= (high_y > -reach) & (low_y < sight.camera.height + reach) & (owners[1:] == owners[:-1])
    pieces = np.flatnonzero(near)
    dx, dy = x[pieces + 1] - x[pieces], y[pieces + 1] - y[pieces]
    beads = np.ceil(np.hypot(dx, dy) / BEAD_PX).astype(np.int64)
    ends = np.cumsum(beads)
    turn = np.arange(int(ends[-1]) if len(ends) else 0) - np.repeat(ends - beads, beads)
    share = (turn + 0.5) / np.repeat(beads, beads)
    bead_x = np.repeat(x[pieces], beads) + share * np.repeat(dx, beads)
    bead_y = np.repeat(y[pieces], beads) + share * np.repeat(dy, beads)
    return np.column_stack([bead_x - reach, bead_y - reach, bead_x + reach, bead_y + reach])
