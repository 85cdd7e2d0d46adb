"""The plan as one tidy table: a row for each visit of each route, filled or not."""

from __future__ import annotations

import csv
import datetime as dt
import io
from pathlib import Path

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.exchange.formula_text import guarded
from planner.exchange.writing import write_whole

PLAN_COLUMNS = ("route", "name", "visit", "date", "window", "lead", "second", "reserve", "setup", "status")
UNFILLED = "unfilled"


def plan_rows(season: Season, plan: Plan) -> list[tuple[str | int, ...]]:
    """Return the plan as rows of :data:`PLAN_COLUMNS`, in the season's order of routes, then by visit.

    People are given by code alone, so that the table can be passed on without personal data. Dates are in ISO form,
    empty where there is none.
    """
    filled = plan.by_key
    return [
        _row(route.code, route.name, number, filled.get(VisitKey(route.code, number)))
        for route in season.routes
        for number in range(1, len(season.visits) + 1)
    ]


def write_plan_table(path: Path, season: Season, plan: Plan) -> Path:
    """Write the plan as CSV in UTF-8 and return its path; raises InputError where it cannot be written."""
    text = io.StringIO()
    rows = ([guarded(cell) if isinstance(cell, str) else cell for cell in row] for row in plan_rows(season, plan))
    csv.writer(text, lineterminator="\n").writerows([PLAN_COLUMNS, *rows])
    write_whole(path, text.getvalue().encode())
    return path


def _row(code: str, name: str, number: int, visit: PlannedVisit | None) -> tuple[str | int, ...]:
    if visit is None:
        return (code, name, number, "", "", "", "", "", "", UNFILLED)
    return (
        code,
        name,
        number,
        _day(visit.date),
        visit.window,
        visit.lead,
        visit.second,
        _day(visit.reserve),
        _day(visit.setup),
        visit.status.value,
    )


def _day(day: dt.date | None) -> str:
    return "" if day is None else day.isoformat()
