"""When the sun's altitude passes a given angle between a solar noon and the midnight beside it.

The declination and the equation of time change so evenly that over half a day a parabola through three
instants follows them to 0.000001 degrees (their third derivatives are about 0.0001 degrees and 0.0004
minutes per day cubed). The altitude is then plain spherical trigonometry, and Newton's method finds every
crossing of a season at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.light.sun import DAY_S, Floats, declination_and_equation

HALF_DAY_S = DAY_S / 2
NEWTON_STEPS = 4
RESIDUAL = 1e-9
"""Largest error left in the sine of the altitude: 0.00000006 degrees."""
BISECTIONS = 45
"""Halvings that bring half a day under a nanosecond."""

MINUTES_TO_RADIANS = np.pi / 720.0
"""Hour angle turned in a minute of solar time."""


@dataclass(frozen=True, slots=True, eq=False)
class HalfDay:
    """The sun's way from noon to the midnight after it (``side`` +1) or, backwards, before it (``side`` -1).

    Every array has the shape (places, dates); ``u`` runs from 0 at noon to 1 at midnight. Declination and
    equation of time are given by the coefficients of 1, u and u squared.
    """

    noon_s: Floats
    side: int
    sin_latitude: Floats
    cos_latitude: Floats
    declination: tuple[Floats, Floats, Floats]
    equation: tuple[Floats, Floats, Floats]

    @classmethod
    def about(cls, noons_s: Floats, latitudes: Floats, side: int) -> HalfDay:
        """Follow the sun from the noons (Unix seconds) at latitudes (degrees, broadcast) to one side."""
        nodes = [declination_and_equation(noons_s + side * u * HALF_DAY_S) for u in (0.0, 0.5, 1.0)]
        latitude = np.radians(latitudes)
        return cls(
            noons_s,
            side,
            np.sin(latitude),
            np.cos(latitude),
            _parabola(*(node[0] for node in nodes)),
            _parabola(*(node[1] for node in nodes)),
        )

    def sine_and_slope(self, u: Floats) -> tuple[Floats, Floats]:
        """Return the sine of the sun's altitude and its derivative by ``u``."""
        d0, d1, d2 = self.declination
        _, e1, e2 = self.equation
        declination = d0 + u * (d1 + u * d2)
        hour_angle = np.pi * u + self.side * MINUTES_TO_RADIANS * (u * (e1 + u * e2))
        hour_slope = np.pi + self.side * MINUTES_TO_RADIANS * (e1 + 2.0 * u * e2)
        sin_d, cos_d = np.sin(declination), np.cos(declination)
        cos_h = np.cos(hour_angle)
        sine = self.sin_latitude * sin_d + self.cos_latitude * cos_d * cos_h
        slope = (self.sin_latitude * cos_d - self.cos_latitude * sin_d * cos_h) * (d1 + 2.0 * u * d2)
        slope -= self.cos_latitude * cos_d * np.sin(hour_angle) * hour_slope
        return sine, slope

    def end_altitudes(self) -> tuple[Floats, Floats]:
        """Return the sun's altitude in degrees at noon and at midnight."""
        zero = np.zeros_like(self.noon_s)
        return _altitude_deg(self.sine_and_slope(zero)[0]), _altitude_deg(self.sine_and_slope(zero + 1.0)[0])

    def crossing(self, angle_deg: float, happens: NDArray[np.bool_]) -> Floats:
        """Return when the altitude passes an angle, Unix seconds; NaN where ``happens`` is false.

        Args:
            angle_deg: altitude in degrees.
            happens: true where the angle lies between the altitudes at noon and at midnight.
        """
        sine = np.sin(np.radians(angle_deg))
        u = self._first_guess(sine)
        with np.errstate(divide="ignore", invalid="ignore"):
            for _ in range(NEWTON_STEPS):
                value, slope = self.sine_and_slope(u)
                u = np.clip(np.nan_to_num(u - (value - sine) / slope, nan=0.5), 0.0, 1.0)
            found = np.abs(self.sine_and_slope(u)[0] - sine) <= RESIDUAL
        rest = happens & ~found
        if rest.any():
            u[rest] = self._rows(rest).bisected(sine)
        return np.where(happens, self.noon_s + self.side * u * HALF_DAY_S, np.nan)

    def _first_guess(self, sine: float) -> Floats:
        """Solve for the hour angle with the declination held at its value a quarter day from noon."""
        d0, d1, d2 = self.declination
        declination = d0 + 0.5 * d1 + 0.25 * d2
        reach = self.cos_latitude * np.cos(declination)
        with np.errstate(divide="ignore", invalid="ignore"):
            cosine = (sine - self.sin_latitude * np.sin(declination)) / reach
        return np.arccos(np.clip(np.nan_to_num(cosine), -0.999, 0.999)) / np.pi

    def _rows(self, rows: NDArray[np.bool_]) -> HalfDay:
        """Return the chosen rows alone, flattened."""

        def pick(values: Floats) -> Floats:
            return np.broadcast_to(values, rows.shape)[rows]

        d0, d1, d2 = self.declination
        e0, e1, e2 = self.equation
        return HalfDay(
            self.noon_s[rows],
            self.side,
            pick(self.sin_latitude),
            pick(self.cos_latitude),
            (d0[rows], d1[rows], d2[rows]),
            (e0[rows], e1[rows], e2[rows]),
        )

    def bisected(self, sine: float) -> Floats:
        """Return ``u`` where the sine of the altitude sinks through a value between noon and midnight."""
        low, high = np.zeros_like(self.noon_s), np.ones_like(self.noon_s)
        for _ in range(BISECTIONS):
            middle = (low + high) / 2.0
            sunk = self.sine_and_slope(middle)[0] < sine
            low, high = np.where(sunk, low, middle), np.where(sunk, middle, high)
        return (low + high) / 2.0


def _parabola(at_0: Floats, at_half: Floats, at_1: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the coefficients of 1, u and u squared of the parabola through three values."""
    return at_0, -3.0 * at_0 + 4.0 * at_half - at_1, 2.0 * at_0 - 4.0 * at_half + 2.0 * at_1


def _altitude_deg(sine: Floats) -> Floats:
    return np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
