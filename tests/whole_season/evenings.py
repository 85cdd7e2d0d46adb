"""How an evening really goes: the plan's outing, driven at the speed that its roads allow, written to the minute."""

from __future__ import annotations

import datetime as dt
import math
import random

from planner.domain.conditions import Condition, Seen
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.measures import Speed, Temperature
from planner.domain.outing import Outing, Step, StepKind
from planner.domain.plan import PlannedVisit
from planner.domain.weather import Quantity
from planner.scheduling import SeasonProblem, outing_for

NOISE = 0.06
"""Standard deviation of the logarithm of what one leg takes."""
OVERHEAD_MINUTES = 1.0
CALM = (
    Condition(Quantity.WIND, Speed(8, "km/h")),
    Condition(Quantity.RAIN, seen=Seen.NONE),
    Condition(Quantity.FOG, seen=Seen.NONE),
    Condition(Quantity.AIR_TEMPERATURE, Temperature(13, "C")),
)


class Evenings:
    """Evenings of teams that keep to their plan, on roads that are slower or quicker than the map says."""

    def __init__(self, problem: SeasonProblem, factors: dict[str, float], seed: int) -> None:
        """Make evenings.

        Args:
            problem: the season as it is planned.
            factors: what the drives of each route really take, as a multiple of what is expected.
            seed: of the small differences from leg to leg.
        """
        self._problem = problem
        self._factors = factors
        self._chance = random.Random(seed)

    def record(self, visit: PlannedVisit) -> VisitRecord:
        """Return what the team of a visit writes down: everything, and nothing wrong."""
        outing = outing_for(self._problem, visit, visit.lead)
        counts: list[PointRecord] = []
        now = arrived = outing.leave_home_utc
        for step in outing.steps:
            if step.kind is StepKind.DRIVE:
                now += self._drive(outing, step)
                arrived = now
            elif step.kind is StepKind.COUNT:
                assert step.point is not None
                now, count = self._count(step, arrived, max(now, self._opening(outing, step)))
                counts.append(count)
            elif step.kind is StepKind.WAIT:
                now = max(now, step.end_utc)
            else:
                now += step.end_utc - step.start_utc
        return VisitRecord(
            key=RecordKey(visit.key.route, visit.key.number, visit.date),
            team=visit.people,
            counts=tuple(counts),
            weather_first=CALM,
            weather_last=CALM,
            left_utc=to_the_minute(outing.leave_home_utc),
            home_utc=to_the_minute(now),
            distance_km=round(outing.drive_minutes * 0.7, 1),
            state=RecordState.FINAL,
        )

    def _opening(self, outing: Outing, step: Step) -> dt.datetime:
        """Return the first moment at which a count may begin: no team begins before the window opens."""
        assert outing.window is not None
        first = next(one for one in outing.steps if one.kind is StepKind.COUNT)
        return first.start_utc if step is first else outing.window.open_utc

    def _drive(self, outing: Outing, step: Step) -> dt.timedelta:
        assert step.leg is not None
        driving = max(step.leg.expected_minutes - OVERHEAD_MINUTES, 0.0)
        noise = math.exp(self._chance.gauss(0.0, NOISE))
        return dt.timedelta(minutes=driving * self._factors[outing.route] * noise + OVERHEAD_MINUTES)

    def _count(self, step: Step, arrived: dt.datetime, ready: dt.datetime) -> tuple[dt.datetime, PointRecord]:
        rule = self._problem.season.protocol.count
        assert step.point is not None
        began = ready + dt.timedelta(minutes=rule.settle_minutes)
        ended = began + dt.timedelta(minutes=rule.counted_minutes)
        return ended, PointRecord(
            step.point,
            step.pass_number,
            arrived_utc=to_the_minute(arrived),
            began_utc=to_the_minute(began),
            ended_utc=to_the_minute(ended),
        )


def to_the_minute(moment: dt.datetime) -> dt.datetime:
    """Return what somebody reads off a watch without seconds."""
    return moment.replace(second=0, microsecond=0)
