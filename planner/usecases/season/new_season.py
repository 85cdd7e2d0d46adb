"""Make a new season under a protocol."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from planner.domain.calendar import FIRST_YEAR, LAST_YEAR, DateRange, YearlyRange
from planner.domain.errors import Fault, InputError, RuleError
from planner.domain.geo import Place
from planner.domain.protocol import Protocol, VisitRule
from planner.domain.season import Coordinator, Season
from planner.exchange import read_protocol, shipped_protocol
from planner.store import SeasonFile
from planner.usecases.season.coordinator import on_one_line
from planner.usecases.season.zones import ZoneFound, zone_at

MOST_DAYS = 366
"""Longest season; one may cross New Year."""


@dataclass(frozen=True, slots=True)
class SeasonWish:
    """What a coordinator says of a new season."""

    protocol: str
    """Name of a shipped protocol, or the path of a TOML file."""
    dates: DateRange
    zone: str = ""
    """Of every time of the season, an IANA name; empty: that of the place ``at``."""
    at: Place | None = None
    """Where the routes lie, by which the zone is found, or judged where it is given too."""
    name: str = ""
    visits: Mapping[int, DateRange] = field(default_factory=dict)
    """Dates of visits that differ from the protocol's usual ones."""
    coordinator: Coordinator = field(default_factory=Coordinator)


@dataclass(frozen=True, slots=True)
class SeasonMade:
    """A season file that was made."""

    path: Path
    season: Season
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UsualDates:
    """What a protocol's own dates come to: a start for a person to change."""

    season: DateRange
    visits: tuple[DateRange, ...]


def usual_dates(protocol: Protocol, today: dt.date) -> UsualDates:
    """Return the protocol's own dates that are not over yet; spring to midsummer where it gives none.

    Where it gives a visit several ranges, for several regions, the first is taken: a person looks at them anyhow.
    """
    this_year = _usual_dates_in(protocol, today.year)
    return this_year if this_year.season.first > today else _usual_dates_in(protocol, today.year + 1)


def _usual_dates_in(protocol: Protocol, year: int) -> UsualDates:
    known = {rule.number: rule.dates[0].starting_in(year) for rule in protocol.visits if rule.dates}
    ranges = known.values() or [DateRange(dt.date(year, 4, 1), dt.date(year, 6, 30))]
    whole = DateRange(min(dates.first for dates in ranges), max(dates.last for dates in ranges))
    return UsualDates(whole, tuple(known.get(rule.number, whole) for rule in protocol.visits))


def new_season(path: Path, wish: SeasonWish) -> SeasonMade:
    """Make the season file; raises InputError or SeasonFileError and leaves nothing behind if it cannot be made."""
    found = zone_at(wish.at) if wish.at is not None else None
    wish = replace(wish, zone=wish.zone or _found_zone(found))
    _check_zone(wish.zone)
    _check_length(wish.dates)
    protocol = _protocol(wish.protocol)
    season = _season(path, wish, protocol)
    with SeasonFile.create(path, season):
        pass
    return SeasonMade(path, season, (*_zone_notes(season.zone, found), *_notes(protocol, wish)))


def _protocol(name: str) -> Protocol:
    return read_protocol(Path(name)) if name.endswith(".toml") else shipped_protocol(name)


def _found_zone(found: ZoneFound | None) -> str:
    """Return the zone that was found; raises InputError where a place was given and none was."""
    if found is None or found.zone:
        return found.zone if found is not None else ""
    raise InputError(
        Fault("--at", "", "a place whose time zone can be found", found.reason.rstrip("."), "Give --zone instead.")
    )


def _zone_notes(zone: str, found: ZoneFound | None) -> tuple[str, ...]:
    if found is None:
        return ()
    if found.zone in {"", zone}:
        return (found.reason,)
    return (f"{zone} was taken as you said, though the map of time zones says {found.zone}.",)


def _check_zone(zone: str) -> None:
    if zone and zone in zoneinfo.available_timezones():
        return
    raise InputError(
        Fault(
            source="--zone",
            where="",
            expected="the time zone of the routes as an IANA name",
            found=repr(zone) if zone else "none",
            todo="Give it as in --zone Europe/London, or have it found by a place: --at LATITUDE,LONGITUDE."
            " Every printed time depends on it, so it is never guessed.",
        )
    )


def _check_length(dates: DateRange) -> None:
    """Refuse years that the sun is not computed for, and what must be a slip in the year."""
    if dates.first.year < FIRST_YEAR or dates.last.year > LAST_YEAR:
        expected, todo = f"years from {FIRST_YEAR} to {LAST_YEAR}, for which the sun is computed", "Mend the year."
    elif (dates.last - dates.first).days >= MOST_DAYS:
        expected, todo = f"a season of at most {MOST_DAYS} days", "Mend the year, or make one file for each season."
    else:
        return
    raise InputError(Fault("--from and --to", "", expected, str(dates), todo))


def _season(path: Path, wish: SeasonWish, protocol: Protocol) -> Season:
    _check_numbers(wish, protocol)
    visits = tuple(_visit_dates(rule, wish) for rule in protocol.visits)
    coordinator = on_one_line(wish.coordinator)
    try:
        return Season(
            name=" ".join((wish.name or path.stem).split()),
            protocol=protocol,
            zone=wish.zone,
            dates=wish.dates,
            visits=visits,
            coordinator=coordinator,
        )
    except RuleError as error:
        raise InputError(
            Fault("the new season", "", "dates that fit together", str(error), "Mend the dates.")
        ) from error


def _check_numbers(wish: SeasonWish, protocol: Protocol) -> None:
    known = {rule.number for rule in protocol.visits}
    for number in sorted(set(wish.visits) - known):
        expected = f"a visit from 1 to {len(known)}, as '{protocol.name}' has them"
        raise InputError(Fault(f"--visit {number}", "", expected, str(number), "Leave it out or mend the number."))


def _visit_dates(rule: VisitRule, wish: SeasonWish) -> DateRange:
    """Return the dates wished for a visit, else the protocol's usual ones cut to the season."""
    own = wish.visits.get(rule.number)
    if own is not None:
        return own
    if not rule.dates:
        return wish.dates
    usual = [_in_season(yearly, wish) for yearly in rule.dates]
    of_this_year = [
        dates for dates, yearly in zip(usual, rule.dates, strict=True) if yearly.year in (None, wish.dates.first.year)
    ]
    inside = [dates for dates in of_this_year if dates.first <= wish.dates.last and dates.last >= wish.dates.first]
    if len(inside) == 1:
        return DateRange(max(inside[0].first, wish.dates.first), min(inside[0].last, wish.dates.last))
    raise InputError(_dates_fault(rule, usual))


def _in_season(yearly: YearlyRange, wish: SeasonWish) -> DateRange:
    """Return a yearly range in the year that it names, else in the season's."""
    return yearly.starting_in(yearly.year or wish.dates.first.year)


def _dates_fault(rule: VisitRule, usual: list[DateRange]) -> Fault:
    known = "; ".join(
        f"{yearly.region + ': ' if yearly.region else ''}{dates}"
        for yearly, dates in zip(rule.dates, usual, strict=True)
    )
    return Fault(
        source=f"--visit {rule.number}",
        where="",
        expected=f"dates inside the season; the protocol's own are {known}",
        found="none that is sure",
        todo=f"Say which: --visit {rule.number}=FIRST..LAST.",
    )


def _notes(protocol: Protocol, wish: SeasonWish) -> tuple[str, ...]:
    notes = []
    for rule in protocol.visits:
        if not rule.dates and rule.number not in wish.visits:
            words = f"The protocol gives visit {rule.number} no dates, so it may lie anywhere in the season"
            notes.append(f"{words}; --visit {rule.number}=FIRST..LAST narrows it.")
    if protocol.invented:
        notes.append("This protocol is invented for the demo; no survey of that name exists.")
    memory = [figure.words for figure in protocol.from_memory]
    if memory:
        notes.append(
            "Not verified in the source, check before relying on it: " + "; ".join(dict.fromkeys(memory)) + "."
        )
    return tuple(notes)
