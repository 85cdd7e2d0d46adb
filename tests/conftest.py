"""What every test stands on: a screen of its own, one application object, and property tests without a clock."""

from __future__ import annotations

import gc
import os
import shutil
import subprocess

import pytest
from hypothesis import settings
from PySide6.QtWidgets import QApplication

from planner.desktop.collecting import collect_as_due

# A slow machine is no fault of the code; CI tries the same examples each time, a developer's run new ones.
settings.register_profile("suite", deadline=None, derandomize="CI" in os.environ, max_examples=50)
settings.load_profile("suite")

_LONGEST_IN_A_NAME = 80
_screens: list[subprocess.Popen[bytes]] = []


def pytest_configure(config: pytest.Config) -> None:
    """Give the process that runs tests a screen: a real one in memory where there is Xvfb, else none at all.

    Garbage is collected between tests and on their thread only: a widget that ends on another one, as the one that
    hears from the test runner's master, ends the process.
    """
    gc.disable()
    if "QT_QPA_PLATFORM" in os.environ or (config.getoption("numprocesses", None) and not _is_worker(config)):
        return
    if shutil.which("Xvfb") is None:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        return
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1920x1200x24", "-nolisten", "tcp"]
    _screens.append(subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL))
    os.close(writing)
    with os.fdopen(reading) as number:
        os.environ["DISPLAY"] = f":{number.readline().strip()}"
    os.environ["QT_QPA_PLATFORM"] = "xcb"


def pytest_unconfigure() -> None:
    """Put the screen away."""
    for screen in _screens:
        screen.terminate()
        screen.wait()


def pytest_make_parametrize_id(val: object, argname: str) -> str | None:
    """Name bytes and long texts after their argument.

    An archive has the time it was packed in it, and both processes of a run must know a test by one name.
    """
    if isinstance(val, bytes) or (isinstance(val, str) and len(val) > _LONGEST_IN_A_NAME):
        return argname
    return None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the journeys first: they are the longest, and they time a window that no earlier one has left things to."""
    items.sort(key=lambda item: "journeys" not in item.path.parts)


def pytest_collection_finish() -> None:
    """Look no more through what has been loaded: half a second each time garbage of all ages is collected."""
    gc.collect()
    gc.freeze()


def pytest_runtest_teardown() -> None:
    """Collect what a test has left."""
    collect_as_due()


def _is_worker(config: pytest.Config) -> bool:
    return hasattr(config, "workerinput")


@pytest.fixture(scope="session", autouse=True)
def one_application(qapp: QApplication) -> QApplication:
    """Let the suite's own application exist before anything is drawn: there must never be two."""
    return qapp
