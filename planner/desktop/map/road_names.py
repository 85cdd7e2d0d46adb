"""Names of roads, written along them where there is room."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF, QPainter

from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Floats, Ints
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.sprites import Sprites, set_down, turned_size

BLOCK_M = 1500.0
"""A name stands at most once in a block of this side."""
LEAST_SCALE = 1 / 30
"""Pixels per metre below which no road is named."""
LEAST_ROAD_PX = 40.0
MOST_NAMES = 250
REPEATED_PX = 320.0
"""The same name does not stand twice within this distance."""
SIZE = 0.82
"""Of the letters, against the window's font."""


@dataclass(frozen=True, eq=False)
class RoadNames:
    """Where each road could be named, the weightiest first: one place a name and block."""

    texts: tuple[str, ...]
    east: Floats
    south: Floats
    """Middle of the road there, metres of the map."""
    angles: Floats
    """Of the road there, radians from east clockwise, so that the name is never upside down."""
    spans_m: Floats
    """How long the road is from end to end, as the crow flies, metres of the map."""

    @classmethod
    def of(cls, sheet: RoadSheet) -> RoadNames:
        """Find the places; takes a moment for half a million roads, so not on the interface thread."""
        whole, source = sheet.details[0], sheet.source
        has_name = np.array([bool(name) for name in source.names], dtype=bool)
        lines = np.flatnonzero(has_name[source.name_numbers])
        first, last = whole.starts[lines], whole.starts[lines + 1] - 1
        spans = np.hypot(whole.east[last] - whole.east[first], whole.south[last] - whole.south[first])
        before, share = _middles(whole.east, whole.south, first, last)
        dx, dy = np.diff(whole.east)[before], np.diff(whole.south)[before]
        east, south = whole.east[before] + share * dx, whole.south[before] + share * dy
        blocks = np.floor(np.stack([east, south]) / BLOCK_M)
        kept = _first_of_each(source.name_numbers[lines], blocks, spans)
        kept = kept[np.lexsort([-spans[kept], source.ranks[lines][kept]])]
        angles = np.arctan(np.divide(dy, dx, out=np.full(len(dx), np.inf), where=dx != 0.0))
        texts = tuple(source.names[number] for number in source.name_numbers[lines][kept].tolist())
        return cls(texts, east[kept], south[kept], angles[kept], spans[kept])


def _middles(east: Floats, south: Floats, first: Ints, last: Ints) -> tuple[Ints, Floats]:
    """Return the corner before the middle of each line, and how far on to the next corner the middle lies."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east), np.diff(south)))])
    middle = (along[first] + along[last]) / 2
    before = np.clip(np.searchsorted(along, middle, side="right") - 1, first, last - 1)
    steps = along[before + 1] - along[before]
    share = np.divide(middle - along[before], steps, out=np.zeros(len(steps)), where=steps > 0.0)
    return before, share


def _first_of_each(names: Ints, blocks: Floats, spans: Floats) -> Ints:
    """Return the longest line of each name and block."""
    order = np.lexsort([-spans, blocks[0], blocks[1], names])
    keys = np.stack([names[order].astype(np.float64), blocks[0][order], blocks[1][order]])
    new = np.ones(len(order), dtype=bool)
    new[1:] = (keys[:, 1:] != keys[:, :-1]).any(axis=0)
    return order[new]


Taken = Callable[[Sight], Floats]
"""Gives the boxes of all that stands on the map at a sight: left, top, right, bottom in pixels, one a row."""


class RoadNameLayer:
    """The names that lie on nothing else.

    Room is looked for once the map rests, and in some more ground than is seen: names do not come and go while the map
    is pushed about.
    """

    def __init__(self, names: RoadNames) -> None:
        self.names = names
        self._taken: Taken = _nothing
        self._shown: tuple[int, ...] = ()
        self._for: tuple[int, str] | None = None
        """Step and selected route that the names were found for; None: look anew."""
        self._ground = QRectF()

    def renew(self, taken: Taken) -> None:
        """Take note that something else stands on the map now."""
        self._taken, self._for = taken, None

    def shown(self, sight: Sight, font: QFont) -> tuple[int, ...]:
        """Return which names have room; while the map moves, those that had it before."""
        now = (sight.camera.step, sight.route)
        if sight.at_rest and not (self._for == now and self._ground.contains(sight.camera.seen)):
            camera = sight.camera.resized(sight.camera.width * 1.6, sight.camera.height * 1.6)
            self._shown = self._with_room(replace(sight, camera=camera, kept_free=()), font)
            self._for, self._ground = now, camera.seen
        return self._shown

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Write each name along its road, the road broken beneath it."""
        if sight.camera.scale < LEAST_SCALE:
            return
        font = small(sprites.font)
        metrics = QFontMetricsF(font)
        for name in self.shown(sight, font):
            left, top, right, bottom = self.box(name, sight.camera, metrics)
            upright = QRectF(left, top, right - left, bottom - top)
            if upright.intersects(sight.frame) and not any(upright.intersects(free) for free in sight.kept_free):
                picture = sprites.turned_name(self.names.texts[name], font, float(self.names.angles[name]))
                set_down(painter, picture, upright.center())

    def box(self, name: int, camera: Camera, metrics: QFontMetricsF) -> tuple[float, float, float, float]:
        """Return the upright box round a name: left, top, right, bottom, pixels."""
        spot = camera.spot(float(self.names.east[name]), float(self.names.south[name]))
        wide, high = turned_size(metrics, self.names.texts[name], float(self.names.angles[name]))
        return spot.x() - wide / 2, spot.y() - high / 2, spot.x() + wide / 2, spot.y() + high / 2

    def _with_room(self, sight: Sight, font: QFont) -> tuple[int, ...]:
        camera, metrics = sight.camera, QFontMetricsF(font)
        if camera.scale < LEAST_SCALE:
            return ()
        taken = self._taken(sight)
        found: list[int] = []
        for name in self._candidates(camera).tolist():
            if metrics.horizontalAdvance(self.names.texts[name]) > self.names.spans_m[name] * camera.scale:
                continue
            left, top, right, bottom = box = self.box(name, camera, metrics)
            meets = (taken[:, 0] < right) & (taken[:, 2] > left) & (taken[:, 1] < bottom) & (taken[:, 3] > top)
            if not meets.any() and not self._is_repeated(name, found, camera):
                found.append(name)
                taken = np.vstack([taken, box])
        return tuple(found)

    def _is_repeated(self, name: int, found: list[int], camera: Camera) -> bool:
        """Whether the same name already stands near enough to be read for this road too."""
        text, east, south = self.names.texts[name], self.names.east[name], self.names.south[name]
        same = [other for other in found if self.names.texts[other] == text]
        away = [math.hypot(self.names.east[other] - east, self.names.south[other] - south) for other in same]
        return min(away, default=math.inf) * camera.scale < REPEATED_PX

    def _candidates(self, camera: Camera) -> Ints:
        seen = camera.seen
        inside = (self.names.east >= seen.left()) & (self.names.east <= seen.right())
        inside &= (self.names.south >= seen.top()) & (self.names.south <= seen.bottom())
        return np.flatnonzero(inside & (self.names.spans_m * camera.scale >= LEAST_ROAD_PX))[:MOST_NAMES]


def _nothing(_sight: Sight) -> Floats:
    return np.empty((0, 4))


def small(font: QFont) -> QFont:
    """Return the font of the roads' names."""
    made = QFont(font)
    made.setPointSizeF(font.pointSizeF() * SIZE)
    return made
