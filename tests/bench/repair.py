"""How long a repair takes and how good it is: one visit of the busiest evening is lost, several times over."""

from __future__ import annotations

import argparse
import math
import random
import resource
import time
from collections import Counter

from planner.domain.disruption import VisitCancelled
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.protocol import Gap
from planner.scheduling import SeasonProblem, WayOn, after_rounds, repair
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.engine.decode import plan_of
from planner.scheduling.engine.search import solve
from tests.unit.scheduling.seasons import (
    days,
    pass_light,
    problem,
    protocol,
    route,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

_LENGTH = 56
_POINTS = 3
_PEOPLE_A_TOWN = 16
_KM_A_TOWN = 38.0
"""Side of the square that a town has to itself."""


def run(arguments: list[str]) -> dict[str, object]:
    """Plan a generated programme, repair it, and report the worst of the repairs.

    Args:
        arguments: ``[--routes N] [--repairs N] [--seed N] [--rounds N]``, the last for planning beforehand. Volunteers,
            a fifth more than routes, live round as many towns as give a route a good dozen of them within their drive
            limit; two visits a route, a fifth of the routes with two people, a set-up before the first visit.
    """
    parser = argparse.ArgumentParser(prog="repair")
    parser.add_argument("--routes", type=int, default=100)
    parser.add_argument("--repairs", type=int, default=5)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rounds", type=int, default=80)
    options = parser.parse_args(arguments)
    season = generated(options.seed, options.routes)
    plan = _planned(season, options.rounds)
    rows = [_repaired(season, plan, visit) for visit in _of_the_busiest_evening(plan)[: options.repairs]]
    return {
        "routes": options.routes,
        "volunteers": len(season.season.volunteers),
        "visits_planned": len(plan),
        "seconds": max((float(row["seconds"]) for row in rows), default=0.0),
        "ways": min((int(row["ways"]) for row in rows), default=0),
        "gap_share": max((float(row["gap_share"]) for row in rows), default=0.0),
        "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
        "repairs": rows,
    }


def generated(seed: int, routes: int) -> SeasonProblem:
    """Return a season of that many routes, the same for the same seed."""
    rng = random.Random(seed)
    count = max(1, round(1.2 * routes / _PEOPLE_A_TOWN))
    side = _KM_A_TOWN * math.sqrt(count)
    towns = [(rng.random() * side, rng.random() * side) for _ in range(count)]
    homes = [_near(rng, towns, 6.0) for _ in range(round(1.2 * routes))]
    people = [
        volunteer(
            f"V{number:04d}",
            [one for one in range(_LENGTH) if rng.random() < (0.55 if one % 7 in (4, 5) else 0.22)],
            visits_limit=rng.choice([1, 2, 2, 3, 4]),
            drive_limit_minutes=45.0,
        )
        for number in range(len(homes))
    ]
    found = [route(f"R{number:04d}", _POINTS, people=2 if rng.random() < 0.2 else 1) for number in range(routes)]
    minutes = {}
    for one in found:
        east, north = _near(rng, towns, 12.0)
        minutes[one.code] = [5 + 1.2 * math.hypot(x - east, y - north) for x, y in homes]
    rules = protocol(gap=Gap(10), setup=setup_rule(7))
    # All routes see the same sky: its arrays are made once.
    window = window_light(rules.windows[0].name, (pass_light(_LENGTH, _POINTS, "21:00", 120.0),))
    light = route_light((window,))
    return problem(
        rules=rules,
        visits=(days(7, 27), days(28, 48)),
        length=_LENGTH,
        routes=found,
        volunteers=people,
        homes=minutes,
        light={one.code: light for one in found},
    )


def _near(rng: random.Random, towns: list[tuple[float, float]], spread: float) -> tuple[float, float]:
    east, north = rng.choice(towns)
    return east + rng.gauss(0, spread), north + rng.gauss(0, spread)


def _planned(season: SeasonProblem, rounds: int) -> Plan:
    """Return a plan that the engine finds in so many rounds: a repair does not need the best."""
    compiled = compile_season(season, Plan())
    return plan_of(compiled, solve(compiled.instance, after_rounds(rounds), lambda _progress: None).solution)


def _of_the_busiest_evening(plan: Plan) -> list[PlannedVisit]:
    busiest, _ = min(Counter(visit.date for visit in plan).items(), key=lambda item: (-item[1], item[0]))
    return [visit for visit in plan if visit.date == busiest]


def _repaired(season: SeasonProblem, plan: Plan, visit: PlannedVisit) -> dict[str, float | int | str]:
    began = time.perf_counter()
    ways = repair(season, plan, VisitCancelled(visit.key))
    seconds = time.perf_counter() - began
    return {
        "visit": str(visit.key),
        "seconds": round(seconds, 3),
        "ways": len([way for way in ways if way.full]),
        "moved": min((len(way.moves) for way in ways), default=0),
        "gap_share": max((_gap_share(way) for way in ways), default=0.0),
    }


def _gap_share(way: WayOn) -> float:
    return round((way.value - way.bound) / max(abs(way.bound), 1.0), 6)
