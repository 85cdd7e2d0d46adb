"""What people were told: kept, replaced, never undone; and what names a season for good."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import SeasonFileError
from planner.domain.field.told import Told, ToldKey, ToldKind
from planner.store import SeasonFile
from tests.unit.store.season_strategies import SMALL_SEASON

WHEN = dt.datetime(2027, 4, 1, 9, 0, 30, tzinfo=dt.timezone(dt.timedelta(hours=1)))
TOLD = (
    Told(ToldKey("V01", "R01", 1, ToldKind.RESERVE), 0, '{"ü": 1}', cancelled=False, when_utc=WHEN),
    Told(ToldKey("V01", "R01", 1, ToldKind.VISIT), 2, "b", cancelled=True, when_utc=WHEN, before="a"),
)


def test_that_what_was_told_is_read_back_and_replaced_and_the_rest_stays(season_file: SeasonFile) -> None:
    with season_file.step("Write notices"):
        season_file.record_told(TOLD)
    assert season_file.told() == TOLD
    newer = replace(TOLD[0], sequence=1, content="c", before='{"ü": 1}')
    with season_file.step("Write notices"):
        season_file.record_told([newer])
    assert season_file.told() == (newer, TOLD[1])


def test_that_telling_is_no_step_of_the_history_and_undoing_leaves_it(season_file: SeasonFile) -> None:
    with season_file.step("Rename"):
        season_file.save_season(replace(SMALL_SEASON, name="Another"))
    with season_file.step("Write notices") as step:
        season_file.record_told(TOLD)
    assert not step.changed
    assert season_file.undo().label == "Rename"
    assert season_file.told() == TOLD


def test_that_a_season_s_name_for_good_is_its_own_and_stays_over_steps_renaming_and_copies(
    season_file: SeasonFile, season_path: Path
) -> None:
    identity = season_file.identity
    assert len(bytes.fromhex(identity)) == 16
    with season_file.step("Rename"):
        season_file.save_season(replace(SMALL_SEASON, name="Another"))
    season_file.copy_to(season_path.with_name("copy.dimpsy"))
    for path in (season_path, season_path.with_name("copy.dimpsy")):
        if path is season_path:
            season_file.close()
        with SeasonFile.open(path) as again:
            assert again.identity == identity
    with SeasonFile.create(season_path.with_name("other.dimpsy"), SMALL_SEASON) as other:
        assert other.identity != identity


@pytest.mark.parametrize(
    "meddling", ["DELETE FROM season_identity", "UPDATE told SET kind = 'whim' WHERE kind = 'visit'"]
)
def test_that_rows_changed_from_outside_are_told(season_file: SeasonFile, meddling: str) -> None:
    with season_file.step("Write notices"):
        season_file.record_told(TOLD)
    season_file._connection.execute(meddling)
    with pytest.raises(SeasonFileError, match="damaged"):
        _ = season_file.identity, season_file.told()
