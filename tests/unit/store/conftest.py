from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.store import SeasonFile
from tests.unit.store.season_strategies import SMALL_SEASON, small_route, small_volunteer


@pytest.fixture
def season_path(tmp_path: Path) -> Path:
    return tmp_path / "moths.dimpsy"


@pytest.fixture
def season_file(season_path: Path) -> Iterator[SeasonFile]:
    """An open file with an empty season at its first day."""
    with SeasonFile.create(season_path, SMALL_SEASON) as file:
        yield file


@pytest.fixture
def staffed_file(season_file: SeasonFile) -> SeasonFile:
    """An open file with two routes and two volunteers, put in by one step."""
    with season_file.step("Import routes and volunteers"):
        season_file.save_season(
            replace(
                SMALL_SEASON,
                routes=(small_route("R1"), small_route("R2")),
                volunteers=(small_volunteer("V1"), small_volunteer("V2")),
            )
        )
    return season_file


@pytest.fixture
def unprivileged_folder() -> Iterator[Path]:
    """A folder outside the reach of this process's own rights, which root would else have everywhere."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        if os.geteuid() != os.getuid():
            os.seteuid(os.getuid())
        folder.chmod(0o755)
