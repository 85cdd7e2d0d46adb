"""Pictures of the roads, square by square: painted once for each size, in the pauses, and set down in every frame."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from planner.desktop.look.colours import Colours
from planner.desktop.map.camera import Camera, scale_of
from planner.desktop.map.drawing import corners_of, draw_lines, mixed
from planner.desktop.map.ground import Ints
from planner.desktop.map.road_sheet import Detail, RoadSheet
from planner.usecases.roads.map_lines import RoadRank

TILE_PX = 256
"""Side of a picture, pixels of the window."""
MOST_BYTES = 160_000_000
MARGIN_PX = 6.0
"""Lines so far outside a picture may still reach into it."""

Key = tuple[int, int, int]
"""Step of the camera, column, row."""


@dataclass(frozen=True, slots=True)
class RoadLook:
    """How a rank of roads is drawn: its width in pixels when near, its share of ink, and a core or dashes."""

    width: float
    ink: float
    core: bool = False
    dashes: tuple[float, ...] = ()


LOOKS = {
    RoadRank.MAJOR: RoadLook(5.0, 0.55, core=True),
    RoadRank.MIDDLE: RoadLook(4.0, 0.48, core=True),
    RoadRank.LESSER: RoadLook(2.6, 0.42),
    RoadRank.MINOR: RoadLook(1.6, 0.42),
    RoadRank.SMALL: RoadLook(1.0, 0.34),
    RoadRank.TRACK: RoadLook(1.0, 0.42, dashes=(4.0, 3.0)),
}
FULL_SCALE, THIN_SCALE = 1 / 12, 1 / 60
"""Pixels per metre from which on roads have their full width, and below which all are thin."""


def road_width(look: RoadLook, scale: float) -> float:
    """Return the width of a road in pixels: thin far off, its own when near."""
    nearness = (math.log(scale) - math.log(THIN_SCALE)) / (math.log(FULL_SCALE) - math.log(THIN_SCALE))
    return 1.0 + (look.width - 1.0) * min(max(nearness, 0.0), 1.0)


class RoadTiles:
    """The pictures of one road map in one palette."""

    def __init__(self, sheet: RoadSheet, colours: Colours, ratio: float) -> None:
        self.sheet = sheet
        self.colours = colours
        self.ratio = ratio
        self._kept: OrderedDict[Key, QImage] = OrderedDict()
        self._stand_in: int | None = None
        """Step whose pictures fill in for those that are not there yet."""

    @property
    def kept(self) -> int:
        """How many pictures there are."""
        return len(self._kept)

    def paint(self, painter: QPainter, camera: Camera) -> None:
        """Set down what there is; pictures of another size, stretched, where the right ones are not there yet."""
        missing = self.missing(camera) is not None
        # In pixels of the screen: pictures are copied then, not scaled.
        painter.save()
        painter.scale(1.0 / self.ratio, 1.0 / self.ratio)
        if missing and self._stand_in is not None:
            for key in self._seen_keys(camera, self._stand_in):
                self._set_down(painter, camera, key)
        for key in self._seen_keys(camera, camera.step):
            self._set_down(painter, camera, key)
        painter.restore()
        if not missing:
            self._stand_in = camera.step

    def wanted(self, camera: Camera) -> list[Key]:
        """Return the pictures that the window needs, the middle ones first."""
        keys = list(_keys(camera, camera.step))
        middle_x, middle_y = (value * camera.scale / TILE_PX - 0.5 for value in (camera.east, camera.south))
        return sorted(keys, key=lambda key: (key[1] - middle_x) ** 2 + (key[2] - middle_y) ** 2)

    def missing(self, camera: Camera) -> Key | None:
        """Return the next picture to paint; None where all are there."""
        return next((key for key in self.wanted(camera) if key not in self._kept), None)

    def make(self, key: Key) -> QRectF:
        """Paint one picture; return the ground it covers, metres of the map."""
        side = round(TILE_PX * self.ratio)
        image = QImage(side, side, QImage.Format.Format_RGB32)
        image.fill(QColor(self.colours.ground))
        painter = QPainter(image)
        painter.scale(self.ratio, self.ratio)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale, ground = scale_of(key[0]), _ground_of(key)
        around = MARGIN_PX / scale
        box = ground.adjusted(-around, -around, around, around)
        detail, lines = self.sheet.near(scale, (box.left(), box.top(), box.right(), box.bottom()))
        self._paint_roads(painter, (ground.left(), ground.top(), scale), detail, lines)
        painter.end()
        self._keep(key, image)
        return ground

    def _keep(self, key: Key, image: QImage) -> None:
        self._kept[key] = image
        while len(self._kept) * image.sizeInBytes() > MOST_BYTES:
            self._kept.popitem(last=False)

    def _seen_keys(self, camera: Camera, step: int) -> list[Key]:
        if step == camera.step:
            return [key for key in _keys(camera, step) if key in self._kept]
        seen = camera.seen
        return [key for key in self._kept if key[0] == step and _ground_of(key).intersects(seen)]

    def _set_down(self, painter: QPainter, camera: Camera, key: Key) -> None:
        self._kept.move_to_end(key)
        side = TILE_PX / scale_of(key[0])
        corner = camera.spot(key[1] * side, key[2] * side) * self.ratio
        if key[0] == camera.step:
            # To the pixel, or the lines would blur.
            painter.drawImage(round(corner.x()), round(corner.y()), self._kept[key])
        else:
            across = side * camera.scale * self.ratio
            painter.drawImage(QRectF(corner.x(), corner.y(), across, across), self._kept[key])

    def _paint_roads(self, painter: QPainter, corner: tuple[float, float, float], detail: Detail, lines: Ints) -> None:
        left, top, scale = corner
        ranks = detail.ranks[lines]
        for core in (False, True):
            for rank in reversed(RoadRank):
                look = LOOKS[rank]
                chosen = lines[ranks == rank]
                width = road_width(look, scale)
                if not len(chosen) or (core and not (look.core and width > 2.5)):
                    continue
                rows, counts = corners_of(chosen, detail.starts)
                x, y = (detail.east[rows] - left) * scale, (detail.south[rows] - top) * scale
                draw_lines(painter, self._pen(look, width, core=core), x, y, counts, self.ratio)

    def _pen(self, look: RoadLook, width: float, *, core: bool) -> QPen:
        colours = self.colours
        colour = (
            QColor(colours.surface)
            if core
            else mixed(colours.ground, colours.ink, look.ink * (0.8 if colours.dark else 1.0))
        )
        pen = QPen(colour, width - 2.0 if core else width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap if look.dashes else Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if look.dashes and width >= 1.0:
            pen.setDashPattern(list(look.dashes))
        return pen


def _keys(camera: Camera, step: int) -> Iterator[Key]:
    seen, side = camera.seen, TILE_PX / scale_of(step)
    for row in range(math.floor(seen.top() / side), math.floor(seen.bottom() / side) + 1):
        for column in range(math.floor(seen.left() / side), math.floor(seen.right() / side) + 1):
            yield step, column, row


def _ground_of(key: Key) -> QRectF:
    side = TILE_PX / scale_of(key[0])
    return QRectF(key[1] * side, key[2] * side, side, side)
