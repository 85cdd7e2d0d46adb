"""Visit records of a season whose drives took known multiples of what the road map says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from planner.domain.field.drive_factors import DriveFactors
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.travel import LatLon, RoadNetwork, estimate_minutes, walked_minutes
from planner.usecases.season.problem import roads_from_homes

COUNT_MINUTES = 6.0


@dataclass(frozen=True)
class Truth:
    """What drives really take."""

    classes: Mapping[str, float]
    """By highway class; empty for drives without roads."""
    routes: Mapping[str, float]
    other: float = 1.0
    """Of classes that are not named."""
    spread: float = 0.15
    gross: float = 0.0
    """Share of drives with a stop of 5 to 40 minutes on the way."""


def record_visits(
    season: Season,
    network: RoadNetwork | None,
    visits: Sequence[PlannedVisit],
    truth: Truth,
    *,
    seed: int = 0,
    from_home: bool = True,
) -> tuple[VisitRecord, ...]:
    """Return what the teams wrote down: times to the minute, points in the order of the route."""
    roads = roads_from_homes(replace(season, drive_factors=DriveFactors()), network)
    evening = _Evening(season, roads, truth, np.random.default_rng(seed))
    return tuple(evening.record(visit, from_home=from_home) for visit in visits)


@dataclass(frozen=True)
class _Evening:
    season: Season
    network: RoadNetwork | None
    truth: Truth
    dice: np.random.Generator

    def record(self, visit: PlannedVisit, *, from_home: bool) -> VisitRecord:
        route = self.season.route(visit.key.route)
        home = _pair(self.season.volunteer(visit.lead).home)
        places = [home, *(_pair(point.place) for point in route.points), home]
        left = now = dt.datetime.combine(visit.date, dt.time(19, 0, 20), dt.UTC)
        counts = []
        for number, (start, end) in enumerate(pairwise(places)):
            within = 0 < number < len(places) - 2
            now += dt.timedelta(minutes=self._minutes(start, end, visit.key.route if within else "", number > 0))
            if number < len(route.points):
                ended = now + dt.timedelta(minutes=COUNT_MINUTES)
                point = route.points[number].number
                counts.append(PointRecord(point, 1, _minute(now), _minute(now), _minute(ended)))
                now = ended
        return VisitRecord(
            RecordKey(visit.key.route, visit.key.number, visit.date),
            visit.people,
            tuple(counts),
            left_utc=_minute(left) if from_home else None,
            home_utc=_minute(now) if from_home else None,
            state=RecordState.FINAL,
        )

    def _minutes(self, start: LatLon, end: LatLon, route: str, from_point: bool) -> float:
        """Return what a drive took: overhead, the walk to the car, and the driving as it really is."""
        roads, truth = self.network, self.truth
        by_kind = {"": float(estimate_minutes([start], [end])[0, 0])}
        if roads is not None and all(roads.on_road([start, end])):
            by_kind = roads.minutes_by_kind(start, end)
        driving = sum(truth.classes.get(kind, truth.other) * minutes for kind, minutes in by_kind.items())
        driving *= truth.routes.get(route, 1.0) * float(self.dice.lognormal(0, truth.spread))
        walk = float(walked_minutes(roads.off_road_metres([start]))[0]) if roads is not None and from_point else 0.0
        stop = float(self.dice.uniform(5, 40)) if self.dice.random() < truth.gross else 0.0
        return self.season.protocol.travel.stop_overhead_minutes + walk + driving + stop


def _pair(place: Place) -> LatLon:
    return place.latitude, place.longitude


def _minute(moment: dt.datetime) -> dt.datetime:
    """Return a moment as a watch without seconds is read: to the nearest minute."""
    return (moment + dt.timedelta(seconds=30)).replace(second=0, microsecond=0)
