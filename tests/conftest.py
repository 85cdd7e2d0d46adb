"""What every test stands on: Qt without a screen, one application object, and property tests without a clock."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings
from PySide6.QtWidgets import QApplication

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# A slow machine is no fault of the code; CI tries the same examples each time, a developer's run new ones.
settings.register_profile("suite", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("suite")


@pytest.fixture(scope="session", autouse=True)
def one_application(qapp: QApplication) -> QApplication:
    """Let the suite's own application exist before anything is drawn: there must never be two."""
    return qapp
