"""Weather limits of a protocol: what bars a count, and what is only written down."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError
from planner.domain.measures import Measure, Speed, Temperature

BEAUFORT_LEAST_M_S = (0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)
"""Least wind speed of each Beaufort force 0 to 12 in m/s; World Meteorological Organization scale."""


class Quantity(StrEnum):
    """What is judged on the evening."""

    WIND = "wind"
    RAIN = "rain"
    FOG = "fog"
    SNOW = "snow"
    CLOUD = "cloud"
    AIR_TEMPERATURE = "air_temperature"
    WATER_TEMPERATURE = "water_temperature"
    NOISE = "noise"


class LimitKind(StrEnum):
    """Whether a limit stops the count, or the condition is recorded only."""

    BAR = "bar"
    RECORD = "record"


_WORDED = {Quantity.RAIN, Quantity.FOG, Quantity.SNOW, Quantity.CLOUD, Quantity.NOISE}


@dataclass(frozen=True, slots=True)
class WeatherLimit:
    """One limit: a bound with its unit where the quantity is measured, else the protocol's words."""

    quantity: Quantity
    kind: LimitKind
    at_most: Speed | None = None
    at_least: Temperature | None = None
    words: str = ""
    region: str = ""
    visits: tuple[int, ...] = ()
    """The visits it holds for; empty for all."""

    def __post_init__(self) -> None:
        if self.quantity is Quantity.WIND and self.at_least is not None:
            raise RuleError("a wind limit has 'at_most', not 'at_least'")
        if self.quantity in (Quantity.AIR_TEMPERATURE, Quantity.WATER_TEMPERATURE) and self.at_most is not None:
            raise RuleError("a temperature limit has 'at_least', not 'at_most'")
        if self.quantity in _WORDED and (self.at_most or self.at_least):
            raise RuleError(f"a limit on {self.quantity} is given in words, without a number")
        if self.kind is LimitKind.BAR and not (self.at_most or self.at_least or self.words):
            raise RuleError(f"a bar on {self.quantity} needs a bound or words")

    @property
    def bound(self) -> Measure | None:
        """The figure of the limit, whichever side it is on."""
        return self.at_most or self.at_least

    @property
    def said(self) -> str:
        """The limit as it is printed for a volunteer."""
        name = self.quantity.value.replace("_", " ")
        where = f" ({self.region})" if self.region else ""
        if self.at_most is not None:
            return f"{name} at most {self.at_most}{where}" + (f": {self.words}" if self.words else "")
        if self.at_least is not None:
            return f"{name} at least {self.at_least}{where}" + (f": {self.words}" if self.words else "")
        return f"{name}{where}: {self.words or 'write it down'}"


def beaufort_force(wind: Speed) -> int:
    """Return the Beaufort force (0 to 12) of a wind speed."""
    metres_a_second = round(wind.base / 3.6, 6)
    return max(force for force, least in enumerate(BEAUFORT_LEAST_M_S) if metres_a_second >= least)
