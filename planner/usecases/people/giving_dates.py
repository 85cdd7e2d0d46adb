"""The dates that a volunteer gives, painted by part of day or said as a rule such as "every Tuesday evening"."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.protocol import Protocol
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.store import SeasonFile
from planner.usecases.people.availability_lines import Parts, lines_of
from planner.usecases.wording import PART_WORDS, day_words, listed

DateCell: TypeAlias = tuple[dt.date, PartOfDay]
"""One part of one date."""

THROUGH_THE_DAY = (PartOfDay.DAWN, PartOfDay.DAYLIGHT, PartOfDay.DUSK)

_WEEKDAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_EVERY_DAY = frozenset(range(7))
_ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DatesRule:
    """Dates said in a sentence: these weekdays of this range, these parts; given, or taken away."""

    dates: DateRange
    parts: Parts
    weekdays: frozenset[int] = _EVERY_DAY
    """Monday is 0."""
    give: bool = True

    def __post_init__(self) -> None:
        if not self.parts:
            raise RuleError("name at least one part of the day")
        if not self.weekdays or not self.weekdays <= _EVERY_DAY:
            raise RuleError("name at least one weekday, from 0 (Monday) to 6 (Sunday)")

    def cells(self, season: Season) -> frozenset[DateCell]:
        """Return the parts of dates of the season that the rule speaks of."""
        return frozenset(
            (day, part)
            for day in season.dates
            if day in self.dates and day.weekday() in self.weekdays
            for part in self.parts
        )

    @property
    def words(self) -> str:
        """The rule in words: 'every Tuesday evening, Mon 3 May to Fri 2 Jul'."""
        parts = listed(PART_WORDS[part] for part in THROUGH_THE_DAY if part in self.parts)
        if self.dates.first == self.dates.last:
            return f"{parts} of {day_words(self.dates.first)}"
        names = listed(_WEEKDAY_NAMES[day] for day in sorted(self.weekdays))
        which = f"every {parts}" if self.weekdays == _EVERY_DAY else f"every {names} {parts}"
        return f"{which}, {day_words(self.dates.first)} to {day_words(self.dates.last)}"


@dataclass(frozen=True, slots=True)
class DatesGiven:
    """What came of giving dates or taking them away."""

    before: Volunteer
    after: Volunteer
    label: str
    """The step as the history shows it; empty where nothing was changed."""
    cells: frozenset[DateCell]
    """The parts of dates that are now other than they were."""


def parts_used(protocol: Protocol) -> tuple[PartOfDay, ...]:
    """Return the parts of the day that a protocol asks people for, through the day."""
    used = {window.part for window in protocol.windows}
    if protocol.setup is not None:
        used.add(protocol.setup.part)
    return tuple(part for part in THROUGH_THE_DAY if part in used)


def given_cells(person: Volunteer, dates: DateRange) -> frozenset[DateCell]:
    """Return the parts of those dates that a volunteer has given."""
    return frozenset((day, part) for day in dates for part in person.parts_on(day))


def given_days(person: Volunteer, dates: DateRange) -> dict[PartOfDay, npt.NDArray[np.bool_]]:
    """Return for each part of the day on which of those dates it is given: quick for very many people."""
    given = {part: np.zeros(len(dates), dtype=np.bool_) for part in PartOfDay}
    weekdays = (dates.first.weekday() + np.arange(len(dates))) % 7
    for line in person.availability:
        first, last = (line.dates.first - dates.first).days, (line.dates.last - dates.first).days
        span = slice(max(first, 0), max(last + 1, 0))
        covered = np.isin(weekdays[span], list(line.weekdays))
        for part, days in given.items():
            days[span][covered] = part in line.parts
    return given


def with_cells(person: Volunteer, dates: DateRange, cells: Iterable[DateCell], *, give: bool) -> Volunteer:
    """Return the volunteer with those parts of dates given, or taken away; all others stay.

    Args:
        person: whose dates they are.
        dates: the dates of the season; lines that speak of others keep what they say of them.
        cells: the parts of dates to change.
        give: true to give them, false to take them away.
    """
    given: dict[dt.date, Parts] = {day: person.parts_on(day) for day in dates}
    for day, part in cells:
        if day in given:
            given[day] = given[day] | {part} if give else given[day] - {part}
    if all(parts == person.parts_on(day) for day, parts in given.items()):
        return person
    outside = (one for line in person.availability for one in _outside(line, dates))
    return replace(person, availability=(*outside, *lines_of(given, dates)))


def give_dates(file: SeasonFile, code: str, cells: Iterable[DateCell], *, give: bool) -> DatesGiven:
    """Give those parts of dates, or take them away, as one step.

    Raises:
        RuleError: the season has no such volunteer.
    """
    season = file.season()
    before = season.volunteer(code)
    wanted = frozenset(cell for cell in cells if cell[0] in season.dates)
    after = with_cells(before, season.dates, wanted, give=give)
    if after is before:
        return DatesGiven(before, before, "", frozenset())
    changed = given_cells(before, season.dates) ^ given_cells(after, season.dates)
    label = f"{code} {'gives' if give else 'takes back'} {cells_words(changed)}"
    with file.step(label):
        file.save_season(
            replace(season, volunteers=tuple(after if one.code == code else one for one in season.volunteers))
        )
    return DatesGiven(before, after, label, changed)


def given_words(person: Volunteer, dates: DateRange, part: PartOfDay) -> tuple[str, ...]:
    """Return in few lines on which of those dates somebody gives a part of the day; later lines go before earlier ones.

    Nothing where they give none.
    """
    only = frozenset({part})
    lines = lines_of({day: person.parts_on(day) & only for day in dates}, dates)
    return tuple(_line_words(line, part) for line in lines)


def _line_words(line: Availability, part: PartOfDay) -> str:
    words = DatesRule(line.dates, frozenset({part}), line.weekdays).words
    return words if line.parts else f"not the {PART_WORDS[part]} of {day_words(line.dates.first)}{_to(line.dates)}"


def _to(dates: DateRange) -> str:
    return "" if len(dates) == 1 else f" to {day_words(dates.last)}"


def cells_words(cells: Iterable[DateCell]) -> str:
    """Return how many of which part there are: '3 evenings and 1 morning'."""
    counts = Counter(part for _, part in cells)
    return listed(_counted(counts)) or "no date"


def _counted(counts: Mapping[PartOfDay, int]) -> Iterator[str]:
    for part in THROUGH_THE_DAY:
        if counts.get(part):
            word = "day" if part is PartOfDay.DAYLIGHT else PART_WORDS[part]
            yield f"{counts[part]} {word}{'s' if counts[part] != 1 else ''}"


def _outside(line: Availability, dates: DateRange) -> Iterator[Availability]:
    """Yield what a line says of the dates before and after those of the season."""
    if line.dates.first < dates.first:
        yield replace(line, dates=DateRange(line.dates.first, min(line.dates.last, dates.first - _ONE_DAY)))
    if line.dates.last > dates.last:
        yield replace(line, dates=DateRange(max(line.dates.first, dates.last + _ONE_DAY), line.dates.last))
