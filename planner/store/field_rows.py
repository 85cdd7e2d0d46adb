"""Habitat sheets, visit records and cancelled visits as rows of the season file, and back."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Sequence
from typing import Any

import apsw

from planner.domain.conditions import MEASURES, Condition, Seen
from planner.domain.field.cancelled import CancelledVisit, CancelReason
from planner.domain.field.habitat_sheet import (
    Confirmed,
    Cover,
    HabitatSheet,
    Photo,
    SheetKey,
    SheetState,
    Side,
    UnreadCell,
)
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stood, Stopped, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.domain.weather import Quantity
from planner.store.tables import CANCELLED_VISIT_TABLE, HABITAT_SHEET_TABLE, VISIT_RECORD_TABLE, Row


def write_sheets(connection: apsw.Connection, kept: Iterable[HabitatSheet]) -> None:
    """Make the file hold these sheets; rows that stay as they are, are not touched."""
    HABITAT_SHEET_TABLE.write(connection, (_sheet_row(one) for one in kept))


def read_sheets(connection: apsw.Connection) -> tuple[HabitatSheet, ...]:
    """Read the sheets back, by route, visit, point and observer.

    Raises:
        RuleError: a row was changed from outside into something impossible.
        ValueError: a date, a word or a list was.
    """
    return tuple(_sheet(row) for row in HABITAT_SHEET_TABLE.read(connection, "route, visit, point, observer"))


def write_records(connection: apsw.Connection, kept: Iterable[VisitRecord]) -> None:
    """Make the file hold these records; rows that stay as they are, are not touched."""
    VISIT_RECORD_TABLE.write(connection, (_record_row(one) for one in kept))


def read_records(connection: apsw.Connection) -> tuple[VisitRecord, ...]:
    """Read the records back, by route, visit and date.

    Raises:
        RuleError: a row was changed from outside into something impossible.
        ValueError: a date, a word or a list was.
    """
    return tuple(_record(row) for row in VISIT_RECORD_TABLE.read(connection, "route, visit, date"))


def write_cancelled(connection: apsw.Connection, kept: Iterable[CancelledVisit]) -> None:
    """Make the file hold these cancelled visits; rows that stay as they are, are not touched."""
    CANCELLED_VISIT_TABLE.write(
        connection,
        (
            (
                one.key.route,
                one.key.number,
                one.date.isoformat(),
                int(one.setup),
                one.reason.value,
                one.when_utc.astimezone(dt.UTC).isoformat(),
            )
            for one in kept
        ),
    )


def read_cancelled(connection: apsw.Connection) -> tuple[CancelledVisit, ...]:
    """Read the cancelled visits back, by date, route and visit.

    Raises:
        RuleError: a moment lost its time zone from outside.
        ValueError: a date or a word was changed from outside.
    """
    rows: list[Any] = CANCELLED_VISIT_TABLE.read(connection, "date, route, visit, setup")
    return tuple(
        CancelledVisit(
            VisitKey(route, visit),
            dt.date.fromisoformat(date),
            CancelReason(reason),
            dt.datetime.fromisoformat(when),
            bool(setup),
        )
        for route, visit, date, setup, reason, when in rows
    )


def read_cancelled_since(connection: apsw.Connection) -> int:
    """Return the number of the step up to which an older release kept no cancelled visits; 0: none did.

    Raises:
        ValueError: it was taken out from outside.
    """
    row = connection.execute("SELECT step FROM cancelled_since").fetchone()
    if row is None:
        raise ValueError("it has lost since when it keeps cancelled visits")
    return int(row[0])


def _sheet_row(sheet: HabitatSheet) -> Row:
    key = sheet.key
    return (
        key.route,
        key.visit,
        key.point,
        key.observer,
        sheet.date.isoformat() if sheet.date else None,
        _json([[cover.side.value, dict(cover.percents)] for cover in sheet.covers]),
        sheet.grazed_percent,
        sheet.livestock,
        sheet.note,
        sheet.species,
        _json([_photo_plain(photo) for photo in sheet.photos]),
        _json([[cell.field, cell.text] for cell in sheet.unread]),
        sheet.state.value,
        _json([sheet.confirmed.figures, sheet.confirmed.note]) if sheet.confirmed is not None else None,
    )


def _sheet(row: Sequence[Any]) -> HabitatSheet:
    route, visit, point, observer, date, covers, grazed, livestock, note, species, photos, unread, *last = row
    state, confirmed = last
    return HabitatSheet(
        key=SheetKey(route, visit, point, observer),
        covers=tuple(Cover.of(Side(side), percents.items()) for side, percents in json.loads(covers)),
        date=dt.date.fromisoformat(date) if date else None,
        grazed_percent=grazed,
        livestock=livestock,
        note=note,
        species=species,
        photos=tuple(_photo(*plain) for plain in json.loads(photos)),
        unread=tuple(UnreadCell(field, text) for field, text in json.loads(unread)),
        state=SheetState(state),
        confirmed=Confirmed(*json.loads(confirmed)) if confirmed is not None else None,
    )


def _photo_plain(photo: Photo) -> list[Any]:
    place = [photo.place.latitude, photo.place.longitude] if photo.place else None
    return [photo.content_hash, photo.name, place, photo.taken, photo.belongs]


def _photo(content_hash: str, name: str, place: list[float] | None, taken: str, belongs: bool) -> Photo:
    return Photo(content_hash, name, Place(*place) if place else None, taken, belongs)


def _record_row(record: VisitRecord) -> Row:
    key = record.key
    return (
        key.route,
        key.visit,
        key.date.isoformat(),
        _json(record.team),
        _json([_count_plain(count) for count in record.counts]),
        _json([_condition_plain(one) for one in record.weather_first]),
        _json([_condition_plain(one) for one in record.weather_last]),
        record.stopped.value if record.stopped else None,
        _iso(record.left_utc),
        _iso(record.home_utc),
        record.distance_km,
        record.second_km,
        record.note,
        record.state.value,
        _json(_stood_plain(record.stood)) if record.stood is not None else None,
        record.let_stand,
    )


def _record(row: Sequence[Any]) -> VisitRecord:
    route, visit, date, team, counts, first, last, stopped, left, home, *more = row
    distance, second, note, state, stood, let_stand = more
    return VisitRecord(
        key=RecordKey(route, visit, dt.date.fromisoformat(date)),
        team=tuple(json.loads(team)),
        counts=tuple(_count(*plain) for plain in json.loads(counts)),
        weather_first=tuple(_condition(*plain) for plain in json.loads(first)),
        weather_last=tuple(_condition(*plain) for plain in json.loads(last)),
        stopped=Stopped(stopped) if stopped else None,
        left_utc=_moment(left),
        home_utc=_moment(home),
        distance_km=distance,
        second_km=second,
        note=note,
        state=RecordState(state),
        stood=_stood(VisitKey(route, visit), json.loads(stood)) if stood is not None else None,
        let_stand=let_stand,
    )


def _stood_plain(stood: Stood) -> list[Any]:
    """Return how a visit stood as a list; an empty one where it was not planned."""
    was = stood.planned
    if was is None:
        return []
    dates = [_iso_date(day) for day in (was.date, was.reserve, was.setup)]
    return [was.lead, was.second, was.window, *dates, was.status.value, was.pinned]


def _stood(key: VisitKey, plain: list[Any]) -> Stood:
    if not plain:
        return Stood(None)
    lead, second, window, date, reserve, setup, status, pinned = plain
    later, earlier = (dt.date.fromisoformat(day) if day else None for day in (reserve, setup))
    day = dt.date.fromisoformat(date)
    return Stood(PlannedVisit(key, lead, day, window, second, later, earlier, Status(status), pinned))


def _iso_date(day: dt.date | None) -> str | None:
    return day.isoformat() if day is not None else None


def _count_plain(count: PointRecord) -> list[Any]:
    moments = (count.arrived_utc, count.began_utc, count.ended_utc)
    return [count.point, count.pass_number, *map(_iso, moments), count.done, count.note]


def _count(point: int, run: int, arrived: str, began: str, ended: str, done: bool, note: str) -> PointRecord:
    return PointRecord(point, run, _moment(arrived), _moment(began), _moment(ended), done, note)


def _condition_plain(one: Condition) -> list[Any]:
    figure = [one.measured.value, one.measured.unit] if one.measured is not None else [None, None]
    return [one.quantity.value, *figure, one.seen.value if one.seen is not None else None]


def _condition(quantity: str, value: float | None, unit: str, seen: str | None) -> Condition:
    kind = Quantity(quantity)
    measured = MEASURES[kind](value, unit) if value is not None else None
    return Condition(kind, measured, Seen(seen) if seen is not None else None)


def _iso(moment: dt.datetime | None) -> str | None:
    return moment.isoformat() if moment is not None else None


def _moment(text: str | None) -> dt.datetime | None:
    return dt.datetime.fromisoformat(text) if text else None


def _json(plain: object) -> str:
    return json.dumps(plain, ensure_ascii=False, allow_nan=False)
