"""Joins what was read of the weather with the season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from planner.domain.errors import Fault
from planner.domain.evening_records import estimated
from planner.domain.lost_evenings import (
    HALF_MONTHS,
    USUAL_PERSISTENCE,
    LostEvenings,
    half_month_name,
    half_months_of,
)
from planner.domain.season import Season
from planner.exchange.reads import ChanceRow, ChancesRead, EveningRow, EveningsRead, Origin, Read


def with_weather(season: Season, reads: Sequence[Read]) -> tuple[Season, tuple[str, ...]]:
    """Return the season with the chances of lost evenings as read, and what is to be said of them.

    Records of past evenings replace all that stood: the chances are estimated from those read now, and from no others.
    A table of chances replaces the half-months that it names. Those that nobody ever named lie outside the season,
    where they change nothing, and get the mean of the others; a persistence that nobody named is the usual one.
    """
    evenings, chances = _evenings(reads), _chances(reads)
    if evenings:
        weather = estimated([(row.date, row.lost) for row in evenings])
        lost = sum(row.lost for row in evenings)
        source = f"Estimated from {len(evenings)} past evenings, {lost} of them lost"
    elif chances:
        weather = _as_said(season.lost_evenings, chances)
        source = "The coordinator's own chances"
    else:
        return season, ()
    return replace(season, lost_evenings=weather), (f"{source}: in this season {weather.said_for(season.dates)}.",)


def weather_faults(season: Season, reads: Sequence[Read]) -> Iterator[Fault]:
    """Yield what is wrong with the weather once all files are looked at together."""
    evenings, chances = _evenings(reads), _chances(reads)
    yield from _twice((row.origin, row.date, f"the evening of {row.date}") for row in evenings)
    yield from _twice((row.origin, row.half_month, half_month_name(row.half_month)) for row in chances)
    yield from _two_persistences(chances)
    if evenings and chances:
        yield Fault(
            chances[0].origin.source,
            "",
            "either past evenings or chances of a lost one",
            f"both: past evenings stand in {evenings[0].origin.source}",
            "Import one of the two; what is imported last stands.",
        )
    if chances and season.lost_evenings is None:
        yield from _missing(season, chances)


def _evenings(reads: Sequence[Read]) -> list[EveningRow]:
    return [row for read in reads if isinstance(read, EveningsRead) for row in read.rows]


def _chances(reads: Sequence[Read]) -> list[ChanceRow]:
    return [row for read in reads if isinstance(read, ChancesRead) for row in read.rows]


def _as_said(before: LostEvenings | None, rows: Sequence[ChanceRow]) -> LostEvenings:
    said = {row.half_month: row.chance for row in rows}
    mean = sum(said.values()) / len(said)
    stood = before.chances if before is not None else (mean,) * HALF_MONTHS
    usual = before.persistence if before is not None else USUAL_PERSISTENCE
    return LostEvenings(
        chances=tuple(said.get(number, chance) for number, chance in enumerate(stood)),
        persistence=next((row.persistence for row in rows if row.persistence is not None), usual),
    )


def _twice(things: Iterable[tuple[Origin, dt.date | int, str]]) -> Iterator[Fault]:
    seen: dict[dt.date | int, Origin] = {}
    for origin, key, what in things:
        first = seen.setdefault(key, origin)
        if first is not origin:
            yield Fault(origin.source, origin.where, f"{what} once", f"it again; first in {first}", "Remove one.")


def _two_persistences(rows: Sequence[ChanceRow]) -> Iterator[Fault]:
    named = [row for row in rows if row.persistence is not None]
    for row in named:
        if row.persistence != named[0].persistence:
            yield Fault(
                row.origin.source,
                f"{row.origin.where}, column persistence_percent",
                f"one persistence for the season, as in {named[0].origin}",
                f"{100 * (row.persistence or 0.0):g} beside {100 * (named[0].persistence or 0.0):g}",
                "Leave the cell empty, or write the same figure.",
            )


def _missing(season: Season, rows: Sequence[ChanceRow]) -> Iterator[Fault]:
    said = {row.half_month for row in rows}
    missing = [half_month_name(number) for number in half_months_of(season.dates) if number not in said]
    if missing:
        yield Fault(
            rows[0].origin.source,
            "column half_month",
            f"a row for every half-month of the season ({season.dates})",
            f"none for {', '.join(missing)}",
            "Add the rows.",
        )
