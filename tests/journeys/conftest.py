"""A person before an open window; whatever they do, the interface thread is never kept from its events for long."""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.window.main_window import MainWindow
from tests.desktop.conftest import season_path
from tests.desktop.watchdog import BLOCKED_AT_MOST_MS, Watchdog
from tests.desktop.windows import open_window, pane_of, settle
from tests.journeys.person import Person
from tests.shared_demo import demo_folder

__all__ = ["demo_folder", "season_path"]


TRACED = 2.0
"""Python takes about twice as long while coverage looks at each line; ``tests.bench desktop`` runs without it."""


@pytest.fixture
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the journey's pictures; ``DIMPSY_PICTURES`` names one that stays."""
    kept = os.environ.get("DIMPSY_PICTURES")
    if kept is None:
        return tmp_path_factory.mktemp("pictures")
    Path(kept).mkdir(parents=True, exist_ok=True)
    return Path(kept)


@pytest.fixture
def person(request: pytest.FixtureRequest, qtbot: QtBot, tmp_path: Path, pictures: Path) -> Iterator[Person]:
    """Return a person before the start page."""
    window = open_window(qtbot, tmp_path)
    window.activateWindow()
    someone = Person(window, qtbot, pictures)
    yield someone
    _judge_pauses(request.node.name, someone.watchdog)


@pytest.fixture(scope="module")
def window_with_demo(
    request: pytest.FixtureRequest, qapp: QApplication, demo_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[MainWindow]:
    """Return one window for the journeys of a module, a copy of the demo season open in it and every room made."""
    folder = tmp_path_factory.mktemp("season")
    for source in (*demo_folder.glob("heath.dimpsy"), *demo_folder.glob("heath.*.npz")):
        shutil.copy2(source, folder / source.name)
    qtbot = QtBot(request)
    window = open_window(qtbot, folder)
    window.open_season(folder / "heath.dimpsy")
    settle(qtbot, window)
    qtbot.waitUntil(lambda: pane_of(window).is_furnished, timeout=60_000)
    yield window
    window.close()
    window.deleteLater()
    qapp.processEvents()


@pytest.fixture
def person_at_demo(
    request: pytest.FixtureRequest, qtbot: QtBot, window_with_demo: MainWindow, pictures: Path
) -> Iterator[Person]:
    """Return a person before that window, the season as the journey before has left it."""
    window_with_demo.activateWindow()
    someone = Person(window_with_demo, qtbot, pictures)
    someone.rests()
    yield someone
    _judge_pauses(request.node.name, someone.watchdog)


def _judge_pauses(journey: str, dog: Watchdog) -> None:
    _write_pauses(journey, dog)
    allowed_ms = BLOCKED_AT_MOST_MS * (TRACED if sys.gettrace() is not None else 1.0)
    assert dog.longest_cpu_ms <= allowed_ms, f"the window stood still for {dog.longest_cpu_ms:.0f} ms: {dog.where}"


def _write_pauses(journey: str, dog: Watchdog) -> None:
    """Tell a benchmark how long the window stood still, where ``DIMPSY_PAUSES`` names a file for it."""
    told = os.environ.get("DIMPSY_PAUSES")
    if told is not None:
        row = {
            "journey": journey,
            "cpu_ms": round(dog.longest_cpu_ms),
            "wall_ms": round(dog.longest_wall_ms),
            "where": dog.where,
        }
        with Path(told).open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
