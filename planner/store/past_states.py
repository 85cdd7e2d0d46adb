"""The season and the plan as they stood after an earlier step, read from a passing copy in memory."""

from __future__ import annotations

import apsw

from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.store import history
from planner.store.plan_rows import read_plan
from planner.store.season_rows import read_season


def state_at(connection: apsw.Connection, revision: int) -> tuple[Season, Plan] | None:
    """Return the season and the plan after that step; None where that state is gone.

    Raises:
        ValueError: the rows do not fit the history.
    """
    copy = apsw.Connection(":memory:")
    try:
        with copy.backup("main", connection, "main") as copying:
            copying.step()
        try:
            reached = history.bring_to(copy, revision)
        except apsw.AbortError as error:
            raise ValueError("its rows do not fit its history: another program wrote to it") from error
        return (read_season(copy), read_plan(copy)) if reached else None
    finally:
        copy.close()
