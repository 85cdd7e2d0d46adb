"""Joins what was read of the conditions of evenings with what is kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from planner.domain.conditions import Conditions, with_conditions
from planner.domain.errors import Fault, InputError
from planner.domain.season import Season
from planner.exchange.reads import ConditionsRead, ConditionsRow, Origin


def merge_conditions(
    season: Season, kept: Sequence[Conditions], reads: Sequence[ConditionsRead]
) -> tuple[tuple[Conditions, ...], tuple[str, ...]]:
    """Return the conditions with what was read in them, and what is to be said of it.

    Quantity by quantity the figure read now stands; what was not read stays.

    Args:
        season: with every route that is read together with the tables.
        kept: the conditions as they stand.
        reads: the tables.

    Raises:
        InputError: with every fault: a route that the season does not have, a date outside it, a row twice.
    """
    rows = [row for read in reads for row in read.rows]
    faults = (*_strangers(season, rows), *_twice(rows))
    if faults:
        raise InputError(*faults)
    after = with_conditions(kept, [Conditions(row.date, row.route, row.known) for row in rows])
    dates = {row.date for row in rows}
    note = f"Conditions of {len(dates)} {'evening' if len(dates) == 1 else 'evenings'} read."
    return after, (note,) if rows else ()


def _strangers(season: Season, rows: Sequence[ConditionsRow]) -> Iterator[Fault]:
    codes = {route.code for route in season.routes}
    for row in rows:
        if row.route and row.route not in codes:
            yield Fault(
                row.origin.source,
                f"{row.origin.where}, column route",
                "the code of a route of this season, or nothing for every route",
                f"{row.route!r}, which is unknown",
                "Correct the code.",
            )
        if row.date not in season.dates:
            yield Fault(
                row.origin.source,
                f"{row.origin.where}, column date",
                f"a date of the season ({season.dates})",
                str(row.date),
                "Correct the date, or remove the row.",
            )


def _twice(rows: Sequence[ConditionsRow]) -> Iterator[Fault]:
    seen: dict[tuple[dt.date, str], Origin] = {}
    for row in rows:
        first = seen.setdefault((row.date, row.route), row.origin)
        if first is not row.origin:
            what = f"{row.date}, {row.route or 'every route'} once"
            yield Fault(row.origin.source, row.origin.where, what, f"it again; first in {first}", "Remove one.")
