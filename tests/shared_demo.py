"""The demo season that the tests of the command line, the window and the journeys read, made once a run."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from filelock import FileLock

from planner.cli.main import run


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the dusk demo, planned, printed and shared by all test processes of a run: only read it."""
    root = tmp_path_factory.getbasetemp()
    root = root.parent if "PYTEST_XDIST_WORKER" in os.environ else root
    folder = root / "shared-demo"
    with FileLock(root / "shared-demo.lock"):
        if not folder.exists():
            making = root / "shared-demo.part"
            assert run(["demo", str(making)]) == 0
            making.rename(folder)
    return folder
