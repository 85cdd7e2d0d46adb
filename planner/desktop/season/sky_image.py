"""A panel of the season's sky as a picture: one column a date, one row for each step of the clock."""

from __future__ import annotations

import numpy as np
from PySide6.QtGui import QImage

from planner.desktop.look.sky import sky_colour
from planner.usecases.season.sky import SeasonSky, SkyPanel

_LOW_DEG, _HIGH_DEG, _STEPS_A_DEGREE = -20.0, 45.0, 8
"""Beyond these altitudes the sky keeps its colour; an eighth of a degree is finer than the eye tells apart."""


def sky_images(sky: SeasonSky) -> tuple[QImage, ...]:
    """Return a picture of each panel; may be made on any thread."""
    altitudes = np.arange(_LOW_DEG, _HIGH_DEG, 1 / _STEPS_A_DEGREE)
    colours = np.array([sky_colour(float(altitude)).rgb() for altitude in altitudes], dtype=np.uint32)
    return tuple(_image(panel, colours) for panel in sky.panels)


def _image(panel: SkyPanel, colours: np.ndarray) -> QImage:
    places = np.rint((panel.altitudes_deg - _LOW_DEG) * _STEPS_A_DEGREE).astype(np.int64)
    pixels = np.ascontiguousarray(colours[np.clip(places, 0, len(colours) - 1)])
    height, width = pixels.shape
    return QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_RGB32).copy()
