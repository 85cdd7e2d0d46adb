"""Ways on after a disruption: every rule kept, nothing moved that need not, in order, and never what was lost."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import pytest

from planner.domain.calendar import DateRange
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
    season_after,
)
from planner.domain.finding import Severity
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem, WayOn, after_rounds, audit, plan_season, repair
from tests.unit.scheduling.random_seasons import busy_season, one_in

pytestmark = pytest.mark.xdist_group("repair ways")


@cache
def made(seed: int) -> tuple[SeasonProblem, Plan]:
    """A busy season of eight routes, and its plan."""
    season = busy_season(seed, 8, 12)
    return season, plan_season(season, stop=after_rounds(5)).plan


@cache
def repaired(seed: int, kind: int) -> tuple[SeasonProblem, Plan, Disruption, list[WayOn]]:
    """A season, its plan, what breaks, and the ways on."""
    season, plan = made(seed)
    disruption = disruptions(plan)[kind]
    return season, plan, disruption, repair(season, plan, disruption)


def disruptions(plan: Plan) -> list[Disruption]:
    """One of each kind, made of a plan's own visits."""
    visits = sorted(plan, key=lambda visit: (visit.date, visit.key))
    middle = visits[len(visits) // 2]
    return [
        VisitCancelled(visits[0].key),
        VisitCancelled(middle.key),
        EveningCancelled(middle.date),
        VolunteerLeaves(middle.lead, middle.date),
        RoadClosed(middle.key.route, DateRange(middle.date, middle.date + dt.timedelta(days=4))),
        PartlyDone(middle.key, 1),
        VisitsCancelled(tuple(visit.key for visit in visits if visit.date == middle.date)),
    ]


def breaks(season: SeasonProblem, plan: Plan) -> list[str]:
    return [str(finding) for finding in audit(season, plan) if finding.severity is Severity.BROKEN]


CASES = [
    *((0, kind) for kind in range(7)),
    *(pytest.param(seed, kind, marks=pytest.mark.fuzz) for seed in (1, 2) for kind in range(7)),
]


@pytest.mark.parametrize(("seed", "kind"), CASES)
def test_that_every_way_keeps_every_rule_of_the_season_as_it_is_then(seed: int, kind: int) -> None:
    season, _, disruption, ways = repaired(seed, kind)
    assert 1 <= len(ways) <= 3
    after = replace(season, season=season_after(season.season, disruption))
    for way in ways:
        assert breaks(after, way.plan) == []
        assert [way.disturbance for way in ways] == sorted(way.disturbance for way in ways)


@pytest.mark.parametrize(("seed", "kind"), CASES)
def test_that_no_way_uses_what_is_lost(seed: int, kind: int) -> None:
    _, plan, disruption, ways = repaired(seed, kind)
    for way in ways:
        now = way.plan.by_key
        match disruption:
            case VisitCancelled(key) | PartlyDone(key):
                before = plan.by_key[key].date
                assert key not in now or before not in (now[key].date, now[key].reserve)
            case VisitsCancelled(keys):
                for key in keys:
                    before = plan.by_key[key].date
                    assert key not in now or before not in (now[key].date, now[key].reserve)
            case EveningCancelled(date):
                assert not [visit for visit in way.plan if date in (visit.date, visit.reserve)]
            case VolunteerLeaves(code, since):
                days = [day for v in way.plan if code in v.people for day in (v.date, v.reserve) if day is not None]
                assert all(day < since for day in days)
            case RoadClosed(route, dates):
                days = [d for v in way.plan.of_route(route) for d in (v.date, v.reserve, v.setup) if d is not None]
                assert not [day for day in days if day in dates]


@pytest.mark.parametrize("seed", one_in(3, range(3)))
def test_that_one_visit_cancelled_is_the_same_whichever_way_it_is_said(seed: int) -> None:
    season, plan, disruption, ways = repaired(seed, 1)
    assert isinstance(disruption, VisitCancelled)
    assert repair(season, plan, VisitsCancelled((disruption.key,))) == ways


def test_that_cancelling_some_of_an_evening_leaves_the_others_of_it_out_there() -> None:
    for seed in range(6):
        season, plan = made(seed)
        for date in sorted({visit.date for visit in plan}):
            together = [visit for visit in plan if visit.date == date]
            if len(together) > 2:
                lost = tuple(visit.key for visit in together[:2])
                way = repair(season, plan, VisitsCancelled(lost))[0]
                assert set(way.broken) == set(lost)
                assert all(way.plan.by_key.get(visit.key) == visit for visit in together[2:])
                return
    pytest.fail("no season had three visits on one evening")
