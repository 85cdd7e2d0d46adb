"""Outings, the season plan, its repair, explanations, and the audit that judges any plan."""

from planner.scheduling.audit import audit
from planner.scheduling.outing import (
    FitTable,
    OutingRequest,
    fit_table,
    outing_for,
    setup_outing_for,
    time_outing,
)
from planner.scheduling.problem import (
    DriveMinutes,
    PassLight,
    RouteDrives,
    RouteLight,
    SeasonProblem,
    WindowLight,
    drive_one_way_minutes,
)
from planner.scheduling.repair import Move, TightGap, WayOn, repair
from planner.scheduling.result import (
    OnEvent,
    Outcome,
    Progress,
    SeasonResult,
    Stop,
    Tier,
    after_rounds,
    after_seconds,
    any_of,
    never,
    when_set,
)
from planner.scheduling.risk import RouteRisk, SeasonRisk, WeatherChain, chain_on, loss_by_date, season_risk
from planner.scheduling.season import plan_season

__all__ = [
    "DriveMinutes",
    "FitTable",
    "Move",
    "OnEvent",
    "Outcome",
    "OutingRequest",
    "PassLight",
    "Progress",
    "RouteDrives",
    "RouteLight",
    "RouteRisk",
    "SeasonProblem",
    "SeasonResult",
    "SeasonRisk",
    "Stop",
    "Tier",
    "TightGap",
    "WayOn",
    "WeatherChain",
    "WindowLight",
    "after_rounds",
    "after_seconds",
    "any_of",
    "audit",
    "chain_on",
    "drive_one_way_minutes",
    "fit_table",
    "loss_by_date",
    "never",
    "outing_for",
    "plan_season",
    "repair",
    "season_risk",
    "setup_outing_for",
    "time_outing",
    "when_set",
]
