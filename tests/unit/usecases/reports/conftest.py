"""The demo season in the middle of visit 2, and its report."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.reports.season_report import SeasonReport
from planner.store import SeasonFile
from planner.usecases.reports import report_of
from planner.usecases.season.snapshot import Snapshot
from tests.field_returns import REPORT_DAY, returned_path
from tests.shared_demo import demo_folder

__all__ = ["demo_folder", "returned_path"]

Reported = tuple[SeasonReport, Snapshot]


@pytest.fixture(scope="session")
def reported(returned_path: Path) -> Reported:
    """Return the report of the demo season, and the season file that it is of."""
    with SeasonFile.open(returned_path) as file:
        return report_of(file, REPORT_DAY)
