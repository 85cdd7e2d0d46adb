"""The plan as a table."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.exchange import PLAN_COLUMNS, plan_frame, write_plan_table
from tests.unit.exchange.samples import faults_of, route, season, volunteer, write

SEASON = season(
    routes=(replace(route("R02"), name='Gallows "Hill", north'), route("R01", 50.8)), volunteers=(volunteer(),)
)
PLAN = Plan(
    (
        PlannedVisit(
            VisitKey("R02", 1),
            lead="V01",
            second="V02",
            date=dt.date(2026, 5, 12),
            window="dusk",
            reserve=dt.date(2026, 5, 14),
            setup=dt.date(2026, 5, 10),
            status=Status.CONFIRMED,
        ),
        PlannedVisit(VisitKey("R01", 2), lead="V02", date=dt.date(2026, 6, 9), window="dusk"),
    )
)
ROWS = [
    ["R02", 'Gallows "Hill", north', "1", "2026-05-12", "dusk", "V01", "V02", "2026-05-14", "2026-05-10", "confirmed"],
    ["R02", 'Gallows "Hill", north', "2", "", "", "", "", "", "", "unfilled"],
    ["R01", "Heath R01", "1", "", "", "", "", "", "", "unfilled"],
    ["R01", "Heath R01", "2", "2026-06-09", "dusk", "V02", "", "", "", "planned"],
]


def test_that_every_visit_has_a_row_filled_or_not(tmp_path: Path) -> None:
    path = write_plan_table(tmp_path / "plan.csv", SEASON, PLAN)
    with path.open(newline="", encoding="utf-8") as file:
        assert list(csv.reader(file)) == [list(PLAN_COLUMNS), *ROWS]


def test_that_pandas_reads_back_what_was_written(tmp_path: Path) -> None:
    path = write_plan_table(tmp_path / "plan.csv", SEASON, PLAN)
    frame = pd.read_csv(path, keep_default_na=False)
    pd.testing.assert_frame_equal(frame, plan_frame(SEASON, PLAN))


def test_that_a_season_without_routes_has_a_header_alone(tmp_path: Path) -> None:
    path = write_plan_table(tmp_path / "plan.csv", season(), Plan())
    assert path.read_text(encoding="utf-8") == ",".join(PLAN_COLUMNS) + "\n"


def test_that_an_old_table_is_replaced_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = write(tmp_path / "plan.csv", "old")
    write_plan_table(path, SEASON, PLAN)
    assert path.read_text(encoding="utf-8").startswith("route,name")
    assert list(tmp_path.iterdir()) == [path]


def test_when_the_table_cannot_be_written_that_is_said_and_nothing_is_left(tmp_path: Path) -> None:
    (missing,) = faults_of(write_plan_table, tmp_path / "none" / "plan.csv", SEASON, PLAN)
    assert "No such file" in missing.found
    # A folder in the place of the file: the writing succeeds, the renaming cannot.
    (tmp_path / "plan.csv").mkdir()
    (folder,) = faults_of(write_plan_table, tmp_path / "plan.csv", SEASON, PLAN)
    assert "directory" in folder.found
    assert [path.name for path in tmp_path.iterdir()] == ["plan.csv"]


@pytest.mark.parametrize("column", ["name", "telephone", "email"])
def test_that_no_personal_data_of_volunteers_is_in_the_table(tmp_path: Path, column: str) -> None:
    text = write_plan_table(tmp_path / "plan.csv", SEASON, PLAN).read_text(encoding="utf-8")
    personal = getattr(replace(volunteer(), email="ada@example.org"), column)
    assert personal not in text
