"""The plan as rows of the season file, and back; and whom or what it names that the season does not have."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import apsw

from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.store.tables import PLAN_TABLE, Row

_STRANGERS = """
SELECT p.route || ' visit ' || p.number || ' is on a route that is not there'
FROM planned_visit p WHERE p.route NOT IN (SELECT code FROM route)
UNION ALL SELECT p.route || ' visit ' || p.number || ' is a visit that the protocol does not have'
FROM planned_visit p WHERE p.number NOT IN (SELECT number FROM visit_range)
UNION ALL SELECT p.route || ' visit ' || p.number || ' is led by ' || p.lead || ', who is not there'
FROM planned_visit p WHERE p.lead NOT IN (SELECT code FROM volunteer)
UNION ALL SELECT p.route || ' visit ' || p.number || ' is seconded by ' || p.second || ', who is not there'
FROM planned_visit p WHERE p.second NOT IN (SELECT code FROM volunteer)
"""


def write_plan(connection: apsw.Connection, plan: Plan) -> None:
    """Make the file hold that plan; rows that stay as they are, are not touched."""
    PLAN_TABLE.write(connection, (_row(visit) for visit in plan))


def read_plan(connection: apsw.Connection) -> Plan:
    """Read the plan back, equal to the one that was written.

    Raises:
        RuleError: a row was changed from outside into something impossible.
        ValueError: a date or a word was.
    """
    return Plan(tuple(_visit(row) for row in PLAN_TABLE.read(connection, "route, number")))


def strangers(connection: apsw.Connection) -> list[str]:
    """Return, in words, what the plan names that the season does not have."""
    return [str(words) for (words,) in connection.execute(_STRANGERS)]


def _row(visit: PlannedVisit) -> Row:
    return (
        visit.key.route,
        visit.key.number,
        visit.lead,
        visit.second or None,
        visit.date.isoformat(),
        visit.window,
        visit.reserve.isoformat() if visit.reserve else None,
        visit.setup.isoformat() if visit.setup else None,
        visit.status.value,
        int(visit.pinned),
    )


def _visit(row: Sequence[Any]) -> PlannedVisit:
    route, number, lead, second, date, window, reserve, setup, status, pinned = row
    return PlannedVisit(
        key=VisitKey(route, number),
        lead=lead,
        date=dt.date.fromisoformat(date),
        window=window,
        second=second or "",
        reserve=dt.date.fromisoformat(reserve) if reserve else None,
        setup=dt.date.fromisoformat(setup) if setup else None,
        status=Status(status),
        pinned=bool(pinned),
    )
