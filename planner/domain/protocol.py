"""A survey protocol as data: everything that the plan, the paper and the audit judge by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.calendar import YearlyRange
from planner.domain.counting import CountRule, OrderRule, PointRule
from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatRule
from planner.domain.measures import Length, Speed, Temperature
from planner.domain.weather import WeatherLimit
from planner.domain.window import Event, MoonRule, PartOfDay, Strength, Window


@dataclass(frozen=True, slots=True)
class Gap:
    """Days between a visit and the one before it."""

    least_days: int = 0
    most_days: int | None = None
    strength: Strength = Strength.REQUIRED

    def __post_init__(self) -> None:
        if self.least_days < 0 or (self.most_days is not None and self.most_days < max(self.least_days, 1)):
            raise RuleError(f"gap is impossible: at least {self.least_days}, at most {self.most_days} days")


@dataclass(frozen=True, slots=True)
class Trigger:
    """What must be reached before a visit may begin; judged by the coordinator from the year's readings."""

    at_least: Temperature
    of: str


@dataclass(frozen=True, slots=True)
class VisitRule:
    """The k-th visit: its usual dates, the gap before it, and whether habitat is estimated."""

    number: int
    dates: tuple[YearlyRange, ...] = ()
    gap: Gap | None = None
    habitat: bool = False
    trigger: Trigger | None = None


@dataclass(frozen=True, slots=True)
class SetupRule:
    """The daylight trip before visit 1: find each point, mark it, do its habitat where the protocol wants that."""

    required: bool
    minutes_per_point: float
    days_before_at_most: int = 7
    same_day_allowed: bool = True
    habitat: bool = True
    part: PartOfDay = PartOfDay.DAYLIGHT
    dates: tuple[YearlyRange, ...] = ()
    """Usual dates of the trip, where the protocol gives them."""

    def __post_init__(self) -> None:
        if self.minutes_per_point <= 0 or self.days_before_at_most < 0:
            raise RuleError("set-up needs minutes_per_point above 0 and days_before_at_most of 0 or more")


@dataclass(frozen=True, slots=True)
class PeopleRule:
    """How many go, who is answerable, what they must have learnt."""

    fewest: int = 1
    preferred: int = 1
    lead_training: tuple[str, ...] = ()
    driver_counts: bool = True
    same_lead: bool = True
    """Whether one lead should do all visits of a route."""
    roles: str = ""
    handover: str = ""

    def __post_init__(self) -> None:
        if self.fewest not in (1, 2) or self.preferred not in (1, 2) or self.preferred < self.fewest:
            raise RuleError(f"people: fewest and preferred are 1 or 2, found {self.fewest} and {self.preferred}")


class TravelMode(StrEnum):
    """How one gets from point to point."""

    CAR = "car"
    FOOT = "foot"
    BICYCLE = "bicycle"


@dataclass(frozen=True, slots=True)
class TravelRule:
    """How one goes from point to point, and the minutes each stop costs beside the drive."""

    mode: TravelMode = TravelMode.CAR
    stop_overhead_minutes: float = 1.0
    survey_speed: Speed | None = None
    """A speed that is itself part of the protocol: counting while driving."""


@dataclass(frozen=True, slots=True)
class SafetyRule:
    """The protocol's own cautions, beside those that every itinerary carries."""

    cautions: tuple[str, ...] = ()
    move_at_most: Length | None = None
    """How far a stop may be moved to be safe."""


class Mark(StrEnum):
    """What stands behind a figure."""

    SEEN = "seen"
    MEMORY = "memory"
    OURS = "ours"

    @property
    def words(self) -> str:
        """The mark in words for the user."""
        return {
            Mark.SEEN: "seen in the source",
            Mark.MEMORY: "from memory, not verified: check it before relying on it",
            Mark.OURS: "our own assumption where the source says nothing",
        }[self]


@dataclass(frozen=True, slots=True)
class Figure:
    """Where the figures under one key of the protocol come from."""

    key: str
    """Dotted path into the protocol; it covers everything below it."""
    mark: Mark
    source: str

    @property
    def words(self) -> str:
        """The key as it is said: 'light window 1, pass 1: within minutes'."""
        *under, last = (_part_words(part) for part in self.key.split("."))
        return f"{', '.join(under)}: {last}" if under else last


def _part_words(part: str) -> str:
    """Return one part of a dotted key in words; a number makes it one of several."""
    name, _, number = part.removesuffix("]").partition("[")
    one, all_of_them = _KEY_WORDS.get(name, (name, name.replace("_", " ")))
    return f"{one} {number}" if number else all_of_them


_KEY_WORDS: Mapping[str, tuple[str, str]] = {
    "windows": ("light window", "light windows"),
    "passes": ("pass", "passes"),
    "visits": ("visit", "visits"),
    "weather": ("weather limit", "weather"),
    "setup": ("set-up day", "set-up day"),
    "settle_minutes": ("minutes to settle", "minutes to settle"),
    "stop_overhead_minutes": ("minutes for each stop", "minutes for each stop"),
    "noise_extension_minutes": ("minutes more for noise", "minutes more for noise"),
}
"""What one of a part of a protocol is called, and all of them; other parts are called by their own names."""


@dataclass(frozen=True, slots=True)
class PublishedDuration:
    """What the survey itself says a run takes: a check on our own timeline."""

    least_minutes: float
    most_minutes: float
    mark: Mark
    source: str


@dataclass(frozen=True, slots=True)
class Protocol:
    """The survey's rules. ``name`` says what is surveyed and how."""

    name: str
    taxon: str
    summary: str
    points: PointRule
    count: CountRule
    windows: tuple[Window, ...]
    visits: tuple[VisitRule, ...]
    order: OrderRule
    figures: tuple[Figure, ...]
    people: PeopleRule = PeopleRule()
    travel: TravelRule = TravelRule()
    safety: SafetyRule = SafetyRule()
    moon: MoonRule | None = None
    setup: SetupRule | None = None
    habitat: HabitatRule | None = None
    weather: tuple[WeatherLimit, ...] = ()
    published: PublishedDuration | None = None
    invented: bool = False
    """True for the demo's own protocols: no survey of that name exists."""

    def __post_init__(self) -> None:
        for fault in self._impossible():
            raise RuleError(fault)

    def _impossible(self) -> Iterator[str]:
        if not self.windows:
            yield "windows: a protocol needs at least one window"
        if [visit.number for visit in self.visits] != list(range(1, len(self.visits) + 1)) or not self.visits:
            yield "visits: numbers must run 1, 2, 3 … without a hole"
        if self.habitat is None and any(visit.habitat for visit in self.visits):
            yield "visits: one asks for habitat, but the protocol has no [habitat]"
        yield from self._short_windows()
        yield from self._close_points()

    def _short_windows(self) -> Iterator[str]:
        least = self.count.minutes if self.points.most else 0.0
        for window in self.windows:
            for run in window.passes:
                length = run.fixed_length_minutes
                if length is not None and length < least:
                    yield (
                        f"windows: '{window.name}' is {length:g} minutes long,"
                        f" shorter than one count of {least:g} minutes"
                    )

    def _close_points(self) -> Iterator[str]:
        spacing, habitat = self.points.spacing, self.habitat
        if spacing is None or habitat is None or habitat.circles_may_overlap:
            return
        if spacing.least.metres < 2 * habitat.radius.metres:
            yield (
                f"points.spacing: points {spacing.least} apart have habitat circles of {habitat.radius} radius"
                f" that overlap; space them {2 * habitat.radius.metres:g} m or more, or set"
                " habitat.circles_may_overlap = true"
            )

    def visit(self, number: int) -> VisitRule:
        """Return the rule of that visit; raises RuleError for a number the protocol does not have."""
        if not 1 <= number <= len(self.visits):
            raise RuleError(f"'{self.name}' has visits 1 to {len(self.visits)}, found {number}")
        return self.visits[number - 1]

    def passes(self, window: str) -> int:
        """Return how often the points are counted in the window of that name; the most of any where none has it."""
        named = [one for one in self.windows if one.name == window]
        return max(len(one.passes) for one in named or self.windows)

    def gap_before(self, number: int) -> Gap:
        """Return the gap rule between visit ``number`` and the one before it."""
        return self.visit(number).gap or Gap()

    @property
    def from_memory(self) -> tuple[Figure, ...]:
        """The figures that nobody has seen in the source: shown to the user as such."""
        return tuple(figure for figure in self.figures if figure.mark is Mark.MEMORY)

    @property
    def light_events(self) -> frozenset[Event]:
        """The sun's events that the windows are tied to."""
        edges = [e for w in self.windows for run in w.passes for e in (run.open, run.close) if e is not None]
        return frozenset(edge.event for edge in edges if edge.event is not Event.CLOCK)
