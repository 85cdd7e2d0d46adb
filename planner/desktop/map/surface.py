"""The glass the map lies under: what is seen, how it moves, and the painting of every frame.

A plain widget, no QGraphicsView: a scene of eleven thousand items costs more in Python for each frame than a frame
may take, and pictures of the roads made in the pauses would have to be hung into its background all the same
(``python -m tests.bench map`` measures both).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Protocol

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight
from planner.desktop.map.furniture import Furniture
from planner.desktop.map.ground import Ground
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.road_tiles import RoadTiles
from planner.desktop.map.sprites import Sprites
from planner.desktop.units import Units
from planner.domain.geo import Place

INSET_PX = 36.0
REST_MS = 120
PAUSE_MS = 4.0
"""How long pictures of roads are painted before the next frame or click has its turn."""
NOWHERE = Ground(Place(0.0, 0.0))


class Layer(Protocol):
    """Something painted over the roads."""

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites, /) -> None:
        """Paint what is in sight."""


class MapSurface(QWidget):
    """Paints the layers in order, and keeps what is seen."""

    colours_changed = Signal(object)

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(200, 160)
        self.colours = colours
        self.units = Units.METRIC
        self.ground = NOWHERE
        self.camera = Camera()
        self.layers: Sequence[Layer] = ()
        self.selected: tuple[str, int | None] = ("", None)
        self.sprites = Sprites(colours, self.font(), self.devicePixelRatioF())
        self._tiles: RoadTiles | None = None
        self._attribution = ""
        self._fitting: Callable[[], QRectF | None] | None = None
        self._pause = QTimer(self, interval=0, singleShot=True)
        self._pause.timeout.connect(self._paint_roads)
        self._moving = QTimer(self, interval=REST_MS, singleShot=True)
        self._moving.timeout.connect(self.update)

    @property
    def sight(self) -> Sight:
        """The next frame."""
        ratio = self.devicePixelRatioF()
        return Sight(self.camera, self.colours, self.units, *self.selected, ratio, at_rest=self.is_at_rest)

    @property
    def roads(self) -> RoadSheet | None:
        """The roads that are shown."""
        return None if self._tiles is None else self._tiles.sheet

    @property
    def is_at_rest(self) -> bool:
        """Whether the map has not moved nor changed for a moment."""
        return not self._moving.isActive()

    @property
    def roads_are_painted(self) -> bool:
        """Whether the roads of the window are all there at their own size."""
        return self._tiles is None or self._tiles.missing(self.camera) is None

    def show_road_sheet(self, sheet: RoadSheet | None) -> None:
        """Show roads, or none."""
        ratio = self.devicePixelRatioF()
        self._tiles = None if sheet is None else RoadTiles(sheet, self.colours, ratio)
        self._attribution = "" if sheet is None else sheet.source.attribution
        self.update()

    def disturb(self) -> None:
        """Paint a frame; what takes longer follows once there was nothing new for a moment."""
        self._moving.start()
        self.update()

    def repaint_all(self) -> None:
        """Make everything anew that depends on colours, font or density of the screen."""
        self.sprites = Sprites(self.colours, self.font(), self.devicePixelRatioF())
        self.show_road_sheet(self.roads)

    def look_at(self, camera: Camera) -> None:
        """See another part of the ground; a fit asked for earlier no longer holds."""
        self._fitting = None
        self._see(camera)

    def fit(self, extent: Callable[[], QRectF | None]) -> None:
        """See a part of the ground as large as goes, also after the window's size changes, until somebody moves it."""
        self._fitting = extent
        self._refit()

    def zoom(self, steps: int, about: QPointF | None = None) -> None:
        """See the ground so many steps nearer, about a spot of the window or its middle."""
        middle = QPointF(self.camera.width / 2, self.camera.height / 2)
        self.look_at(self.camera.zoomed(steps, about or middle))

    def push(self, dx: float, dy: float) -> None:
        """Push the ground by so many pixels."""
        self.look_at(self.camera.moved(dx, dy))

    def bring_into_sight(self, east: float, south: float) -> None:
        """See a place of the map; nothing moves where it is well in sight."""
        if not self.sight.frame.adjusted(30, 30, -30, -30).contains(self.camera.spot(east, south)):
            self.look_at(self.camera.centred(east, south))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle, or what was fitted."""
        super().resizeEvent(event)
        self._see(self.camera.resized(self.width(), self.height()))
        self._refit()

    def changeEvent(self, event: QEvent) -> None:
        """Take over another font."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.repaint_all()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint one frame."""
        if self.sprites.ratio != self.devicePixelRatioF():
            self.repaint_all()
        # A painter that an error left active would take the whole program down.
        with QPainter(self) as painter:
            self._paint(painter)
        if not self.roads_are_painted:
            self._pause.start()

    def _paint(self, painter: QPainter) -> None:
        furniture = Furniture(self.ground, self._attribution, self.font())
        sight = self.sight
        sight = replace(sight, kept_free=(*furniture.boxes(sight), *self._covered()))
        if self._tiles is None or not self.roads_are_painted:
            painter.fillRect(self.rect(), QColor(self.colours.ground))
        if self._tiles is not None:
            self._tiles.paint(painter, self.camera)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for layer in self.layers:
            layer.paint(painter, sight, self.sprites)
        furniture.paint(painter, sight, self.sprites)
        if self.hasFocus():
            painter.setPen(QPen(QColor(self.colours.focus), 2.0))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def _covered(self) -> list[QRectF]:
        """Return where buttons lie on the map."""
        widgets = [child for child in self.children() if isinstance(child, QWidget)]
        return [QRectF(widget.geometry()) for widget in widgets if widget.isVisible()]

    def _paint_roads(self) -> None:
        """Paint pictures of roads for as long as nothing else waits noticeably."""
        begun = _clock_ms()
        while self._tiles is not None and _clock_ms() - begun < PAUSE_MS:
            key = self._tiles.missing(self.camera)
            if key is None:
                break
            self._tiles.make(key)
        self.update()

    def _refit(self) -> None:
        extent = self._fitting() if self._fitting is not None else None
        if extent is not None:
            self._see(self.camera.fitted(extent, min(INSET_PX, self.width() / 8, self.height() / 8)))

    def _see(self, camera: Camera) -> None:
        """See a part of the ground, set to whole pixels of the screen so that nothing blurs or trembles."""
        unit = 1.0 / (camera.scale * self.devicePixelRatioF())
        wide, high = camera.width / 2 / camera.scale, camera.height / 2 / camera.scale
        east = round((camera.east - wide) / unit) * unit + wide
        south = round((camera.south - high) / unit) * unit + high
        self.camera = replace(camera, east=east, south=south)
        self.disturb()


def _clock_ms() -> float:
    return time.perf_counter() * 1000.0
