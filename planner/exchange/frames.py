"""The plan as a data frame, for whoever computes with it."""

from __future__ import annotations

import pandas as pd

from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.exchange.plan_table import PLAN_COLUMNS, plan_rows


def plan_frame(season: Season, plan: Plan) -> pd.DataFrame:
    """Return the plan as a data frame with :data:`PLAN_COLUMNS`, in the season's order of routes, then by visit.

    People are given by code alone, so that the table can be passed on without personal data. Dates are in ISO form,
    empty where there is none.
    """
    return pd.DataFrame(plan_rows(season, plan), columns=list(PLAN_COLUMNS))
