"""Conditions and check-ins as rows of the season file, and back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Any

import apsw

from planner.domain.check_in import CheckIn, Stage
from planner.domain.conditions import MEASURES, Condition, Conditions, Seen
from planner.domain.measures import Measure
from planner.domain.weather import Quantity
from planner.store.tables import CHECK_IN_TABLE, CONDITION_TABLE, Row


def write_conditions(connection: apsw.Connection, kept: Iterable[Conditions]) -> None:
    """Make the file hold these conditions; rows that stay as they are, are not touched."""
    CONDITION_TABLE.write(connection, (row for one in kept for row in _condition_rows(one)))


def read_conditions(connection: apsw.Connection) -> tuple[Conditions, ...]:
    """Read the conditions back, by date and route.

    Raises:
        RuleError: a row was changed from outside into something impossible.
        ValueError: a date or a word was.
    """
    found: dict[tuple[str, str], list[Condition]] = {}
    for date, route, *condition in CONDITION_TABLE.read(connection, "date, route, quantity"):
        found.setdefault((str(date), str(route)), []).append(_condition(*condition))
    return tuple(Conditions(dt.date.fromisoformat(date), route, tuple(known)) for (date, route), known in found.items())


def write_check_ins(connection: apsw.Connection, kept: Iterable[CheckIn]) -> None:
    """Make the file hold these check-ins; rows that stay as they are, are not touched."""
    CHECK_IN_TABLE.write(connection, (_check_in_row(one) for one in kept))


def read_check_ins(connection: apsw.Connection) -> tuple[CheckIn, ...]:
    """Read the check-ins back, by date, route, volunteer and moment.

    Raises:
        RuleError: a moment lost its time zone from outside.
        ValueError: a date or a word was changed from outside.
    """
    rows: list[Any] = CHECK_IN_TABLE.read(connection, "date, route, volunteer, when_utc, stage")
    return tuple(
        CheckIn(dt.date.fromisoformat(date), route, volunteer, Stage(stage), dt.datetime.fromisoformat(when))
        for date, route, volunteer, stage, when in rows
    )


def _condition_rows(conditions: Conditions) -> Iterator[Row]:
    for one in conditions.known:
        figure = (one.measured.value, one.measured.unit) if one.measured is not None else (None, None)
        seen = one.seen.value if one.seen is not None else None
        yield conditions.date.isoformat(), conditions.route, one.quantity.value, *figure, seen


def _condition(quantity: Any, value: Any, unit: Any, seen: Any) -> Condition:  # noqa: ANN401 - cells of a row
    kind = Quantity(quantity)
    measured: Measure | None = MEASURES[kind](value, unit) if value is not None else None
    return Condition(kind, measured, Seen(seen) if seen is not None else None)


def _check_in_row(one: CheckIn) -> Row:
    return one.date.isoformat(), one.route, one.volunteer, one.stage.value, one.when_utc.isoformat()
