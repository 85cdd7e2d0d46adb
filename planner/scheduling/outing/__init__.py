"""One outing: the best counting order, the habitat round, the steps minute by minute, and what fits on which date."""

from planner.scheduling.outing.between import habitat_between
from planner.scheduling.outing.fit import FitTable, fit_table
from planner.scheduling.outing.joining import join_team
from planner.scheduling.outing.leaving import OutingRun, leaving_at, planned_order, run_outing, with_count_minutes
from planner.scheduling.outing.orders import best_order
from planner.scheduling.outing.passes import PassSpan
from planner.scheduling.outing.request import OutingRequest
from planner.scheduling.outing.task import CountingTask, CountOrder
from planner.scheduling.outing.timing import time_outing
from planner.scheduling.outing.visits import outing_for, setup_outing_for, setup_request, survey_request

__all__ = [
    "CountOrder",
    "CountingTask",
    "FitTable",
    "OutingRequest",
    "OutingRun",
    "PassSpan",
    "best_order",
    "fit_table",
    "habitat_between",
    "join_team",
    "leaving_at",
    "outing_for",
    "planned_order",
    "run_outing",
    "setup_outing_for",
    "setup_request",
    "survey_request",
    "time_outing",
    "with_count_minutes",
]
