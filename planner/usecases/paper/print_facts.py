"""What itineraries are printed from while a season is open: its snapshot with the light and drives computed for it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.travel import RoadNetwork
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.season.opening import roads_gone
from planner.usecases.season.snapshot import Snapshot


def is_of(problem: SeasonProblem, season: Season) -> bool:
    """Whether light and drives are those of that season, and not of one that has changed since."""
    return problem.season == replace(season, routes=tuple(route for route in season.routes if route.points))


def print_facts(
    found: Snapshot, problem: SeasonProblem, network: RoadNetwork | None, printed_on: dt.date
) -> PrintFacts:
    """Return what every itinerary of a print run shares.

    Args:
        found: the season file as it stands.
        problem: its light and drives.
        network: the roads that the drives were computed with.
        printed_on: date on the paper.

    Raises:
        ImpossibleError: the file of the season's road map is gone: estimates in its place would send people at other
            times, unnoticed.
    """
    roads = found.season.roads
    if roads is not None and network is None:
        raise roads_gone(found.path, roads)
    return PrintFacts(problem, found.plan, network, printed_on, found.revision)
