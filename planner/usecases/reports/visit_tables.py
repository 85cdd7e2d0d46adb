"""Visits, counts, weather and progress as tables without personal data."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator

from planner.domain.conditions import Seen
from planner.domain.field.visit_record import RecordState, Stopped, VisitRecord
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import LossKind, SeasonReport
from planner.domain.reports.tables import Cell, Column, ColumnType, Table
from planner.domain.season import Season
from planner.domain.weather import Quantity
from planner.usecases.reports import columns as col
from planner.usecases.season.snapshot import Snapshot

_STATES = tuple(VisitState)
_RECORD_STATE = col.one_of("record_state", "whether the record is final", RecordState, col.RECORDS)


def visits_table(report: SeasonReport, found: Snapshot) -> Table:
    """Return a row for each visit of each route, filled or not."""
    planned = found.plan.by_key
    names = {route.code: route for route in found.season.routes}
    rows = []
    for one in report.progress.standings:
        visit, route = planned.get(one.key), names[one.key.route]
        dates = found.season.visit_dates(route, one.key.number)
        setup = visit.setup if visit is not None else None
        window = visit.window if visit is not None else None
        sheets = one.sheets
        head: tuple[Cell, ...] = (one.key.route, route.name, one.area, one.key.number, dates.first, dates.last)
        stands: tuple[Cell, ...] = (one.state.value, one.date, one.reserve, setup, window)
        figures: tuple[Cell, ...] = (one.points, one.counted, one.standing, one.evenings)
        rows.append((*head, *stands, *figures, sheets.due, sheets.final, sheets.draft, sheets.missing))
    return Table("visits", "one visit of one route, filled or not", _VISIT_COLUMNS, tuple(rows))


_VISIT_COLUMNS = (
    col.ROUTE,
    col.code("name", "name of the route", required=False),
    col.AREA,
    col.VISIT,
    col.date("first_date", "first date that the visit may have", col.SEASON, required=True),
    col.date("last_date", "last date that the visit may have", col.SEASON, required=True),
    col.one_of("state", "where the visit stands on the day of the report", _STATES, "the plan and visit records"),
    col.date("date", "date planned, or on which it was done", col.PLAN),
    col.date("reserve_date", "date held back in case weather cancels it", col.PLAN),
    col.date("setup_date", "date of the set-up", col.PLAN),
    col.code("window", "light window of the protocol that is used", col.PLAN, required=False),
    col.count("points", "points of the route", col.SEASON),
    col.count("points_counted", "points counted to the end in a final record", col.RECORDS),
    col.count(
        "points_standing",
        "of these, points that stand by the protocol, all evenings together",
        "judged by the protocol",
    ),
    col.count("evenings", "final records of the visit", col.RECORDS),
    col.count("sheets_due", "points whose habitat the protocol wants on this visit", "the protocol"),
    col.count("sheets_final", "of these, points with a sheet handed in", col.SHEETS),
    col.count("sheets_draft", "of these, points whose sheet is begun only", col.SHEETS),
    col.count("sheets_missing", "of these, points without a sheet though the visit has been made", col.SHEETS),
)


def counts_table(found: Snapshot) -> Table:
    """Return a row for each count at each point."""
    rows = [
        (
            *_evening(record),
            place,
            one.point,
            one.pass_number,
            one.done,
            *_moment(found.season, one.arrived_utc),
            *_moment(found.season, one.began_utc),
            *_moment(found.season, one.ended_utc),
        )
        for record in found.records
        for place, one in enumerate(record.counts, start=1)
    ]
    return Table("counts", "one count at one point, as it was written down", _COUNT_COLUMNS, tuple(rows))


def _moments(name: str, words: str) -> tuple[Column, Column]:
    source = col.RECORDS
    return (
        Column(f"{name}_utc", ColumnType.MOMENT, f"{words}, in UTC", source),
        Column(f"{name}_local", ColumnType.MOMENT, f"{words}, in the season's zone with its offset", source),
    )


_COUNT_COLUMNS = (
    col.ROUTE,
    col.VISIT,
    col.EVENING,
    _RECORD_STATE,
    col.count("order", "place in the order in which the counts were done", col.RECORDS, least=1.0),
    col.POINT,
    col.count("pass", "pass along the route, where the protocol has several", col.RECORDS, least=1.0),
    Column("done", ColumnType.BOOLEAN, "whether the point was counted to the end", col.RECORDS, required=True),
    *_moments("arrived", "when the car stopped there"),
    *_moments("began", "when the count began"),
    *_moments("ended", "when the count ended"),
)


def weather_table(found: Snapshot) -> Table:
    """Return a row for each quantity of the weather that was written down."""
    rows = [
        (
            *_evening(record),
            at,
            one.quantity.value,
            one.measured.value if one.measured is not None else None,
            one.measured.unit if one.measured is not None else None,
            one.seen.value if one.seen is not None else None,
        )
        for record in found.records
        for at, weather in (("first", record.weather_first), ("last", record.weather_last))
        for one in weather
    ]
    return Table("weather", "one quantity of the weather at one end of the counts", _WEATHER_COLUMNS, tuple(rows))


_WEATHER_COLUMNS = (
    col.ROUTE,
    col.VISIT,
    col.EVENING,
    _RECORD_STATE,
    col.one_of("at", "at the first count or at the last", ("first", "last"), col.RECORDS),
    col.one_of("quantity", "what was judged", Quantity, col.RECORDS),
    Column("value", ColumnType.NUMBER, "figure, where it was measured", col.RECORDS, unit="as in the column unit"),
    col.code("unit", "unit of the figure", col.RECORDS, required=False),
    col.one_of("seen", "word, where it was judged by eye", Seen, col.RECORDS, required=False),
)


def evenings_table(found: Snapshot) -> Table:
    """Return a row for each record."""
    rows = [
        (
            *_evening(record),
            len(record.done),
            len({count.point for count in record.done}),
            record.stopped.value if record.stopped is not None else None,
        )
        for record in found.records
    ]
    return Table("evenings", "one record: one evening's counts of one visit", _EVENING_COLUMNS, tuple(rows))


_EVENING_COLUMNS = (
    col.ROUTE,
    col.VISIT,
    col.EVENING,
    _RECORD_STATE,
    col.count("counts_done", "counts done to the end, all passes", col.RECORDS),
    col.count("points_counted", "points counted to the end", col.RECORDS),
    col.one_of("stopped", "why the team stopped early; empty where it did not", Stopped, col.RECORDS, required=False),
)


def progress_table(report: SeasonReport) -> Table:
    """Return how many visits stand where, for each number of visit, area and state."""
    counted = Counter((one.key.number, one.area, one.state) for one in report.progress.standings)
    areas = [tally.name for tally in report.progress.by_area]
    rows = [
        (number, area, state.value, counted[number, area, state])
        for number in range(1, len(report.progress.by_visit) + 1)
        for area in areas
        for state in VisitState
    ]
    made = (
        col.VISIT,
        col.code("area", f"area of the routes. {report.progress.area_words}"),
        col.one_of("state", "where the visits stand on the day of the report", _STATES, "the plan and visit records"),
        col.count("visits", "visits of that number and area that stand there", "counted", "visits"),
    )
    return Table("progress", "the visits of one number in one area that stand in one state", made, tuple(rows))


def lost_table(report: SeasonReport) -> Table:
    """Return the evenings that were lost, wholly or in part."""
    rows = [(one.kind.value, one.date, one.visit.route, one.visit.number) for one in report.lost]
    until = report.lost_unknown_until
    unknown = f". Up to {until} nothing is known of what was cancelled" if until is not None else ""
    source = f"what was cancelled in the season file, and visit records{unknown}"
    kinds = "cancelled: by weather beforehand; road: closed; set-up: its day, by weather; else why a team stopped early"
    made = (
        col.one_of("kind", kinds, LossKind, source),
        col.date("date", "the one that was lost, wholly or in part", source, required=True),
        col.ROUTE,
        col.VISIT,
    )
    return Table("lost", "one date of one visit that was lost, wholly or in part", made, tuple(rows))


def _evening(record: VisitRecord) -> tuple[Cell, ...]:
    return record.key.route, record.key.visit, record.key.date, record.state.value


def _moment(season: Season, moment: dt.datetime | None) -> Iterator[Cell]:
    """Yield a moment in UTC and in the season's zone, to the second."""
    whole = moment.replace(microsecond=0) if moment is not None else None
    yield whole
    yield whole.astimezone(season.tzinfo) if whole is not None else None
