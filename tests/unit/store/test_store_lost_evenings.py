"""What the coordinator expects of the weather in the season file: kept, undone, brought into older files."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import apsw
import pytest

from planner.domain.errors import SeasonFileError
from planner.domain.lost_evenings import HALF_MONTHS, LostEvenings
from planner.forms import protocol_to_plain
from planner.store import SeasonFile
from planner.store.history import keep_step, start_recording
from planner.store.migrating import migrate, shipped_migrations
from tests.unit.store.season_strategies import SMALL_PROTOCOL, SMALL_SEASON

WET = LostEvenings(tuple(number / HALF_MONTHS for number in range(HALF_MONTHS)), 0.3)
DRY = replace(WET, persistence=0.1, chances=(0.05, *WET.chances[1:]))


def test_that_setting_and_changing_the_weather_is_undone_and_redone_step_by_step(season_file: SeasonFile) -> None:
    for weather in (WET, DRY, None):
        with season_file.step("Set the weather") as step:
            season_file.save_season(replace(SMALL_SEASON, lost_evenings=weather))
        assert step.changed.tables == {"season", "lost_evening"}
        assert season_file.season().lost_evenings == weather
    for weather in (DRY, WET, None):
        season_file.undo()
        assert season_file.season().lost_evenings == weather
    season_file.redo()
    assert season_file.season().lost_evenings == WET


def test_that_only_the_half_months_that_differ_are_written(season_file: SeasonFile) -> None:
    with season_file.step("Set the weather"):
        season_file.save_season(replace(SMALL_SEASON, lost_evenings=WET))
    before = season_file._connection.total_changes()
    with season_file.step("One half-month"):
        season_file.save_season(replace(SMALL_SEASON, lost_evenings=replace(WET, chances=DRY.chances)))
    # One chance, and the step itself.
    assert season_file._connection.total_changes() - before == 2


@pytest.mark.parametrize(
    "damage",
    ["DELETE FROM lost_evening WHERE half_month = 7", "UPDATE lost_evening SET chance = 7 WHERE half_month = 3"],
)
def test_that_weather_made_impossible_from_outside_is_said(season_path: Path, damage: str) -> None:
    with SeasonFile.create(season_path, replace(SMALL_SEASON, lost_evenings=WET)):
        pass
    connection = apsw.Connection(str(season_path))
    connection.execute(damage)
    connection.close()
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        file.season()


def test_that_a_file_from_before_the_weather_keeps_its_season_and_its_history(season_path: Path) -> None:
    """The steps of such a file recorded fewer columns than the table has now."""
    connection = apsw.Connection(str(season_path))
    migrate(connection, shipped_migrations()[:1])
    dates = [text for one in SMALL_SEASON.visits for text in (one.first.isoformat(), one.last.isoformat())]
    with connection:
        protocol = json.dumps(protocol_to_plain(SMALL_PROTOCOL))
        connection.execute(
            "INSERT INTO season VALUES (1, 'Before', 'Europe/London', ?, ?, ?, '', '', '', NULL, NULL, NULL, '')",
            (dates[0], dates[-1], protocol),
        )
        connection.execute("INSERT INTO visit_range VALUES (1, ?, ?), (2, ?, ?)", dates)
    with connection:
        recording = start_recording(connection)
        connection.execute("UPDATE season SET name = 'After'")
        keep_step(connection, "Rename", recording.changeset())
        recording.close()
    connection.close()
    with SeasonFile.open(season_path) as file:
        assert file.season() == replace(SMALL_SEASON, name="After")
        with file.step("Set the weather"):
            file.save_season(replace(file.season(), lost_evenings=WET))
        file.undo()
        file.undo()
        assert file.season() == replace(SMALL_SEASON, name="Before")
        file.redo()
        file.redo()
        assert file.season() == replace(SMALL_SEASON, name="After", lost_evenings=WET)
