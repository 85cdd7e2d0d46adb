"""Road speeds in the season file: kept, undone, and absent from older files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import apsw
import pytest

from planner.domain.errors import SeasonFileError
from planner.domain.road_speeds import RoadSpeeds
from planner.store import SeasonFile
from tests.unit.store.season_strategies import SMALL_SEASON

SLOW = RoadSpeeds((("tertiary", 40.0), ("track", 12.5)), 0.9)


def test_that_speeds_come_back_and_are_undone_step_by_step(season_file: SeasonFile) -> None:
    for speeds in (SLOW, RoadSpeeds(SLOW.class_kmh[:1])):
        with season_file.step("Speeds"):
            season_file.save_season(replace(SMALL_SEASON, road_speeds=speeds))
        assert season_file.season().road_speeds == speeds
    season_file.undo()
    assert season_file.season().road_speeds == SLOW
    season_file.undo()
    assert season_file.season().road_speeds == RoadSpeeds()


@pytest.mark.parametrize(
    "damage",
    ["UPDATE road_speed SET kmh = 900", "UPDATE season SET road_speed_factor = 0", "UPDATE road_speed SET kind = 'A1'"],
)
def test_that_speeds_made_impossible_from_outside_are_said(season_path: Path, damage: str) -> None:
    with SeasonFile.create(season_path, replace(SMALL_SEASON, road_speeds=RoadSpeeds((("track", 12.0),)))):
        pass
    connection = apsw.Connection(str(season_path))
    connection.execute(damage)
    connection.close()
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        file.season()
