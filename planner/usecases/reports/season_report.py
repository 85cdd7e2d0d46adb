"""All figures of a season at one moment."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable

from planner.domain.plan import Plan
from planner.domain.reports.progress import Progress, VisitState
from planner.domain.reports.season_report import Chances, RouteChance, RouteMark, RoutePlace, SeasonReport
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.travel import RoadNetwork
from planner.usecases.plan.risk import plan_risk
from planner.usecases.reports.asked_of_board import asked_of_board
from planner.usecases.reports.driving_saved import driving_saved
from planner.usecases.reports.habitat import habitat_report
from planner.usecases.reports.hours import hours_report
from planner.usecases.reports.lost_evenings import evenings_lost, unknown_until
from planner.usecases.reports.progress import points_standing, progress_of
from planner.usecases.routes.areas import middle_of
from planner.usecases.season.snapshot import Snapshot


def season_report(
    found: Snapshot,
    problem: SeasonProblem,
    network: RoadNetwork | None,
    today: dt.date,
    stop: Callable[[], bool] = lambda: False,
) -> SeasonReport:
    """Return all figures of a season.

    Args:
        found: the season file as it stands.
        problem: its light and drives.
        network: the roads that the drives were computed with; None: there are none.
        today: the day of the report.
        stop: asked again and again.

    Raises:
        ReportStoppedError: it was stopped.
    """
    season, plan = found.season, found.plan
    standing = points_standing(problem, plan, found.records)
    progress = progress_of(season, plan, found.sheets, found.records, today, standing)
    chances = _chances(problem, plan)
    hours = hours_report(problem, plan, found.records, progress, network, today, stop)
    return SeasonReport(
        season=season.name,
        survey=season.protocol.name,
        invented=season.protocol.invented,
        first=season.dates.first,
        last=season.dates.last,
        today=today,
        revision=found.revision,
        routes=len(season.routes),
        progress=progress,
        chances=chances,
        lost=evenings_lost(found.records, found.cancelled),
        lost_unknown_until=unknown_until(found),
        hours=hours,
        saved=driving_saved(problem, plan),
        habitat=habitat_report(season, found.sheets),
        places=_places(season, progress),
        asked=asked_of_board(progress, chances, hours, today),
    )


def _chances(problem: SeasonProblem, plan: Plan) -> Chances | None:
    found = plan_risk(problem, plan)
    if found is None:
        return None
    titles = {route.code: route.title for route in problem.season.routes}
    return Chances(
        weather_words=found.weather_words,
        expected_visits=found.risk.expected_visits,
        filled=found.risk.filled,
        routes=tuple(
            RouteChance(
                route=one.route,
                title=titles[one.route],
                complete=one.complete,
                weakest_visit=one.weakest_visit,
                weakest=one.visits[one.weakest_visit - 1],
                whole=one.whole,
                missed=one.missed,
                past_words=one.past_words,
            )
            for one in found.risk.routes
        ),
    )


def _places(season: Season, progress: Progress) -> tuple[RoutePlace, ...]:
    states: defaultdict[str, list[VisitState]] = defaultdict(list)
    for one in progress.standings:
        states[one.key.route].append(one.state)
    return tuple(
        RoutePlace(route.code, middle_of(route), RouteMark.of(states[route.code]))
        for route in season.routes
        if route.points
    )
