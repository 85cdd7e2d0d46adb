"""The rule of a light window: what it is tied to, how strictly, and what the moon must do."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError


class Event(StrEnum):
    """A moment of the day that an edge of a light window is tied to."""

    SUNRISE = "sunrise"
    SUNSET = "sunset"
    CIVIL_DAWN = "civil_dawn"
    CIVIL_DUSK = "civil_dusk"
    NAUTICAL_DAWN = "nautical_dawn"
    NAUTICAL_DUSK = "nautical_dusk"
    ASTRONOMICAL_DAWN = "astronomical_dawn"
    ASTRONOMICAL_DUSK = "astronomical_dusk"
    NOON = "noon"
    CLOCK = "clock"

    @property
    def words(self) -> str:
        """The event as it is said: 'nautical dusk'."""
        return self.value.replace("_", " ")


class PartOfDay(StrEnum):
    """The parts of a date for which a volunteer says yes or no.

    ``dusk`` is the whole evening outing, the habitat round just before the counts included; ``dawn`` the
    whole morning outing; ``daylight`` the trip of a set-up day.
    """

    DAYLIGHT = "daylight"
    DUSK = "dusk"
    DAWN = "dawn"


class StartRule(StrEnum):
    """How the opening binds the first count."""

    EXACTLY = "start_exactly_at"
    NO_EARLIER = "start_no_earlier_than"


class FinishRule(StrEnum):
    """How the closing binds the counts."""

    ALL_INSIDE = "all_counts_inside"
    BY = "finish_by"


class PassDirection(StrEnum):
    """The way along the route in one pass; ``order_rule`` leaves it to the protocol's order rule."""

    ORDER_RULE = "order_rule"
    FORWARD = "forward"
    REVERSE = "reverse"


@dataclass(frozen=True, slots=True)
class Edge:
    """One end of a window: ``event + offset``; with another offset under an overcast sky where the protocol says so."""

    event: Event
    offset_minutes: float = 0.0
    clock: dt.time | None = None
    overcast_offset_minutes: float | None = None

    def __post_init__(self) -> None:
        if (self.event is Event.CLOCK) != (self.clock is not None):
            raise RuleError("an edge has a clock time when, and only when, its event is 'clock'")
        if not -1440 <= self.offset_minutes <= 1440:
            raise RuleError(f"an offset must lie within a day (1440 minutes), found {self.offset_minutes:g}")

    @property
    def words(self) -> str:
        """The edge as it is said: 'sunset + 22 min' or '01:00'."""
        if self.clock is not None:
            return f"{self.clock:%H:%M}"
        if self.offset_minutes == 0:
            return self.event.words
        sign = "+" if self.offset_minutes > 0 else "−"
        return f"{self.event.words} {sign} {abs(self.offset_minutes):g} min"


@dataclass(frozen=True, slots=True)
class Pass:
    """One run over the points inside one span of light.

    ``close`` may be absent where the run is bounded by ``within_minutes`` from its start alone.
    """

    open: Edge
    close: Edge | None = None
    start: StartRule = StartRule.NO_EARLIER
    finish: FinishRule = FinishRule.ALL_INSIDE
    within_minutes: float | None = None
    direction: PassDirection = PassDirection.ORDER_RULE

    def __post_init__(self) -> None:
        if self.close is None and self.within_minutes is None:
            raise RuleError("a pass needs a closing edge, or 'within_minutes' from its start, or both")
        if self.close is None and self.start is not StartRule.EXACTLY:
            raise RuleError("without a closing edge the start must be 'start_exactly_at'")
        if self.within_minutes is not None and self.within_minutes <= 0:
            raise RuleError(f"within_minutes must be above 0, found {self.within_minutes:g}")

    @property
    def fixed_length_minutes(self) -> float | None:
        """The length in minutes where the rule alone fixes it; None where it depends on date and place."""
        lengths = [self.within_minutes] if self.within_minutes is not None else []
        if self.close is not None and self.close.event is self.open.event is not Event.CLOCK:
            lengths.append(self.close.offset_minutes - self.open.offset_minutes)
        return min(lengths, default=None)


@dataclass(frozen=True, slots=True)
class Window:
    """One way of meeting the protocol's light rule; a protocol may offer alternatives (dawn or dusk)."""

    name: str
    part: PartOfDay
    passes: tuple[Pass, ...]
    overcast_above_percent: float = 75.0
    """Cloud cover above which the overcast offsets hold; decided on the night."""

    def __post_init__(self) -> None:
        if not self.passes:
            raise RuleError(f"window '{self.name}' needs at least one pass")
        if self.part is PartOfDay.DAYLIGHT:
            raise RuleError(f"window '{self.name}': a count window belongs to dusk or dawn, found 'daylight'")

    @property
    def depends_on_sky(self) -> bool:
        """Whether the times differ under an overcast sky, so that both are planned and printed."""
        edges = [edge for run in self.passes for edge in (run.open, run.close) if edge is not None]
        return any(edge.overcast_offset_minutes is not None for edge in edges)


class Strength(StrEnum):
    """Whether a rule bars, or only prefers."""

    REQUIRED = "required"
    PREFERRED = "preferred"


@dataclass(frozen=True, slots=True)
class MoonRule:
    """What the moon must do for the whole window: be up, and lit at least so far."""

    least_illuminated: float
    """Illuminated fraction of the disc, 0 to 1."""
    above_horizon: bool = True
    strength: Strength = Strength.REQUIRED

    def __post_init__(self) -> None:
        if not 0.0 <= self.least_illuminated <= 1.0:
            raise RuleError(f"least_illuminated is a fraction from 0 to 1, found {self.least_illuminated:g}")
