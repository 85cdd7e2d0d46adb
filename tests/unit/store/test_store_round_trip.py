from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay
from planner.store import SeasonFile
from tests.unit.store.season_strategies import (
    DATES,
    FIRST,
    SMALL_PROTOCOL,
    SMALL_SEASON,
    plans,
    seasons,
    small_route,
    small_visit,
    small_volunteer,
)

SLOW_SHAPES = [HealthCheck.too_slow, HealthCheck.data_too_large]


@settings(max_examples=15, deadline=None, suppress_health_check=SLOW_SHAPES)
@given(seasons())
def test_that_a_season_comes_back_as_it_was_made(season: Season) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "any.dimpsy"
        with SeasonFile.create(path, season) as file:
            assert file.season() == season
        with SeasonFile.open(path) as file:
            assert file.season() == season
            assert file.plan() == Plan()


@settings(max_examples=15, deadline=None, suppress_health_check=SLOW_SHAPES)
@given(st.data())
def test_that_saving_over_another_season_and_plan_leaves_exactly_the_new_ones(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder, SeasonFile.create(Path(folder) / "any.dimpsy", SMALL_SEASON) as file:
        for _ in range(2):
            season = data.draw(seasons(st.just(SMALL_PROTOCOL)))
            plan = data.draw(plans(season))
            with file.step("Save both"):
                file.save_season(season)
                file.save_plan(plan)
            assert file.season() == season
            assert file.plan() == plan


def test_that_the_order_of_availability_lines_is_kept(season_file: SeasonFile) -> None:
    lines = tuple(
        Availability(DATES if k % 2 else DateRange(FIRST, FIRST), frozenset({part}), frozenset({k % 7}))
        for k, part in enumerate([PartOfDay.DUSK, PartOfDay.DAWN, PartOfDay.DAYLIGHT] * 4)
    )
    volunteer = replace(small_volunteer("V1"), availability=lines)
    with season_file.step("Take dates down"):
        season_file.save_season(replace(SMALL_SEASON, volunteers=(volunteer,)))
    assert season_file.season().volunteers[0].availability == lines


def test_that_only_rows_that_differ_are_written(staffed_file: SeasonFile) -> None:
    season = staffed_file.season()
    with staffed_file.step("Rename one") as step:
        staffed_file.save_season(replace(season, routes=(replace(season.routes[0], name="Else"), season.routes[1])))
    assert step.changed.tables == {"route"}
    with staffed_file.step("Plan one") as step:
        staffed_file.save_plan(Plan((small_visit("R1", "V1"),)))
    assert step.changed.tables == {"planned_visit"}
    size = staffed_file._connection.execute("SELECT length(changeset) FROM step WHERE number = 2").get
    assert 0 < size < 200, "a new name for one route is one row, not the whole season"


def test_that_a_route_put_in_first_comes_first(staffed_file: SeasonFile) -> None:
    season = staffed_file.season()
    with staffed_file.step("Put one before the others"):
        staffed_file.save_season(replace(season, routes=(small_route("Z"), *season.routes)))
    assert [route.code for route in staffed_file.season().routes] == ["Z", "R1", "R2"]
