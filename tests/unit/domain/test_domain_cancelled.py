"""Which dates a disruption takes from a plan."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
)
from planner.domain.errors import RuleError
from planner.domain.field.cancelled import CancelledVisit, CancelReason, cancelled_by, joined
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey

NOW = dt.datetime(2027, 6, 1, 9, tzinfo=dt.UTC)


def june(day: int) -> dt.date:
    return dt.date(2027, 6, day)


def visit(route: str, number: int, day: int, setup: int | None = None) -> PlannedVisit:
    return PlannedVisit(VisitKey(route, number), "A", june(day), "dusk", setup=june(setup) if setup else None)


PLAN = Plan(
    (visit("R1", 1, 4, setup=2), visit("R1", 2, 20), visit("R2", 1, 4), replace(visit("R3", 1, 4), status=Status.DONE))
)
WEATHER, ROAD = CancelReason.WEATHER, CancelReason.ROAD


@pytest.mark.parametrize(
    ("disruption", "today", "lost"),
    [
        (VisitCancelled(VisitKey("R1", 2)), 1, {("R1", 20, WEATHER, False)}),
        (
            VisitsCancelled((VisitKey("R1", 2), VisitKey("R2", 1))),
            1,
            {("R1", 20, WEATHER, False), ("R2", 4, WEATHER, False)},
        ),
        (SetupCancelled(VisitKey("R1", 1)), 1, {("R1", 2, WEATHER, True)}),
        (SetupCancelled(VisitKey("R2", 1)), 1, set()),
        # What is done stays done.
        (EveningCancelled(june(4)), 4, {("R1", 4, WEATHER, False), ("R2", 4, WEATHER, False)}),
        (EveningCancelled(june(4)), None, {("R1", 4, WEATHER, False), ("R2", 4, WEATHER, False)}),
        (EveningCancelled(june(4)), 5, set()),
        # Only the dates of its visits, not that of a set-up.
        (RoadClosed("R1", DateRange(june(1), june(4))), 1, {("R1", 4, ROAD, False)}),
        (VolunteerLeaves("A", june(1)), 1, set()),
        (PartlyDone(VisitKey("R1", 1), 3), 4, set()),
    ],
)
def test_that_a_date_is_lost_where_it_was_to_be_gone_out_on(
    disruption: Disruption, today: int | None, lost: set[tuple[str, int, CancelReason, bool]]
) -> None:
    found = cancelled_by(disruption, PLAN, NOW, june(today) if today else None)
    assert {(one.key.route, one.date.day, one.reason, one.setup) for one in found} == lost
    assert {one.when_utc for one in found} <= {NOW}


def test_that_a_date_given_up_twice_is_lost_once_with_the_later_reason() -> None:
    first = CancelledVisit(VisitKey("R1", 1), june(4), WEATHER, NOW)
    again = replace(first, reason=ROAD, when_utc=NOW + dt.timedelta(days=1))
    other = replace(first, setup=True)
    assert joined([first, other], [again]) == (again, other)


def test_that_a_moment_needs_its_zone() -> None:
    with pytest.raises(RuleError, match="time zone"):
        CancelledVisit(VisitKey("R1", 1), june(4), WEATHER, NOW.replace(tzinfo=None))
