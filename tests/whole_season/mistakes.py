"""Mistakes that are planted among honest sheets and records, each with the findings that it must lead to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from planner.domain.conditions import Condition
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.field.visit_record import RecordKey, Stopped, VisitRecord
from planner.domain.finding import Finding, Rule
from planner.domain.measures import Speed
from planner.domain.plan import VisitKey
from planner.domain.weather import Quantity

Expected = tuple[Rule, str, int | None, int | None]
"""Rule, route, visit and point that a finding names."""
Circle = dict[str, int]


def place_of(finding: Finding) -> Expected:
    """Return what a finding is told by."""
    subject = finding.subject
    return finding.rule, subject.route, subject.visit, subject.point


@dataclass(slots=True)
class Returned:
    """What comes back of one visit of all routes, with the mistakes in it."""

    sheets: dict[SheetKey, HabitatSheet]
    records: dict[RecordKey, VisitRecord]
    expected: set[Expected] = field(default_factory=set)
    planted: list[str] = field(default_factory=list)

    def plant(self, words: str, *expected: Expected) -> None:
        """Write down a mistake and what has to be said of it."""
        self.planted.append(words)
        self.expected.update(expected)

    def change_sheet(self, key: SheetKey, change: Callable[[HabitatSheet], HabitatSheet]) -> None:
        """Put another sheet in the place of one."""
        self.sheets[key] = change(self.sheets[key])

    def change_record(self, visit: VisitKey, change: Callable[[VisitRecord], VisitRecord]) -> None:
        """Put another record in the place of one."""
        key = next(key for key in self.records if key.visit_key == visit)
        self.records[key] = change(self.records[key])


def percents(sheet: HabitatSheet) -> Circle:
    """Return the percentages of a sheet's circle."""
    return dict(sheet.covers[0].percents)


def with_circle(sheet: HabitatSheet, circle: Circle) -> HabitatSheet:
    """Return a sheet with another circle, on which nothing is grazed."""
    note = "seen from the road" if circle.get("OT") else sheet.note
    cover = Cover.of(Side.CIRCLE, circle.items())
    return replace(sheet, covers=(cover,), grazed_percent=0, livestock=0, note=note)


def lacking_ten(sheet: HabitatSheet) -> HabitatSheet:
    """Return a draft whose classes add up to 90."""
    circle = percents(sheet)
    largest = max(circle, key=lambda code: circle[code])
    return replace(with_circle(sheet, circle | {largest: circle[largest] - 10}), state=SheetState.DRAFT)


def not_in_tens(sheet: HabitatSheet) -> HabitatSheet:
    """Return a draft with a 5 in two classes, which add up all the same."""
    circle = percents(sheet)
    first, second = sorted(circle, key=lambda code: -circle[code])[:2]
    circle |= {first: circle[first] - 5, second: circle[second] + 5}
    return replace(with_circle(sheet, circle), state=SheetState.DRAFT)


def short_count(record: VisitRecord) -> VisitRecord:
    """Return a record whose third count ended two minutes early."""
    third = record.counts[2]
    assert third.ended_utc is not None
    early = replace(third, ended_utc=third.ended_utc - dt.timedelta(minutes=2))
    return replace(record, counts=(*record.counts[:2], early, *record.counts[3:]))


def last_count_late(record: VisitRecord, minutes: int) -> VisitRecord:
    """Return a record whose last count came so much later, and its team home with it."""
    late = dt.timedelta(minutes=minutes)
    last = record.counts[-1]
    assert last.began_utc is not None
    assert last.ended_utc is not None
    assert record.home_utc is not None
    moved = replace(last, began_utc=last.began_utc + late, ended_utc=last.ended_utc + late)
    return replace(record, counts=(*record.counts[:-1], moved), home_utc=record.home_utc + late)


def windy_at_the_end(record: VisitRecord) -> VisitRecord:
    """Return a record with wind past the protocol's 19 km/h at the last count."""
    others = tuple(one for one in record.weather_last if one.quantity is not Quantity.WIND)
    return replace(record, weather_last=(Condition(Quantity.WIND, Speed(31, "km/h")), *others))


def stopped_after(record: VisitRecord, points: int) -> VisitRecord:
    """Return a record of a team that the weather sent home after some points."""
    return replace(record, counts=record.counts[:points], stopped=Stopped.WEATHER, distance_km=None, home_utc=None)


def wrong_order(record: VisitRecord) -> VisitRecord:
    """Return a record in which the second and the third point were counted the wrong way round."""
    first, second, third, *rest = record.counts
    return replace(
        record, counts=(first, replace(second, point=third.point), replace(third, point=second.point), *rest)
    )
