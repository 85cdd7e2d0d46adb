"""What a sheet or a record says, part by part, so that what comes back later replaces what it holds and no more."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias, TypeVar

from planner.domain.conditions import Condition
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side, UnreadCell
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stopped, VisitRecord

_T = TypeVar("_T")
PartName: TypeAlias = tuple[str, ...]
"""Such as ('grazed',) or ('count', '3', '1', 'arrived')."""
PartValue: TypeAlias = Cover | Condition | Stopped | dt.datetime | dt.date | tuple[str, ...] | str | int | float | bool
Parts: TypeAlias = Mapping[PartName, PartValue]

COVER, COUNT, KM = "cover", "count", "km"
"""Begin the names of parts; kilometres are followed by the code of who drove them, where somebody says so."""
NOT_READ = "Could not be read: "
"""Begins a line of a record's note that says what stood in a cell."""
STRANGE_COLUMN = "the column "
"""Begins what a cell of a record is called whose heading is not known."""
_MOMENTS = ("arrived", "began", "ended")


@dataclass(frozen=True, slots=True)
class Said:
    """What one file says of a sheet or a record."""

    key: SheetKey | RecordKey
    parts: Parts
    places: Mapping[PartName, str]
    """Where each part stood: 'sheet 'Habitat', row 7'."""
    source: str
    unread: tuple[UnreadCell, ...] = ()
    """What could not be read, by the name of its part."""


@dataclass(frozen=True, slots=True)
class Changed:
    """One part that is otherwise than before."""

    name: PartName
    before: PartValue
    after: PartValue


@dataclass(frozen=True, slots=True)
class Joined:
    """Two that were joined."""

    parts: Parts
    changed: tuple[Changed, ...] = field(default=())


def joined(before: Parts, after: Parts) -> Joined:
    """Return what stands once the later parts have replaced those of the same names, and which of them differed."""
    differing = (name for name in after if name in before and before[name] != after[name])
    changed = tuple(Changed(name, before[name], after[name]) for name in differing)
    return Joined({**before, **after}, changed)


def sheet_parts(sheet: HabitatSheet) -> Parts:
    """Return what a sheet says."""
    parts: dict[PartName, PartValue] = {(COVER, cover.side.value): cover for cover in sheet.covers if cover.percents}
    whole: Mapping[str, PartValue | None] = {
        "date": sheet.date,
        "grazed": sheet.grazed_percent,
        "livestock": sheet.livestock,
        "note": sheet.note or None,
        "species": sheet.species or None,
    }
    return parts | {(name,): value for name, value in whole.items() if value is not None}


def sheet_of(said: Said, sides: Sequence[Side], before: HabitatSheet | None = None) -> HabitatSheet:
    """Return the sheet that parts make, as a draft.

    Args:
        said: all that is said of it.
        sides: what the protocol has estimated.
        before: the sheet as it stood, whose photos stay with it, and what was confirmed of its figures.
    """
    assert isinstance(said.key, SheetKey), "a sheet is made of what is said of a sheet"
    covers = (_part(said.parts, (COVER, side.value), Cover) or Cover(side) for side in sides)
    return HabitatSheet(
        key=said.key,
        covers=tuple(covers),
        date=_part(said.parts, ("date",), dt.date),
        grazed_percent=_part(said.parts, ("grazed",), int),
        livestock=_part(said.parts, ("livestock",), int),
        note=_part(said.parts, ("note",), str) or "",
        species=_part(said.parts, ("species",), str) or "",
        unread=said.unread,
        photos=before.photos if before is not None else (),
        confirmed=before.confirmed if before is not None else None,
        state=SheetState.DRAFT,
    )


def _part(parts: Parts, name: PartName, kind: type[_T]) -> _T | None:
    value = parts.get(name)
    return value if isinstance(value, kind) else None


def record_parts(record: VisitRecord) -> Parts:
    """Return what a record says."""
    whole: Mapping[str, PartValue | None] = {
        "team": record.team or None,
        "left": record.left_utc,
        "home": record.home_utc,
        "stopped": record.stopped,
        "note": record.note or None,
    }
    parts: dict[PartName, PartValue] = {(name,): value for name, value in whole.items() if value is not None}
    parts |= _km_parts(record)
    for when, weather in (("first", record.weather_first), ("last", record.weather_last)):
        parts |= {(when, one.quantity.value): one for one in weather}
    for count in record.counts:
        parts |= _count_parts(count)
    return parts


def _km_parts(record: VisitRecord) -> Parts:
    if not record.team:
        return {(KM,): record.distance_km} if record.distance_km is not None else {}
    found = ((person, record.km_of(person)) for person in record.team)
    return {(KM, person): km for person, km in found if km is not None}


def km_named(parts: Parts, team: tuple[str, ...]) -> Parts:
    """Return parts in which kilometres that nobody put their name to are the lead's."""
    unnamed = parts.get((KM,))
    if unnamed is None or not team:
        return parts
    others = {name: value for name, value in parts.items() if name != (KM,)}
    return {(KM, team[0]): unnamed, **others}


def _count_parts(count: PointRecord) -> Parts:
    where = (COUNT, str(count.point), str(count.pass_number))
    moments = {name: getattr(count, f"{name}_utc") for name in _MOMENTS}
    said: Mapping[str, PartValue | None] = {**moments, "done": count.done, "note": count.note or None}
    return {(*where, name): value for name, value in said.items() if value is not None}


def record_of(said: Said, now: Parts | None = None) -> VisitRecord:
    """Return the record that parts make, as a draft; what could not be read stands in its note.

    Args:
        said: all that is said of it.
        now: what of it came now, by which earlier lines of the note are done with; None: all.
    """
    assert isinstance(said.key, RecordKey), "a record is made of what is said of a record"
    parts = said.parts
    team = _part(parts, ("team",), tuple) or ()
    km = _km_by_person(km_named(parts, team))
    own = [km.pop(person, None) for person in team] or [km.pop(next(iter(km), ""), None)]
    note = _note_lines(said, _part(parts, ("note",), str) or "", said.parts if now is None else now)
    others = (f"{person} drove {driven:g} km." for person, driven in km.items())
    return VisitRecord(
        key=said.key,
        team=team,
        counts=tuple(_counts(parts)),
        weather_first=_weather(parts, "first"),
        weather_last=_weather(parts, "last"),
        stopped=_part(parts, ("stopped",), Stopped),
        left_utc=_part(parts, ("left",), dt.datetime),
        home_utc=_part(parts, ("home",), dt.datetime),
        distance_km=own[0],
        second_km=own[1] if len(own) > 1 else None,
        note="\n".join(dict.fromkeys((*note, *others))) if km else "\n".join(note),
        state=RecordState.DRAFT,
    )


def _km_by_person(parts: Parts) -> dict[str, float]:
    """Return who drove how far; below no name where nobody says who went or who drove."""
    found = ((name, value) for name, value in parts.items() if name[0] == KM)
    return {"".join(name[1:]): float(value) for name, value in found if isinstance(value, int | float)}


def _note_lines(said: Said, note: str, now: Parts) -> Iterator[str]:
    """Yield the note, without what could not be read once and came now, and with what cannot be read now."""
    fresh = [f"{NOT_READ}{cell.field}: {cell.text!r}" for cell in said.unread]
    mended = {words_of(name) for name in now} | {cell.field for cell in said.unread}
    mended |= {KM for name in now if name[0] == KM}
    for line in note.splitlines():
        about = line.removeprefix(NOT_READ).partition(": ")[0]
        done_with = mended & {about, about.partition(" in ")[0]} or _row_came_again(about, now)
        if not (line.startswith(NOT_READ) and done_with):
            yield line
    yield from dict.fromkeys(fresh)


def _row_came_again(about: str, now: Parts) -> bool:
    """Whether a cell of an unknown column is done with: its row came now, and says anew what it holds."""
    if not about.startswith(STRANGE_COLUMN):
        return False
    _, at_point, point = about.rpartition(" at point ")
    return any(name[:2] == (COUNT, point) if at_point else name[0] != COUNT for name in now)


def _weather(parts: Parts, when: str) -> tuple[Condition, ...]:
    return tuple(value for name, value in parts.items() if name[0] == when and isinstance(value, Condition))


def _counts(parts: Parts) -> Iterator[PointRecord]:
    """Yield the counts in the order in which they were done, as far as times tell; else as they stand."""
    found: dict[tuple[int, int], dict[PartName, PartValue]] = {}
    for name, value in parts.items():
        if name[0] == COUNT:
            found.setdefault((int(name[1]), int(name[2])), {})[name[3:]] = value
    made = [_count(point, run, said) for (point, run), said in found.items()]
    timed = sorted((count for count in made if _first_moment(count)), key=lambda count: str(_first_moment(count)))
    yield from (*timed, *(count for count in made if not _first_moment(count)))


def _first_moment(count: PointRecord) -> dt.datetime | None:
    return next((moment for moment in (count.arrived_utc, count.began_utc, count.ended_utc) if moment), None)


def _count(point: int, run: int, said: Parts) -> PointRecord:
    arrived, began, ended = (_part(said, (name,), dt.datetime) for name in _MOMENTS)
    done = said.get(("done",), True)
    return PointRecord(point, run, arrived, began, ended, bool(done), _part(said, ("note",), str) or "")


def words_of(name: PartName) -> str:
    """Return what a part is called: 'grazed', 'arrived at point 3'."""
    if name[0] == COVER:
        return "classes" if name[1] == Side.CIRCLE.value else f"classes {name[1]} of the road"
    if name[0] == COUNT:
        again = f", run {name[2]}" if name[2] != "1" else ""
        return f"{name[3]} at point {name[1]}{again}"
    if name[0] == KM:
        return " of ".join(name)
    if len(name) == 2:
        return f"{name[1].replace('_', ' ')} at the {name[0]} count"
    return {"left": "left home", "home": "home again"}.get(name[0], name[0])


def value_words(value: PartValue, zone: dt.tzinfo) -> str:
    """Return a part's value in words, moments by the season's clock."""
    if isinstance(value, Cover):
        return ", ".join(f"{code} {percent}" for code, percent in value.percents)
    if isinstance(value, Condition):
        return value.said
    if isinstance(value, dt.datetime):
        return f"{value.astimezone(zone):%H:%M}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(value) if isinstance(value, tuple) else str(value)
