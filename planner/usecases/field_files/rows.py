"""The rows of a volunteer's fill-in file: their own outings, with what has been recorded of them already."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, Side
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.season import Season
from planner.exchange.field_files.form import (
    CLASS,
    FIRST,
    LAST,
    FieldForm,
    FieldTable,
    FillIn,
    TableKind,
    Value,
    unread_name,
)

_SPARE_VISITS = 3
"""Rows for visits that are finished on another evening."""


@dataclass(frozen=True, slots=True)
class FieldBook:
    """What a season file holds that fill-in files are made of."""

    season: Season
    plan: Plan
    sheets: tuple[HabitatSheet, ...]
    records: tuple[VisitRecord, ...]
    form: FieldForm


def fill_in_of(book: FieldBook, volunteer: str) -> FillIn:
    """Return the fill-in file of one volunteer: of their own outings, and nobody else's name, home or number."""
    mine = book.plan.of_volunteer(volunteer)
    rows = {
        TableKind.HABITAT: [row for visit in mine for row in _habitat_rows(book, visit, volunteer)],
        TableKind.VISITS: [row for visit in mine for row in _visit_rows(book, visit, volunteer)],
        TableKind.COUNTS: [row for visit in mine for row in _count_rows(book, visit, volunteer)],
    }
    return FillIn(
        form=book.form,
        volunteer=volunteer,
        name=book.season.volunteer(volunteer).name,
        tables=tuple(_table(book.form, kind, found) for kind, found in rows.items() if found),
        cautions=book.season.protocol.safety.cautions,
    )


def _table(form: FieldForm, kind: TableKind, rows: Sequence[Mapping[str, Value]]) -> FieldTable:
    columns = form.columns(kind)
    made = tuple(tuple({"season": form.mark, **row}.get(column.key) for column in columns) for row in rows)
    return FieldTable(kind, columns, made, _SPARE_VISITS if kind is TableKind.VISITS else 0)


def _habitat_rows(book: FieldBook, visit: PlannedVisit, volunteer: str) -> Iterator[dict[str, Value]]:
    protocol = book.season.protocol
    if not protocol.visit(visit.key.number).habitat:
        return
    on_setup = visit.setup is not None and protocol.setup is not None and protocol.setup.habitat
    date = visit.setup if on_setup else visit.date
    kept = {sheet.key: sheet for sheet in book.sheets}
    for point in book.season.route(visit.key.route).points:
        key = SheetKey(visit.key.route, visit.key.number, point.number, volunteer)
        sheet = kept.get(key, HabitatSheet(key, date=date))
        for number, side in enumerate(book.form.sides):
            yield _habitat_row(book.form, sheet, side, whole=number == 0)


def _habitat_row(form: FieldForm, sheet: HabitatSheet, side: Side, *, whole: bool) -> dict[str, Value]:
    """Return one row; what is said of the whole sheet stands in the first of its rows alone."""
    key = sheet.key
    row: dict[str, Value] = {"route": key.route, "visit": key.visit, "point": key.point, "observer": key.observer}
    row |= {"side": side.value, "date": sheet.date}
    percents = next((cover.percents for cover in sheet.covers if cover.side is side), ())
    row |= {f"{CLASS}{code}": percent for code, percent in percents}
    if whole:
        row |= {"grazed": sheet.grazed_percent, "livestock": sheet.livestock}
        row |= {"note": sheet.note or None, "species": sheet.species or None}
    return row | _unread(form, sheet, side, whole=whole)


def _unread(form: FieldForm, sheet: HabitatSheet, side: Side, *, whole: bool) -> dict[str, Value]:
    """Return what could not be read, by the column where it stood: there it is mended."""
    texts = {cell.field: cell.text for cell in sheet.unread}
    return {
        column.key: texts[unread_name(column.key, side)]
        for column in form.columns(TableKind.HABITAT)
        if unread_name(column.key, side) in texts and (whole or column.key.startswith(CLASS))
    }


def _records_of(book: FieldBook, visit: PlannedVisit, volunteer: str) -> tuple[VisitRecord, ...]:
    """Return the records of a visit on which this volunteer was; where nobody is named, the plan says who was."""
    mine = (
        record
        for record in book.records
        if record.key.visit_key == visit.key and volunteer in (record.team or visit.people)
    )
    return tuple(mine)


def _visit_rows(book: FieldBook, visit: PlannedVisit, volunteer: str) -> Iterator[dict[str, Value]]:
    where: dict[str, Value] = {"route": visit.key.route, "visit": visit.key.number}
    for record in _records_of(book, visit, volunteer):
        as_planned = record.team in ((), visit.people)
        yield {
            **where,
            "date": record.key.date,
            "team": None if as_planned else ", ".join(record.team),
            "left": _clock(book, record.left_utc),
            "home": _clock(book, record.home_utc),
            **{f"{FIRST}{one.quantity.value}": one.said for one in record.weather_first},
            **{f"{LAST}{one.quantity.value}": one.said for one in record.weather_last},
            "stopped": record.stopped.value if record.stopped else None,
            "driver": volunteer,
            "km": record.km_of(volunteer) if record.team else record.distance_km,
            "note": record.note or None,
        }
    if not _records_of(book, visit, volunteer):
        yield {**where, "date": visit.date, "driver": volunteer}


def _count_rows(book: FieldBook, visit: PlannedVisit, volunteer: str) -> Iterator[dict[str, Value]]:
    records = _records_of(book, visit, volunteer)
    where: dict[str, Value] = {"route": visit.key.route, "visit": visit.key.number}
    for number, record in enumerate(records):
        another = {"date": record.key.date} if number else {}
        for count in record.counts:
            yield {**where, **another, **_count_row(book, count)}
    there = {count.key for record in records for count in record.counts}
    for pass_number in range(1, book.season.protocol.passes(visit.window) + 1):
        for point in book.season.route(visit.key.route).points:
            if (point.number, pass_number) not in there:
                yield {**where, "point": point.number, "pass": pass_number}


def _count_row(book: FieldBook, count: PointRecord) -> dict[str, Value]:
    return {
        "point": count.point,
        "pass": count.pass_number,
        "arrived": _clock(book, count.arrived_utc),
        "began": _clock(book, count.began_utc),
        "ended": _clock(book, count.ended_utc),
        "done": "yes" if count.done else "no",
        "note": count.note or None,
    }


def _clock(book: FieldBook, moment: dt.datetime | None) -> dt.time | None:
    return None if moment is None else moment.astimezone(book.season.tzinfo).time().replace(microsecond=0)
