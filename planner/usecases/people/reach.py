"""What one volunteer can reach: the roads within the drive limit, and the routes with their minutes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from planner.domain.geo import Place
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.travel import RoadNetwork, crow_km_within, ring

Line: TypeAlias = tuple[Place, ...]

_RING_STEPS = 72


@dataclass(frozen=True, slots=True)
class Reach:
    """Where somebody can be within the drive limit."""

    lines: tuple[Line, ...]
    """Roads, or one ring where it is an estimate."""
    estimated: bool
    """Whether there are no roads to go by: a ring as the crow flies, and the truth can be much less."""


@dataclass(frozen=True, slots=True)
class RouteReach:
    """How far one route is from somebody's home."""

    route: str
    title: str
    minutes: float
    """One way to its nearer end, the mean of out and back; inf where no road leads there."""
    within: bool
    """Whether that is within the drive limit."""
    estimated: bool
    """Whether the minutes are an estimate without roads."""
    visits: tuple[int, ...]
    """Numbers of the visits there that are planned for them."""


def reach_of(
    home: Place, limit_minutes: float, network: RoadNetwork | None, stop_overhead_minutes: float = 0.0
) -> Reach:
    """Return where somebody can be within a drive limit; takes some tenths of a second on a large road map.

    Args:
        home: where they start.
        limit_minutes: their drive limit, one way.
        network: the season's roads; None gives a ring estimated from the distance.
        stop_overhead_minutes: what each drive costs beside the road, part of the limit.
    """
    driving_minutes = limit_minutes - stop_overhead_minutes
    if driving_minutes <= 0:
        return Reach((), estimated=network is None)
    origin = (home.latitude, home.longitude)
    if network is not None and network.on_road([origin])[0]:
        lines = network.reached(origin, driving_minutes)
        return Reach(tuple(tuple(Place(*pair) for pair in line) for line in lines if len(line) > 1), estimated=False)
    places = ring(origin, crow_km_within(driving_minutes) * 1000.0, _RING_STEPS)
    return Reach((tuple(Place(*pair) for pair in places),), estimated=True)


def routes_in_reach(problem: SeasonProblem, plan: Plan, code: str) -> tuple[RouteReach, ...]:
    """Return every route of the season with its minutes from a volunteer's home, the nearest first.

    Args:
        problem: the season and its drives.
        plan: the plan, for the visits there.
        code: the volunteer.

    Raises:
        RuleError: the problem has no such volunteer.
    """
    person = problem.season.volunteer(code)
    row = problem.season.volunteers.index(person)
    found = []
    for route in problem.season.routes:
        drives = problem.drives[route.code]
        minutes = float(drive_one_way_minutes(drives)[row])
        found.append(
            RouteReach(
                route=route.code,
                title=route.title,
                minutes=minutes,
                within=minutes <= person.drive_limit_minutes,
                estimated=math.isfinite(minutes) and bool(drives.out.estimated[row].any()),
                visits=tuple(visit.key.number for visit in plan.of_route(route.code) if code in visit.people),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.minutes, one.route)))
