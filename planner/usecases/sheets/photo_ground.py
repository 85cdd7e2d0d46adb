"""What photos are held against to find their points: the points of a season, its outings, its records and sheets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.field.sheet_places import habitat_visits
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.travel import geodesic_table_metres
from planner.usecases.sheets.outing_dates import outing_dates

_BEFORE = dt.timedelta(minutes=1)
_AFTER = dt.timedelta(minutes=3)
"""So long before a count, and after it, its team is taken to stand at the point: our own assumption, for people look
round before they drive on, and write times to the minute."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point, and how far from it a photo was taken."""

    route: str
    point: int
    metres: float

    def __str__(self) -> str:
        """The point in words."""
        return f"{self.route} point {self.point}"


@dataclass(frozen=True)
class PhotoGround:
    """A season as far as photos are held against it."""

    season: Season
    plan: Plan
    sheets: tuple[HabitatSheet, ...]
    records: tuple[VisitRecord, ...] = field(default=())

    @classmethod
    def of(cls, file: SeasonFile) -> PhotoGround:
        """Read it from the file."""
        return cls(file.season(), file.plan(), file.sheets(), file.records())

    def after(self, sheets: Sequence[HabitatSheet], records: Sequence[VisitRecord]) -> PhotoGround:
        """Return it as it will stand once sheets and records are kept; those of the same keys are replaced."""
        new_sheets = {one.key: one for one in self.sheets} | {one.key: one for one in sheets}
        new_records = {one.key: one for one in self.records} | {one.key: one for one in records}
        return replace(self, sheets=tuple(new_sheets.values()), records=tuple(new_records.values()))

    @cached_property
    def visits(self) -> tuple[int, ...]:
        """Numbers of the visits that have habitat estimated."""
        return habitat_visits(self.season.protocol)

    @cached_property
    def _spots(self) -> tuple[tuple[str, int, Place], ...]:
        return tuple((route.code, point.number, point.place) for route in self.season.routes for point in route.points)

    @cached_property
    def _planned(self) -> Mapping[VisitKey, PlannedVisit]:
        return self.plan.by_key

    @cached_property
    def _sheets_of(self) -> Mapping[tuple[str, int, int], Sequence[HabitatSheet]]:
        """Sheets by route, visit and point: asked for with every photo."""
        found: dict[tuple[str, int, int], list[HabitatSheet]] = {}
        for sheet in self.sheets:
            found.setdefault((sheet.key.route, sheet.key.visit, sheet.key.point), []).append(sheet)
        return found

    @cached_property
    def _dates(self) -> Mapping[VisitKey, frozenset[dt.date]]:
        return outing_dates(self.plan, self.records)

    def has(self, route: str, point: int) -> bool:
        """Whether the season has that point."""
        return any((code, number) == (route, point) for code, number, _ in self._spots)

    def spots_from(self, place: Place) -> tuple[Spot, ...]:
        """Return all points, the nearest to a place first (geodesic, WGS84)."""
        if not self._spots:
            return ()
        there = [(spot.latitude, spot.longitude) for _, _, spot in self._spots]
        (metres,) = geodesic_table_metres([(place.latitude, place.longitude)], there).tolist()
        found = (Spot(code, number, far) for (code, number, _), far in zip(self._spots, metres, strict=True))
        return tuple(sorted(found, key=lambda spot: spot.metres))

    def dates(self, route: str, visit: int, point: int) -> frozenset[dt.date]:
        """Return when habitat of a point can have been estimated on a visit."""
        there = self._sheets_of.get((route, visit, point), ())
        written = {sheet.date for sheet in there if sheet.date is not None}
        return self._dates.get(VisitKey(route, visit), frozenset()) | written

    def counted_at(self, moment: dt.datetime) -> frozenset[SheetKey]:
        """Return at which points, and on which visits, the records have somebody at a moment; no observers."""
        return frozenset(
            SheetKey(record.key.route, record.key.visit, count.point)
            for record in self.records
            for count in record.counts
            for first, last in _stay(count)
            if first <= moment <= last
        )

    def observers(self, route: str, visit: int, point: int) -> tuple[str, ...]:
        """Return whose sheets there are of a point on a visit."""
        return tuple(sheet.key.observer for sheet in self._sheets_of.get((route, visit, point), ()))

    def lead(self, route: str, visit: int) -> str:
        """Return who is planned to lead a visit; empty where it is not planned."""
        planned = self._planned.get(VisitKey(route, visit))
        return planned.lead if planned is not None else ""


def _stay(count: PointRecord) -> Iterator[tuple[dt.datetime, dt.datetime]]:
    """Yield from when to when somebody stood at a point, as far as both are written down."""
    first, last = count.arrived_utc or count.began_utc, count.ended_utc
    if first is not None and last is not None:
        yield first - _BEFORE, last + _AFTER
