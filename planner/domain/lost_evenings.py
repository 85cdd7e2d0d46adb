"""What the coordinator expects of the weather: the chance of a lost evening, and how long bad weather stays."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError

HALF_MONTHS = 24
"""Of a year: days 1 to 15 of each month, and the rest of it."""
USUAL_PERSISTENCE = 0.4
"""Where nobody says anything: our assumption. From memory, not verified: the chain of rainy days that Gabriel and
Neumann (1962) fitted at Tel Aviv rains with 0.662 after rain and 0.250 after none, which is 0.41."""

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def half_month(day: dt.date) -> int:
    """Return the half-month that a date lies in, 0 to 23."""
    return 2 * (day.month - 1) + (day.day > 15)


def half_month_name(number: int) -> str:
    """Return a half-month as it is said and written in tables: 'early May' or 'late May'."""
    return f"{'late' if number % 2 else 'early'} {_MONTHS[number // 2]}"


def half_months_of(days: DateRange) -> Iterator[int]:
    """Yield the half-months that a range of dates touches, each once, in the order of the dates."""
    yield from dict.fromkeys(half_month(day) for day in days)


@dataclass(frozen=True, slots=True)
class LostEvenings:
    """How likely the weather takes an evening, the same for every route of the season.

    The weather of the evenings is a chain of two states, good or lost. With ``p`` the chance of tomorrow's half-month
    and ``r`` the persistence, tomorrow is lost with ``p + r (1 - p)`` after a lost evening and with ``p (1 - r)`` after
    a good one. Where ``p`` stays the same, it is the share of lost evenings in the long run, and ``r`` the correlation
    of neighbouring evenings.
    """

    chances: tuple[float, ...]
    """Chance of a lost evening in each half-month of the year, 0 to 1, from early January on."""
    persistence: float = USUAL_PERSISTENCE
    """0: each evening for itself; 1: the weather of the first evening stays."""

    def __post_init__(self) -> None:
        if len(self.chances) != HALF_MONTHS:
            raise RuleError(f"there are {HALF_MONTHS} half-months in a year, found chances for {len(self.chances)}")
        for number, chance in enumerate(self.chances):
            _refuse_no_share(f"the chance of a lost evening in {half_month_name(number)}", chance)
        _refuse_no_share("the persistence of the weather", self.persistence)

    def chance_on(self, day: dt.date) -> float:
        """Return the chance of that date's half-month."""
        return self.chances[half_month(day)]

    def said_for(self, days: DateRange) -> str:
        """Return the figures of some dates in words."""
        chances = [self.chances[number] for number in half_months_of(days)]
        least, most = (f"{100 * chance:.0f} %" for chance in (min(chances), max(chances)))
        spread = least if least == most else f"{least} to {most}"
        return f"{spread} of the evenings lost, persistence {100 * self.persistence:.0f} %"


def _refuse_no_share(what: str, value: float) -> None:
    if not (math.isfinite(value) and 0.0 <= value <= 1.0):
        raise RuleError(f"{what} is a share from 0 to 1, found {value:g}")
