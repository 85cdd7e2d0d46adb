"""Metric or imperial: how lengths, speeds and temperatures are shown and read. The season file keeps its own units."""

from __future__ import annotations

import re
from enum import StrEnum

from planner.domain.errors import RuleError

METRES_A_MILE = 1609.344
METRES_A_FOOT = 0.3048
METRES_A_YARD = 0.9144
"""International mile, foot and yard of 1959, exact."""

_FORM = re.compile(r"\s*([-+]?\d+(?:[.,]\d+)?)\s*([^\d\s]*)\s*")


class Units(StrEnum):
    """The system that lengths, speeds and temperatures are shown in."""

    METRIC = "metric"
    IMPERIAL = "imperial"

    def length(self, metres: float) -> str:
        """Return a distance along roads: '12.4 km' or '7.7 mi'; short ones as ``short_length`` gives them."""
        if self is Units.METRIC:
            return f"{metres / 1000:.1f} km" if metres >= 1000 else self.short_length(metres)
        return f"{metres / METRES_A_MILE:.1f} mi" if metres >= METRES_A_MILE / 2 else self.short_length(metres)

    def short_length(self, metres: float) -> str:
        """Return a distance on the spot: '298 m' or '326 yd'."""
        return f"{metres:.0f} m" if self is Units.METRIC else f"{metres / METRES_A_YARD:.0f} yd"

    def speed(self, kmh: float) -> str:
        """Return a speed: '19 km/h' or '12 mph'."""
        return f"{kmh:.0f} km/h" if self is Units.METRIC else f"{kmh * 1000 / METRES_A_MILE:.0f} mph"

    def temperature(self, celsius: float) -> str:
        """Return a temperature: '7 °C' or '45 °F'."""
        return f"{celsius:.0f} °C" if self is Units.METRIC else f"{celsius * 9 / 5 + 32:.0f} °F"

    def read_length_m(self, text: str) -> float:
        """Return the metres of '800', '800 m', '0.5 mi'; without a unit metres, or yards in imperial."""
        return self._read(text, _LENGTHS, "m" if self is Units.METRIC else "yd")

    def read_speed_kmh(self, text: str) -> float:
        """Return the km/h of '19', '12 mph', '5 m/s'; without a unit km/h, or mph in imperial."""
        return self._read(text, _SPEEDS, "km/h" if self is Units.METRIC else "mph")

    def read_temperature_c(self, text: str) -> float:
        """Return the degrees Celsius of '7', '45 F', '7 °C'; without a unit Celsius, or Fahrenheit in imperial."""
        number, unit = _parts(text, ("C", "F"))
        scale = (unit or ("C" if self is Units.METRIC else "F")).lstrip("°").upper()
        if scale not in ("C", "F"):
            raise RuleError(f"write a temperature in °C or °F, found {text!r}")
        return number if scale == "C" else (number - 32) * 5 / 9

    def _read(self, text: str, factors: dict[str, float], usual: str) -> float:
        number, unit = _parts(text, tuple(factors))
        if (unit or usual) not in factors:
            raise RuleError(f"write a number with one of the units {', '.join(factors)}, found {text!r}")
        return number * factors[unit or usual]


_LENGTHS = {"m": 1.0, "km": 1000.0, "mi": METRES_A_MILE, "yd": METRES_A_YARD, "ft": METRES_A_FOOT}
_SPEEDS = {"km/h": 1.0, "mph": METRES_A_MILE / 1000, "m/s": 3.6}


def _parts(text: str, units: tuple[str, ...]) -> tuple[float, str]:
    match = _FORM.fullmatch(text)
    if match is None:
        raise RuleError(f"write a number, with a unit if you like ({', '.join(units)}), found {text!r}")
    return float(match.group(1).replace(",", ".")), match.group(2)
