"""Which part of the ground is seen, and how large."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from planner.desktop.map.ground import Floats

STEPS_AN_OCTAVE = 8
"""Sizes come in steps, so that a picture of the roads once painted fits to the pixel again."""
LEAST_STEP, MOST_STEP = -12 * STEPS_AN_OCTAVE, 2 * STEPS_AN_OCTAVE
"""From four kilometres a pixel to a quarter of a metre."""


def scale_of(step: int) -> float:
    """Return pixels per metre at a step."""
    return float(2.0 ** (step / STEPS_AN_OCTAVE))


@dataclass(frozen=True, slots=True)
class Camera:
    """The middle of what is seen (metres of the map), the size, and the window it is seen through (pixels)."""

    east: float = 0.0
    south: float = 0.0
    step: int = -5 * STEPS_AN_OCTAVE
    width: float = 640.0
    height: float = 480.0

    @property
    def scale(self) -> float:
        """Pixels per metre of the map."""
        return scale_of(self.step)

    @property
    def seen(self) -> QRectF:
        """The part of the ground that is seen, metres of the map."""
        wide, high = self.width / self.scale, self.height / self.scale
        return QRectF(self.east - wide / 2, self.south - high / 2, wide, high)

    def spots(self, east: Floats, south: Floats) -> tuple[Floats, Floats]:
        """Return where metres of the map lie in the window, pixels."""
        scale = self.scale
        return (east - self.east) * scale + self.width / 2, (south - self.south) * scale + self.height / 2

    def spot(self, east: float, south: float) -> QPointF:
        """Return where one place of the map lies in the window."""
        scale = self.scale
        return QPointF((east - self.east) * scale + self.width / 2, (south - self.south) * scale + self.height / 2)

    def metres(self, spot: QPointF) -> tuple[float, float]:
        """Return the metres of the map under a spot of the window."""
        scale = self.scale
        return self.east + (spot.x() - self.width / 2) / scale, self.south + (spot.y() - self.height / 2) / scale

    def moved(self, dx: float, dy: float) -> Camera:
        """Return the camera after the ground was pushed by so many pixels."""
        return replace(self, east=self.east - dx / self.scale, south=self.south - dy / self.scale)

    def zoomed(self, steps: int, about: QPointF) -> Camera:
        """Return the camera so many steps nearer; what lies under ``about`` stays there."""
        step = min(max(self.step + steps, LEAST_STEP), MOST_STEP)
        east, south = self.metres(about)
        scale = scale_of(step)
        return replace(
            self,
            east=east - (about.x() - self.width / 2) / scale,
            south=south - (about.y() - self.height / 2) / scale,
            step=step,
        )

    def resized(self, width: float, height: float) -> Camera:
        """Return the camera with another window; the middle stays."""
        return replace(self, width=max(width, 1.0), height=max(height, 1.0))

    def centred(self, east: float, south: float) -> Camera:
        """Return the camera with its middle there."""
        return replace(self, east=east, south=south)

    def fitted(self, ground: QRectF, inset: float, most_step: int = MOST_STEP) -> Camera:
        """Return the camera that shows a part of the ground as large as goes.

        Args:
            ground: what must be seen, metres of the map; may be a single place.
            inset: pixels kept free on every side.
            most_step: no nearer than this.
        """
        wide = max(self.width - 2 * inset, 10.0) / max(ground.width(), 1e-6)
        high = max(self.height - 2 * inset, 10.0) / max(ground.height(), 1e-6)
        step = math.floor(STEPS_AN_OCTAVE * math.log2(min(wide, high)) + 1e-9)
        middle = ground.center()
        return replace(self, east=middle.x(), south=middle.y(), step=min(max(step, LEAST_STEP), most_step))


def bounds(east: Floats, south: Floats) -> QRectF:
    """Return the part of the ground that some places span; there must be at least one."""
    left, top = float(np.min(east)), float(np.min(south))
    return QRectF(left, top, float(np.max(east)) - left, float(np.max(south)) - top)
