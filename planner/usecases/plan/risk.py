"""How the plan stands up to the weather that the coordinator expects."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.lost_evenings import LostEvenings
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem, SeasonRisk, season_risk


@dataclass(frozen=True, slots=True)
class PlanRisk:
    """What the weather leaves of the plan."""

    weather: LostEvenings
    weather_words: str
    """What is expected on the dates of the season, in words."""
    risk: SeasonRisk


def plan_risk(problem: SeasonProblem, plan: Plan) -> PlanRisk | None:
    """Return the plan's risk; None without a plan, or where nothing is said of the weather."""
    season = problem.season
    if not len(plan) or season.lost_evenings is None:
        return None
    weather = season.lost_evenings
    return PlanRisk(weather, weather.said_for(season.dates), season_risk(problem, plan, weather))
