"""Which visits of an evening weather takes, where some routes or an area are named."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from planner.domain.disruption import VisitCancelled, VisitsCancelled
from planner.domain.plan import Status
from planner.store import SeasonFile
from planner.usecases.evening.visits_meant import weather_cancels

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_what_is_done_is_not_meant_while_something_is_to_come(reedhaven: SeasonFile) -> None:
    season, plan = reedhaven.season(), reedhaven.plan()
    date, _ = max(Counter(visit.date for visit in plan).items(), key=lambda pair: pair[1])
    out = [visit for visit in plan if visit.date == date]
    routes = [visit.key.route for visit in out]
    assert len(out) > 1
    assert weather_cancels(season, plan, date, routes) == VisitsCancelled(tuple(visit.key for visit in out))
    one_left = plan
    for visit in out[1:]:
        one_left = one_left.with_visit(replace(visit, status=Status.DONE))
    assert weather_cancels(season, one_left, date, routes) == VisitCancelled(out[0].key)
    nothing_left = one_left.with_visit(replace(out[0], status=Status.DONE))
    assert weather_cancels(season, nothing_left, date, routes) == VisitsCancelled(tuple(visit.key for visit in out))
