"""Quantities kept in the unit their source uses, and converted in one place only."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import ClassVar, Self

from planner.domain.errors import RuleError

_COLDEST_C, _HOTTEST_C = -90.0, 60.0
"""About the lowest and highest that were ever measured near the ground, -89.2 and 56.7 °C (from memory)."""
_FORM = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*(\S+)\s*")


@dataclass(frozen=True, slots=True)
class Measure:
    """A number with its unit, as a protocol prints it; ``base`` is the value in the family's base unit."""

    value: float
    unit: str

    FACTORS: ClassVar[dict[str, tuple[float, float]]] = {}
    """Unit to (factor, offset) so that base = value * factor + offset."""

    def __post_init__(self) -> None:
        if self.unit not in self.FACTORS:
            raise RuleError(f"unit must be one of {', '.join(self.FACTORS)}, found {self.unit!r}")
        if not math.isfinite(self.value):
            raise RuleError(f"a measure must be a finite number, found {self.value}")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``"0.5 mi"``; raises RuleError for a missing number or a unit of another family."""
        match = _FORM.fullmatch(text)
        if match is None:
            raise RuleError(f"write a number and a unit ({', '.join(cls.FACTORS)}), found {text!r}")
        return cls(float(match.group(1)), match.group(2))

    @classmethod
    def measured(cls, text: str) -> Self:
        """Read what somebody has measured outdoors; raises RuleError as ``parse``, and for what nobody can measure."""
        return cls.parse(text)

    @property
    def base(self) -> float:
        """The value in the base unit of the family: metres, km/h or degrees Celsius."""
        factor, offset = self.FACTORS[self.unit]
        return self.value * factor + offset

    def __str__(self) -> str:
        """The figure in the source's own unit."""
        return f"{self.value:g} {self.unit}"


class Length(Measure):
    """A length; base unit metre. International mile and foot (1959): 1,609.344 m and 0.3048 m."""

    __slots__ = ()
    FACTORS: ClassVar[dict[str, tuple[float, float]]] = {
        "m": (1.0, 0.0),
        "km": (1000.0, 0.0),
        "mi": (1609.344, 0.0),
        "ft": (0.3048, 0.0),
    }

    def __post_init__(self) -> None:
        Measure.__post_init__(self)
        if self.value < 0:
            raise RuleError(f"a length must not be negative, found {self}")

    @property
    def metres(self) -> float:
        """The length in metres."""
        return self.base


class Speed(Measure):
    """A speed of wind or of travel; base unit km/h."""

    __slots__ = ()
    FACTORS: ClassVar[dict[str, tuple[float, float]]] = {
        "km/h": (1.0, 0.0),
        "mph": (1.609344, 0.0),
        "m/s": (3.6, 0.0),
    }

    def __post_init__(self) -> None:
        Measure.__post_init__(self)
        if self.value < 0:
            raise RuleError(f"a speed must not be negative, found {self}")


class Temperature(Measure):
    """A temperature; base unit degree Celsius."""

    __slots__ = ()
    FACTORS: ClassVar[dict[str, tuple[float, float]]] = {
        "C": (1.0, 0.0),
        "F": (5.0 / 9.0, -160.0 / 9.0),
    }

    @classmethod
    def measured(cls, text: str) -> Self:
        """Read ``"9 C"``; raises RuleError for what is no temperature of anybody's outdoors, too."""
        read = cls.parse(text)
        if not _COLDEST_C <= read.base <= _HOTTEST_C:
            raise RuleError(f"a temperature lies between {_COLDEST_C:g} and {_HOTTEST_C:g} C, found {read}")
        return read
