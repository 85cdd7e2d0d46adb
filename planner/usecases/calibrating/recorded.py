"""The drives that visit records tell of, each beside what it was expected to take."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.season import Season
from planner.travel import LatLon, RoadNetwork, estimate_minutes, walked_minutes

ESTIMATED = ""
"""Stands for the highway class of a drive without roads."""


class LegKind(StrEnum):
    """Where a recorded drive leads."""

    OUT = "out"
    """From home to the first count."""
    BETWEEN = "between"
    """From point to point."""
    HOME = "home"
    """From the last count to home."""


@dataclass(frozen=True, slots=True)
class LegName:
    """Names one drive of one record."""

    record: RecordKey
    kind: LegKind
    start: int | None
    """Number of the point that was left; None: home."""
    end: int | None
    """Number of the point that was reached; None: home."""

    def __str__(self) -> str:
        """The drive in words."""
        start = "home" if self.start is None else f"point {self.start}"
        end = "home" if self.end is None else f"point {self.end}"
        return f"{self.record}, {start} to {end}"


@dataclass(frozen=True, slots=True)
class RecordedLeg:
    """One drive that was written down."""

    name: LegName
    taken_minutes: float
    """From departure to arrival, as written."""
    beside_minutes: float
    """Of these, the stop overhead and the walk back to the car: what is not driving."""
    by_class: tuple[tuple[str, float], ...]
    """Expected driving by the road map at the season's speeds, by highway class; ``ESTIMATED`` without roads."""

    @property
    def driven_minutes(self) -> float:
        """Recorded driving; 0 or less where the rounding of times makes it so."""
        return self.taken_minutes - self.beside_minutes

    @property
    def expected_minutes(self) -> float:
        """Expected driving on all classes."""
        return sum(minutes for _, minutes in self.by_class)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A drive, or a whole record, that tells nothing, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Recorded:
    """All that records tell of drives."""

    legs: tuple[RecordedLeg, ...]
    left_out: tuple[LeftOut, ...]
    records: int
    """Records that at least one drive comes from."""


def recorded_drives(season: Season, network: RoadNetwork | None, records: Sequence[VisitRecord]) -> Recorded:
    """Return the drives of final records, and what is left out of them.

    A drive is from the end of one count (or from home) to the arrival at the next point (or at home), in the order in
    which the counts were done. The protocol's stop overhead, and where a point lies off its road the walk back to the
    car, are taken off: plans add them to each drive whatever the roads are like.

    Args:
        season: as it stands.
        network: its roads at its own speeds, as its homes are served, without what recorded drives came to.
        records: of all visits.
    """
    legs: list[RecordedLeg] = []
    left: list[LeftOut] = []
    told, known = 0, _Known(network)
    for record in records:
        if record.state is not RecordState.FINAL:
            left.append(LeftOut(str(record.key), "the record is a draft: finish it first"))
            continue
        route = next((route for route in season.routes if route.code == record.key.route), None)
        if route is None:
            left.append(LeftOut(str(record.key), "the season has no such route with points"))
            continue
        ground = _Ground(season, known, route, _home(season, record))
        found = [ground.leg(span) for span in _spans(record)]
        legs += (one for one in found if isinstance(one, RecordedLeg))
        left += (one for one in found if isinstance(one, LeftOut))
        told += any(isinstance(one, RecordedLeg) for one in found)
    return Recorded(tuple(legs), tuple(left), told)


def drives_written(record: VisitRecord) -> int:
    """Return of how many drives a record has departure and arrival, the one before the other."""
    return sum(
        span.left_utc is not None and span.arrived_utc is not None and span.left_utc < span.arrived_utc
        for span in _spans(record)
    )


@dataclass(frozen=True, slots=True)
class _Span:
    """A drive as it is written down."""

    name: LegName
    left_utc: dt.datetime | None
    arrived_utc: dt.datetime | None


def _spans(record: VisitRecord) -> Iterator[_Span]:
    """Yield the drives of a record; those from and to home only where somebody wrote them down."""
    counts = record.counts
    if not counts:
        return
    first, last = counts[0], counts[-1]
    if record.left_utc is not None:
        yield _Span(LegName(record.key, LegKind.OUT, None, first.point), record.left_utc, first.arrived_utc)
    for before, after in pairwise(counts):
        if before.point != after.point:
            name = LegName(record.key, LegKind.BETWEEN, before.point, after.point)
            yield _Span(name, before.ended_utc, after.arrived_utc)
    if record.home_utc is not None:
        yield _Span(LegName(record.key, LegKind.HOME, last.point, None), last.ended_utc, record.home_utc)


def _home(season: Season, record: VisitRecord) -> Place | None:
    """Return where the lead lives; None where it is not written who went, or nobody knows them."""
    lead = record.team[0] if record.team else ""
    return next((volunteer.home for volunteer in season.volunteers if volunteer.code == lead), None)


class _Known:
    """Drives by the road map, each looked for once: visit after visit goes the same ways."""

    def __init__(self, network: RoadNetwork | None) -> None:
        self._network = network
        self._drives: dict[tuple[LatLon, LatLon], tuple[tuple[str, float], ...]] = {}
        self._walks: dict[LatLon, float] = {}

    def expected(self, start: LatLon, end: LatLon) -> tuple[tuple[str, float], ...]:
        """Return the minutes of a drive by highway class; none where no road leads there."""
        if (start, end) not in self._drives:
            self._drives[start, end] = tuple(sorted(self._looked_for(start, end).items()))
        return self._drives[start, end]

    def _looked_for(self, start: LatLon, end: LatLon) -> dict[str, float]:
        network = self._network
        if network is None or not all(network.on_road([start, end])):
            return {ESTIMATED: float(estimate_minutes([start], [end])[0, 0])}
        return network.minutes_by_kind(start, end)

    def walked(self, start: LatLon) -> float:
        """Return the minutes on foot from a place to the car on its road."""
        if self._network is None:
            return 0.0
        if start not in self._walks:
            self._walks[start] = float(walked_minutes(self._network.off_road_metres([start]))[0])
        return self._walks[start]


@dataclass(frozen=True, slots=True)
class _Ground:
    """Where the drives of one record lead."""

    season: Season
    drives: _Known
    route: Route
    home: Place | None

    def leg(self, span: _Span) -> RecordedLeg | LeftOut:
        """Return a drive beside what was expected of it, or why it tells nothing."""
        start, end = self._spot(span.name.start), self._spot(span.name.end)
        if start is None or end is None:
            return LeftOut(str(span.name), self._nowhere(span.name))
        if span.left_utc is None or span.arrived_utc is None:
            lacking = "departure" if span.left_utc is None else "arrival"
            return LeftOut(str(span.name), f"the {lacking} is not written down")
        taken = (span.arrived_utc - span.left_utc).total_seconds() / 60.0
        if taken < 0.0:
            return LeftOut(str(span.name), "the arrival is before the departure")
        if taken == 0.0:
            return LeftOut(str(span.name), "departure and arrival are written down as the same moment")
        beside = self.season.protocol.travel.stop_overhead_minutes + self._walk(span.name, start)
        leg = RecordedLeg(span.name, taken, beside, self.drives.expected(start, end))
        return leg if leg.expected_minutes > 0.0 else LeftOut(str(span.name), "the road map knows no drive there")

    def _spot(self, number: int | None) -> LatLon | None:
        if number is None:
            place = self.home
        else:
            place = next((point.place for point in self.route.points if point.number == number), None)
        return None if place is None else (place.latitude, place.longitude)

    def _nowhere(self, name: LegName) -> str:
        gone = [n for n in (name.start, name.end) if n is not None and self._spot(n) is None]
        return f"the route has no point {gone[0]} now" if gone else "nobody knows from whose home: it has no lead"

    def _walk(self, name: LegName, start: LatLon) -> float:
        """Return the minutes back to the car; a home's car stands at the home, and one arrives by car."""
        return 0.0 if name.start is None else self.drives.walked(start)
