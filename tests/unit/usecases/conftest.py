"""The dawn demo, planned once and copied for each test that changes it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.store import SeasonFile
from planner.usecases.demo import Scenario, make_demo


@pytest.fixture(scope="session")
def reedhaven_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the season file of the dawn demo; do not change it."""
    return make_demo(Scenario.REEDHAVEN, tmp_path_factory.mktemp("reedhaven")).path


@pytest.fixture
def reedhaven(reedhaven_made: Path, tmp_path: Path) -> Iterator[SeasonFile]:
    """Open a copy of the dawn demo that a test may change."""
    for path in reedhaven_made.parent.glob("reedhaven*"):
        if path.suffix != ".lock":
            shutil.copy(path, tmp_path / path.name)
    with SeasonFile.open(tmp_path / "reedhaven.dimpsy") as file:
        yield file
