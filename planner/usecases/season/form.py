"""Change what a season is called, when it runs, what the coordinator notes, and what is expected of the weather."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.domain.calendar import FIRST_YEAR, LAST_YEAR, DateRange
from planner.domain.errors import RuleError
from planner.domain.lost_evenings import (
    HALF_MONTHS,
    USUAL_PERSISTENCE,
    LostEvenings,
    half_month_name,
    half_months_of,
)
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.season.new_season import MOST_DAYS
from planner.usecases.typed_text import one_line, without_control


@dataclass(frozen=True, slots=True)
class SeasonChanged:
    """What came of changing a season."""

    season: Season
    label: str
    """The step as the history shows it; empty where all was so already."""


def rename_season(file: SeasonFile, name: str) -> SeasonChanged:
    """Call the season otherwise, as one step; raises RuleError for an empty name, or control characters."""
    name = one_line(name, "the name of a season")
    if not name:
        raise RuleError("a season needs a name: it stands on every paper")
    return _save(file, replace(file.season(), name=name), f"Call the season '{name}'")


def note_on_season(file: SeasonFile, notes: str) -> SeasonChanged:
    """Keep the coordinator's own notes, as one step; raises RuleError for control characters."""
    notes = without_control(notes, "the season's notes")
    return _save(file, replace(file.season(), notes=notes), "Change the season's notes")


def set_season_dates(file: SeasonFile, dates: DateRange, visits: Mapping[int, DateRange]) -> SeasonChanged:
    """Set when the season runs and the dates of its visits, as one step.

    What is planned stays; the audit says which visits then lie outside.

    Args:
        file: the season file.
        dates: of the season.
        visits: date ranges by the number of the visit; those left out stay as they are.

    Raises:
        RuleError: a visit lies outside the season, or there is none of that number; the season is longer than a year,
            or lies in years that the sun is not computed for.
    """
    _refuse_slip(dates)
    season = file.season()
    unknown = sorted(set(visits) - set(range(1, len(season.visits) + 1)))
    if unknown:
        raise RuleError(f"'{season.protocol.name}' has visits 1 to {len(season.visits)}, found {unknown[0]}")
    own = tuple(visits.get(number, before) for number, before in enumerate(season.visits, start=1))
    return _save(file, replace(season, dates=dates, visits=own), f"Set the season's dates: {dates}")


def expect_weather(
    file: SeasonFile, chances: Mapping[int, float], persistence: float = USUAL_PERSISTENCE
) -> SeasonChanged:
    """Say how likely the weather takes an evening, as one step.

    Args:
        file: the season file.
        chances: 0 to 1 by half-month of the year, 0 to 23; those left out stay as they are, or 0 where nothing was
            said.
        persistence: 0 to 1; see ``LostEvenings``.

    Raises:
        RuleError: a figure is no share, or there is no such half-month.
    """
    if not set(chances) <= set(range(HALF_MONTHS)):
        raise RuleError(f"half-months are numbered 0 to {HALF_MONTHS - 1}, found {sorted(chances)}")
    season = file.season()
    before = season.lost_evenings.chances if season.lost_evenings is not None else (0.0,) * HALF_MONTHS
    weather = LostEvenings(tuple(chances.get(n, chance) for n, chance in enumerate(before)), persistence)
    return _save(file, replace(season, lost_evenings=weather), f"Expect {weather.said_for(season.dates)}")


def expect_no_weather(file: SeasonFile) -> SeasonChanged:
    """Say nothing of the weather any more, as one step: no risk is told then."""
    return _save(file, replace(file.season(), lost_evenings=None), "Say nothing of the weather")


def chances_of(season: Season) -> tuple[tuple[int, float | None], ...]:
    """Return the half-months of a season, 0 to 23, each with its chance of a lost evening; None: nothing is said."""
    weather = season.lost_evenings
    return tuple((n, None if weather is None else weather.chances[n]) for n in half_months_of(season.dates))


def half_months_called(season: Season, name: str) -> tuple[int, ...]:
    """Return the half-months of that name, 'early May' or 'late May'; without a name every one of the season.

    Raises:
        RuleError: the season has no half-month of that name.
    """
    names = {number: half_month_name(number) for number in half_months_of(season.dates)}
    found = tuple(number for number, own in names.items() if not name or own.casefold() == name.casefold())
    if not found:
        raise RuleError(f"the season has the half-months {', '.join(names.values())}; found {name!r}")
    return found


def _refuse_slip(dates: DateRange) -> None:
    """Refuse years that the sun is not computed for, and what must be a slip in the year."""
    if dates.first.year < FIRST_YEAR or dates.last.year > LAST_YEAR:
        raise RuleError(f"the sun is computed for the years {FIRST_YEAR} to {LAST_YEAR}, found {dates}")
    if len(dates) > MOST_DAYS:
        raise RuleError(f"a season has at most {MOST_DAYS} days, found {dates}: mend the year")


def _save(file: SeasonFile, season: Season, label: str) -> SeasonChanged:
    with file.step(label) as step:
        file.save_season(season)
    return SeasonChanged(season, label if step.changed else "")
