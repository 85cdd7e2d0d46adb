"""A copy of a season holds all of it; what lies there already stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.errors import InputError, SeasonFileError
from planner.store import SeasonFile
from planner.usecases.copying import copy_season
from planner.usecases.season.coordinator import set_coordinator
from planner.usecases.season.opening import road_network
from tests.unit.usecases.edited_seasons import heath_file, season_file


def test_that_a_copy_has_season_plan_and_history_and_goes_its_own_way(tmp_path: Path) -> None:
    target = tmp_path / "copy.dimpsy"
    with season_file(tmp_path) as file:
        copy_season(file, target)
        with SeasonFile.open(target) as copy:
            assert (copy.season(), copy.plan(), copy.history()) == (file.season(), file.plan(), file.history())
            copy.undo()
            assert len(copy.plan()) == 0
        assert len(file.plan()) > 0


def test_that_the_road_map_goes_along(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    target = tmp_path / "elsewhere" / "copy.dimpsy"
    with heath_file(tmp_path) as file:
        copy_season(file, target)
    with SeasonFile.open(target) as copy:
        assert road_network(target, copy.season().roads) is not None


def test_that_nothing_is_written_over_and_no_folder_is_made_up(tmp_path: Path) -> None:
    taken = tmp_path / "taken.dimpsy"
    taken.write_text("mine")
    with season_file(tmp_path) as file:
        with pytest.raises(InputError, match="another name"):
            copy_season(file, taken)
        with pytest.raises(InputError, match="folder that is there"):
            copy_season(file, tmp_path / "nowhere" / "copy.dimpsy")
    assert taken.read_text() == "mine"


def test_that_a_file_taken_away_while_it_is_open_is_said_to_be_gone(tmp_path: Path) -> None:
    with season_file(tmp_path) as made:
        path = made.path
    with SeasonFile.open(path) as file:
        path.unlink()
        with pytest.raises(SeasonFileError, match=r"no longer there.*backup-1"):
            set_coordinator(file, name="Wilf Oakenfold")
