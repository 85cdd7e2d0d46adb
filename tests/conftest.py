"""What every test stands on: Qt without a screen, and one application object."""

from __future__ import annotations

import os

import pytest
from PySide6.QtWidgets import QApplication

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(scope="session", autouse=True)
def one_application(qapp: QApplication) -> QApplication:
    """Let the suite's own application exist before anything is drawn: there must never be two."""
    return qapp
