"""Season risk: how likely each route completes its visits under weather that cancels evenings."""

from planner.scheduling.risk.chain import WeatherChain, chain_on
from planner.scheduling.risk.completion import NOT_DONE, Completion, RiskCases, completion
from planner.scheduling.risk.loss import loss_by_date
from planner.scheduling.risk.routes import PastVisit, RouteRisk, SeasonRisk, season_risk

__all__ = [
    "NOT_DONE",
    "Completion",
    "PastVisit",
    "RiskCases",
    "RouteRisk",
    "SeasonRisk",
    "WeatherChain",
    "chain_on",
    "completion",
    "loss_by_date",
    "season_risk",
]
