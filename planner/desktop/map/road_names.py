"""Names of roads, written along them where there is room."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight, clear
from planner.desktop.map.ground import Floats, Ints
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.sprites import Sprites

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
PAD_PX = 3.0


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


@dataclass(frozen=True, slots=True)
class _Laid:
    """The names found to have room, and for which part of the ground that was found out."""

    step: int
    route: str
    ground: QRectF
    names: tuple[int, ...]

    def holds(self, sight: Sight) -> bool:
        """Whether it is still true at a sight."""
        same = (self.step, self.route) == (sight.camera.step, sight.route)
        return same and self.ground.contains(sight.camera.seen)


Taken = Callable[[Sight], Floats]
"""Gives the boxes of all that stands on the map at a sight: left, top, right, bottom in pixels, one a row."""


class RoadNameLayer:
    """The names that lie on nothing else.

    Room is looked for in some more ground than is seen, and not again until that is left: a name does not come and go
    while the map is pushed about.
    """

    def __init__(self, names: RoadNames, taken: Taken) -> None:
        self.names = names
        self._taken = taken
        self._laid: _Laid | None = None

    def shown(self, sight: Sight, font: QFont) -> tuple[int, ...]:
        """Return which names have room."""
        laid, camera = self._laid, sight.camera
        if laid is not None and laid.holds(sight):
            return laid.names
        around = replace(sight, camera=camera.resized(camera.width * 1.6, camera.height * 1.6), kept_free=())
        self._laid = _Laid(camera.step, sight.route, around.camera.seen, self._with_room(around, font))
        return self._laid.names

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Write each name along its road, the road broken beneath it."""
        if sight.camera.scale < LEAST_SCALE:
            return
        font = small(sprites.font)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        painter.setPen(QColor(sight.colours.quiet))
        for name in self.shown(sight, font):
            left, top, right, bottom = self.box(name, sight.camera, metrics)
            upright = QRectF(left, top, right - left, bottom - top)
            if upright.intersects(sight.frame) and not any(upright.intersects(free) for free in sight.kept_free):
                self._write(painter, sight, name, metrics)

    def _write(self, painter: QPainter, sight: Sight, name: int, metrics: QFontMetricsF) -> None:
        text = self.names.texts[name]
        wide, high = metrics.horizontalAdvance(text) + 2 * PAD_PX, metrics.height()
        box = QRectF(-wide / 2, -high / 2, wide, high)
        painter.save()
        painter.translate(sight.camera.spot(float(self.names.east[name]), float(self.names.south[name])))
        painter.rotate(math.degrees(float(self.names.angles[name])))
        painter.fillRect(box, clear(sight.colours.ground, 0.85))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        painter.restore()

    def box(self, name: int, camera: Camera, metrics: QFontMetricsF) -> tuple[float, float, float, float]:
        """Return the upright box round a name: left, top, right, bottom, pixels."""
        spot: QPointF = camera.spot(float(self.names.east[name]), float(self.names.south[name]))
        wide, high = metrics.horizontalAdvance(self.names.texts[name]) / 2 + PAD_PX, metrics.height() / 2
        cosine, sine = abs(math.cos(self.names.angles[name])), abs(math.sin(self.names.angles[name]))
        across, down = wide * cosine + high * sine, wide * sine + high * cosine
        return spot.x() - across, spot.y() - down, spot.x() + across, spot.y() + down

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
        x, y = camera.spots(self.names.east, self.names.south)
        inside = (x >= 0.0) & (x <= camera.width) & (y >= 0.0) & (y <= camera.height)
        return np.flatnonzero(inside & (self.names.spans_m * camera.scale >= LEAST_ROAD_PX))[:MOST_NAMES]


def small(font: QFont) -> QFont:
    """Return the font of the roads' names."""
    made = QFont(font)
    made.setPointSizeF(font.pointSizeF() * SIZE)
    return made
