"""Tiny random seasons that use every hard rule, the same for the same seed."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterable
from dataclasses import replace
from itertools import product

import pytest

from planner.domain.calendar import DateRange
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.protocol import Gap, PeopleRule
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.domain.window import MoonRule, PartOfDay, Strength
from planner.scheduling import RouteLight, SeasonProblem
from planner.scheduling.engine.compile import compile_season, fixed_part
from planner.scheduling.engine.decode import plan_of
from planner.scheduling.engine.greedy import fill_greedily
from planner.scheduling.engine.season_pricing import SeasonPricer
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    days,
    dusk,
    pass_light,
    problem,
    protocol,
    route,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

LENGTH = 12
_PARTS = (
    frozenset({PartOfDay.DUSK}),
    frozenset({PartOfDay.DUSK, PartOfDay.DAYLIGHT}),
    frozenset(PartOfDay),
)


def one_in(every: int, seeds: Iterable[int]) -> list[object]:
    """Seeds as parameters of a test: one in so many is tried in each run, the others with ``-m fuzz``."""
    return [seed if at % every == 0 else pytest.param(seed, marks=pytest.mark.fuzz) for at, seed in enumerate(seeds)]


def tiny_season(seed: int) -> SeasonProblem:
    """Up to four routes and five volunteers over twelve days."""
    rng = random.Random(seed)
    visits = rng.choice([1, 2, 2, 3])
    people = [_volunteer(rng, number) for number in range(rng.randint(1, 5))]
    routes = [_route(rng, number) for number in range(rng.randint(1, 4))]
    starts = sorted(rng.randint(0, 6) for _ in range(visits))
    return problem(
        rules=protocol(
            visits=visits,
            gap=rng.choice([None, Gap(2), Gap(3, 8), Gap(1, 5)]),
            windows=rng.choice([(dusk(),), (dusk(), dawn())]),
            setup=rng.choice([None, setup_rule(rng.randint(0, 3), same_day=rng.random() < 0.7)]),
            people=PeopleRule(lead_training=("course",) if rng.random() < 0.5 else (), same_lead=rng.random() < 0.8),
        ),
        visits=tuple(days(start, min(start + rng.randint(2, 5), LENGTH - 1)) for start in starts),
        length=LENGTH,
        routes=routes,
        volunteers=people,
        homes={one.code: [rng.randint(5, 45) for _ in people] for one in routes},
        today=rng.choice([None, None, day(2)]),
    )


def _volunteer(rng: random.Random, number: int) -> Volunteer:
    return volunteer(
        f"V{number}",
        [one for one in range(LENGTH) if rng.random() < 0.6],
        parts=rng.choice(_PARTS),
        visits_limit=rng.randint(1, 3),
        drive_limit_minutes=40.0,
        training=frozenset({"course"}) if rng.random() < 0.8 else frozenset(),
        vehicle=rng.choice(["car", "4x4"]),
    )


def _route(rng: random.Random, number: int) -> Route:
    return route(
        f"R{number}",
        people=rng.choice([1, 1, 2]),
        needs=frozenset({"4x4"}) if rng.random() < 0.2 else frozenset(),
        lead=rng.choice(["", "", "", "V0"]),
    )


def varied_season(seed: int) -> tuple[SeasonProblem, Plan]:
    """Up to six routes and six volunteers over twelve days, and in some of them visits that stand fixed.

    Beside what ``tiny_season`` has: a gap of its own before each visit, only preferred in some; moonless dates, dates
    without light, routes with date ranges of their own. All drives are whole minutes.
    """
    rng = random.Random(f"varied {seed}")
    visits = rng.choice([1, 2, 2, 3])
    people = [_volunteer(rng, number) for number in range(rng.randint(1, 6))]
    starts = sorted(rng.randint(0, 6) for _ in range(visits))
    ranges = tuple(days(start, min(start + rng.randint(2, 5), LENGTH - 1)) for start in starts)
    routes = [_with_own_dates(rng, _route(rng, number), ranges) for number in range(rng.randint(1, 6))]
    windows = rng.choice([(dusk(),), (dusk(), dawn())])
    rules = protocol(
        visits=visits,
        windows=windows,
        setup=rng.choice([None, setup_rule(rng.randint(0, 3), same_day=rng.random() < 0.7)]),
        people=PeopleRule(lead_training=("course",) if rng.random() < 0.5 else (), same_lead=rng.random() < 0.8),
    )
    gaps = (None, *(rng.choice(_GAPS) for _ in range(visits - 1)))
    season = problem(
        rules=replace(
            rules,
            visits=tuple(replace(one, gap=gap) for one, gap in zip(rules.visits, gaps, strict=True)),
            moon=rng.choice([None, MoonRule(0.5), MoonRule(0.5, strength=Strength.PREFERRED)]),
        ),
        visits=ranges,
        length=LENGTH,
        routes=routes,
        volunteers=people,
        homes={one.code: [rng.randint(5, 45) for _ in people] for one in routes},
        light={one.code: _patchy_light(rng, [window.name for window in windows]) for one in routes},
        today=rng.choice([None, None, day(2)]),
    )
    return season, _standing(rng, season) if rng.random() < 0.4 else Plan()


def first_plan(season: SeasonProblem, standing: Plan) -> Plan:
    """A plan at once, for tests that need some plan: routes served one by one in their order, nothing searched."""
    compiled = compile_season(season, fixed_part(season, standing))
    instance = compiled.instance
    served = fill_greedily(SeasonPricer(instance), range(len(instance.routes)), instance.room, instance.weights.load)
    return plan_of(compiled, served)


_GAPS = (
    None,
    Gap(2),
    Gap(3, 8),
    Gap(1, 5),
    Gap(4, strength=Strength.PREFERRED),
    Gap(2, 3, strength=Strength.PREFERRED),
)


def _with_own_dates(rng: random.Random, one: Route, ranges: tuple[DateRange, ...]) -> Route:
    """Move the range of the last visit on by a day for one route in five."""
    if rng.random() < 0.8:
        return one
    last = (ranges[-1].last - day(0)).days
    return replace(one, visit_dates=((len(ranges), days(min(last, LENGTH - 2), LENGTH - 1)),))


def _patchy_light(rng: random.Random, names: list[str]) -> RouteLight:
    """Windows that some dates lack, under a moon that some dates lack."""
    opens = {"dusk": "21:00", "dawn": "02:20"}

    def some(share: float) -> list[int]:
        return [one for one in range(LENGTH) if rng.random() < share]

    return route_light(
        tuple(
            window_light(name, (pass_light(LENGTH, 3, opens[name], 90.0, without=some(0.1)),), moonless=some(0.4))
            for name in names
        )
    )


def _standing(rng: random.Random, season: SeasonProblem) -> Plan:
    """Some visits that are confirmed, done or pinned, whether they suit or not; nobody has two of them on one date."""
    found: list[PlannedVisit] = []
    taken: set[tuple[str, dt.date]] = set()
    for one, number in product(season.season.routes, range(1, len(season.season.visits) + 1)):
        lead, dates = rng.choice(season.season.volunteers).code, list(season.season.visit_dates(one, number))
        date, reserve = rng.choice(dates), rng.choice([None, *dates])
        status = rng.choice([Status.PLANNED, Status.CONFIRMED, Status.DONE])
        reserve = None if status is Status.DONE else reserve
        asked = {(lead, date), (lead, reserve or date)}
        later = reserve is None or reserve > date
        if rng.random() < 0.3 and later and not asked & taken:
            taken |= asked
            key = VisitKey(one.code, number)
            found.append(PlannedVisit(key, lead, date, "dusk", reserve=reserve, status=status, pinned=True))
    return Plan(tuple(found))


def busy_season(seed: int, routes: int, volunteers: int) -> SeasonProblem:
    """Two visits on each of some routes round three towns, with as many volunteers as can just about do them."""
    rng = random.Random(seed)
    towns = [(rng.random() * 60, rng.random() * 60) for _ in range(3)]
    homes = [_near(rng, towns, 6) for _ in range(volunteers)]
    people = [
        volunteer(
            f"V{number:02d}",
            [one for one in range(56) if rng.random() < (0.55 if one % 7 in (4, 5) else 0.22)],
            visits_limit=rng.choice([1, 2, 2, 3, 4]),
            drive_limit_minutes=45.0,
        )
        for number in range(volunteers)
    ]
    found = [route(f"R{number:02d}", people=2 if rng.random() < 0.2 else 1) for number in range(routes)]
    minutes = {}
    for one in found:
        east, north = _near(rng, towns, 12)
        minutes[one.code] = [5 + 1.2 * math.hypot(x - east, y - north) for x, y in homes]
    return problem(
        rules=protocol(gap=Gap(10), setup=setup_rule(7)),
        visits=(days(7, 27), days(28, 48)),
        length=56,
        routes=found,
        volunteers=people,
        homes=minutes,
    )


def _near(rng: random.Random, towns: list[tuple[float, float]], spread: float) -> tuple[float, float]:
    east, north = rng.choice(towns)
    return east + rng.gauss(0, spread), north + rng.gauss(0, spread)
