"""Hours and kilometres as tables: the only ones that hold data of people."""

from __future__ import annotations

from collections.abc import Callable

from planner.domain.reports.hours import Basis, DistanceSource, PersonMonth, Work
from planner.domain.reports.season_report import SeasonReport
from planner.domain.reports.tables import Cell, Column, ColumnType, Table
from planner.domain.season import Season
from planner.usecases.reports import columns as col

_SOURCE = "visit records, else the plan"


def hours_table(report: SeasonReport, season: Season, *, names: bool) -> Table:
    """Return a row for each outing of each person.

    Args:
        report: the figures.
        season: whose volunteers they are.
        names: whether people are named; else they are known by their codes alone.
    """
    named = _named(season, names=names)
    rows = [
        (
            *named(one.person),
            one.month,
            one.date,
            one.route,
            one.visit,
            one.work.value,
            _rounded(one.hours),
            one.hours_basis.value,
            _rounded(one.km),
            one.km_source.value if one.km is not None else None,
            _rounded(one.drive_minutes),
        )
        for one in report.hours.outings
    ]
    made = (*_person_columns(names=names), *_HOUR_COLUMNS)
    return Table("hours", "one outing of one person", made, tuple(rows), personal=True)


_HOUR_COLUMNS = (
    Column("month", ColumnType.MONTH, "month of the outing", _SOURCE, required=True),
    col.date("date", "date of the outing", _SOURCE, required=True),
    col.ROUTE,
    col.VISIT,
    col.one_of("work", "what the person went out for", Work, col.PLAN),
    col.number("hours", "from leaving home to being home again; empty: nobody can tell", _SOURCE, "h"),
    col.one_of("hours_basis", "what the hours rest on", Basis, _SOURCE),
    col.number("km", "in the person's own car; empty: nobody can tell", "visit records, else the road map", "km"),
    col.one_of("km_source", "where the kilometres come from", DistanceSource, _SOURCE, required=False),
    col.number("drive_minutes", "driving that the plan expects", col.PLAN, "min"),
)


def months_table(report: SeasonReport, season: Season, *, names: bool) -> Table:
    """Return a row for each person and month, as funders ask for it."""
    named = _named(season, names=names)
    rows = [(*named(one.person), one.month, *_month(one)) for one in report.hours.by_month]
    made = (*_person_columns(names=names), *_MONTH_COLUMNS)
    return Table("hours_by_month", "one person in one month", made, tuple(rows), personal=True)


def _month(one: PersonMonth) -> tuple[Cell, ...]:
    return (
        one.outings,
        round(one.recorded_hours, 2),
        round(one.as_planned_hours, 2),
        round(one.planned_hours, 2),
        round(one.past_km, 1),
        round(one.planned_km, 1),
        one.untold,
    )


_MONTH_COLUMNS = (
    Column("month", ColumnType.MONTH, "the month", _SOURCE, required=True),
    col.count("outings", "outings made or to come", _SOURCE),
    col.number("recorded_hours", "hours of what was done, written down", col.RECORDS, "h"),
    col.number("as_planned_hours", "hours of what was done, as planned", col.PLAN, "h"),
    col.number("planned_hours", "hours of what is to come", col.PLAN, "h"),
    col.number("past_km", "kilometres of what was done", "visit records, else the road map", "km"),
    col.number("planned_km", "kilometres of what is to come", "the road map", "km"),
    col.count("untold", "outings whose hours nobody can tell, in no sum", _SOURCE),
)


def _person_columns(*, names: bool) -> tuple[Column, ...]:
    person = col.code("person", "code of the volunteer: personal data")
    return (person, col.code("name", "name of the volunteer: personal data", required=False)) if names else (person,)


def _named(season: Season, *, names: bool) -> Callable[[str], tuple[Cell, ...]]:
    known = {one.code: one.name for one in season.volunteers}

    def cells(person: str) -> tuple[Cell, ...]:
        return (person, known.get(person)) if names else (person,)

    return cells


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
