"""What itineraries are printed from: a season with the light and drives computed for it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.season.opening import roads_gone, whole_road_network
from planner.usecases.season.problem import roads_from_homes, season_problem
from planner.usecases.season.snapshot import Snapshot


def is_of(problem: SeasonProblem, season: Season) -> bool:
    """Whether light and drives are those of that season, and not of one that has changed since."""
    return problem.season == replace(season, routes=tuple(route for route in season.routes if route.points))


def facts_on(file: SeasonFile, printed_on: dt.date) -> PrintFacts:
    """Return what is printed of a season file as it lies there; visits before that date are past.

    Raises:
        ImpossibleError: the road map is gone.
    """
    season = file.season()
    network = roads_from_homes(season, whole_road_network(file.path, season.roads))
    problem = season_problem(season, network, printed_on)
    return PrintFacts(problem, file.plan(), network, printed_on, file.revision)


def facts_of(file: SeasonFile, now: dt.datetime) -> PrintFacts:
    """Return the same at a moment, which tells the date by the season's zone; raises as :func:`facts_on` does."""
    return facts_on(file, now.astimezone(file.season().tzinfo).date())


def print_facts(
    found: Snapshot, problem: SeasonProblem, network: RoadNetwork | None, printed_on: dt.date
) -> PrintFacts:
    """Return what every itinerary of a print run shares while the season is open in the window.

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
