"""Tiny random seasons that use every hard rule, the same for the same seed."""

from __future__ import annotations

import math
import random

from planner.domain.protocol import Gap, PeopleRule
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem
from tests.unit.scheduling.seasons import dawn, day, days, dusk, problem, protocol, route, setup_rule, volunteer

LENGTH = 12
_PARTS = (
    frozenset({PartOfDay.DUSK}),
    frozenset({PartOfDay.DUSK, PartOfDay.DAYLIGHT}),
    frozenset(PartOfDay),
)


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
