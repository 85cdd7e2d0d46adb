"""A board on the small season: for tests to which a few routes and people are as good as many."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.usecases.paper.papers import PaperHashes
from tests.desktop.conftest import Known


@pytest.fixture
def season_path(small_path: Path) -> Path:
    """Return the season that is opened."""
    return small_path


@pytest.fixture(scope="session")
def known_early() -> list[Known]:
    """Hold what was computed of it on the board's day, once it has been."""
    return []


@pytest.fixture(scope="session")
def paper_hashes() -> PaperHashes:
    """Return one memory of what its papers say, for every test."""
    return PaperHashes()
