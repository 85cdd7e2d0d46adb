"""The colour of the sky at a sun altitude: what every hour scale is painted with."""

from __future__ import annotations

from bisect import bisect_right

from PySide6.QtGui import QColor

from planner.desktop.look.colours import relative_luminance

_RAMP: tuple[tuple[float, tuple[int, int, int]], ...] = (
    (-18.0, (10, 13, 38)),
    (-12.0, (24, 30, 76)),
    (-8.0, (48, 50, 110)),
    (-6.0, (78, 66, 130)),
    (-4.0, (133, 88, 138)),
    (-2.0, (196, 110, 112)),
    (-0.833, (232, 142, 92)),
    (2.0, (246, 186, 120)),
    (6.0, (247, 217, 170)),
    (15.0, (205, 226, 240)),
    (40.0, (214, 233, 246)),
)
"""Sun altitude in degrees and the colour then: drawn by us after the order of colours of a clear evening; no source."""

_ALTITUDES = tuple(altitude for altitude, _ in _RAMP)


def sky_colour(altitude_deg: float) -> QColor:
    """Return the colour of the sky at a sun altitude in degrees, the same in both palettes."""
    place = bisect_right(_ALTITUDES, altitude_deg)
    if place == 0:
        return QColor(*_RAMP[0][1])
    if place == len(_RAMP):
        return QColor(*_RAMP[-1][1])
    (low, dark), (high, light) = _RAMP[place - 1], _RAMP[place]
    share = (altitude_deg - low) / (high - low)
    return QColor(*(round(a + (b - a) * share) for a, b in zip(dark, light, strict=True)))


def ink_on(colour: QColor) -> QColor:
    """Return near-black, black or white: what reads well on that colour; black only where near-black does not."""
    luminance = relative_luminance(colour.name())
    if luminance <= 0.18:
        return QColor("#ffffff")
    return QColor("#14122a") if luminance > 0.22 else QColor("#000000")
