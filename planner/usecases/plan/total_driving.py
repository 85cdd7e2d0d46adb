"""All the driving that a plan asks for."""

from __future__ import annotations

from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem, driving


def total_drive_minutes(problem: SeasonProblem, plan: Plan) -> float:
    """Return the minutes out and back of everybody's outings, as planning adds them up."""
    return sum(driving(problem, plan))
