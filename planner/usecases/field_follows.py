"""What came back from the field follows its route, its points and its people when they get other names or go.

Sheets, records and what was learnt from them name routes and people by their codes, and points by their numbers. Each
function here is called inside the step that changes those.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.cancelled import CancelledVisit
from planner.domain.field.drive_factors import DriveFactor
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.store import SeasonFile


def season_with_route(season: Season, before: Route, after: Route | None) -> Season:
    """Return the season in which what is known of a route's ground and drives is known of the route as it stands now.

    Args:
        season: with the route before or after the change; its routes stay as they are.
        before: the route before the change.
        after: and after it; None: it is gone.
    """
    numbers = _new_numbers(before, after)

    def absent(one: AbsentClass) -> AbsentClass | None:
        if one.route != before.code:
            return one
        point = numbers.get(one.point, one.point)
        return replace(one, route=after.code, point=point) if after is not None and point is not None else None

    def factor(one: DriveFactor) -> DriveFactor | None:
        if one.name != before.code:
            return one
        return replace(one, name=after.code) if after is not None else None

    absent_classes = sorted(one for one in map(absent, season.absent_classes) if one is not None)
    routes = sorted(one for one in map(factor, season.drive_factors.routes) if one is not None)
    factors = replace(season.drive_factors, routes=tuple(routes))
    return replace(season, absent_classes=tuple(absent_classes), drive_factors=factors)


def follow_route(file: SeasonFile, before: Route, after: Route | None) -> None:
    """Let sheets, records and cancelled visits name a route, and its points, anew; only inside a step.

    A point is known by its place: where one was put before it, its sheets get its new number. What came back of a route
    that is gone goes with it. What came back of a point that is gone stays, and a check says so, until another point
    has its number.
    """
    numbers = _new_numbers(before, after)

    def sheet(one: HabitatSheet) -> HabitatSheet | None:
        if one.key.route != before.code:
            return one
        point = numbers.get(one.key.point, one.key.point)
        if after is None or point is None:
            return None
        return replace(one, key=replace(one.key, route=after.code, point=point))

    def record(one: VisitRecord) -> VisitRecord | None:
        if one.key.route != before.code:
            return one
        if after is None:
            return None
        counts = tuple(
            replace(count, point=point)
            for count in one.counts
            if (point := numbers.get(count.point, count.point)) is not None
        )
        return replace(one, key=replace(one.key, route=after.code), counts=counts)

    def cancelled(one: CancelledVisit) -> CancelledVisit | None:
        if one.key.route != before.code:
            return one
        return replace(one, key=VisitKey(after.code, one.key.number)) if after is not None else None

    _save(file, sheet, record)
    if after is None or after.code != before.code:
        file.save_cancelled([one for one in map(cancelled, file.cancelled()) if one is not None])


def follow_person(file: SeasonFile, old: str, new: str) -> None:
    """Let sheets and records name somebody by their new code; only inside a step."""

    def sheet(one: HabitatSheet) -> HabitatSheet:
        return replace(one, key=replace(one.key, observer=new)) if one.key.observer == old else one

    def record(one: VisitRecord) -> VisitRecord:
        return replace(one, team=tuple(new if code == old else code for code in one.team)) if old in one.team else one

    _save(file, sheet, record)


def _save(
    file: SeasonFile,
    sheet: Callable[[HabitatSheet], HabitatSheet | None],
    record: Callable[[VisitRecord], VisitRecord | None],
) -> None:
    sheets, records = file.sheets(), file.records()
    if sheets:
        file.save_sheets([one for one in map(sheet, sheets) if one is not None])
    if records:
        file.save_records([one for one in map(record, records) if one is not None])


def _new_numbers(before: Route, after: Route | None) -> Mapping[int, int | None]:
    """Return the new number of each point that is called otherwise now.

    A point that stands where it stood is known by its place. One that stands elsewhere keeps its number, unless that
    has gone to another one: then it is None.
    """
    if after is None:
        return {}
    now = {point.place: point.number for point in after.points}
    old = {point.place: point.number for point in before.points}
    handed_on = {point.number for point in after.points if old.get(point.place, point.number) != point.number}
    numbers = {number: now.get(place, None if number in handed_on else number) for place, number in old.items()}
    return {number: new for number, new in numbers.items() if number != new}
