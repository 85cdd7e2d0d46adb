"""Fonts and painters need one Qt application object: make it where there is none."""

from __future__ import annotations

import os
import sys

import PySide6
from PySide6.QtCore import QCoreApplication, QPointF
from PySide6.QtGui import QGuiApplication

from planner.domain.errors import DimpsyError

_kept: list[QGuiApplication] = []


def ensure_gui() -> QGuiApplication:
    """Return the running application object, or make one that needs no display.

    A program with a window has made its own before it prints. Where none exists nothing will be shown, so
    the 'offscreen' platform is taken even where a display is named: one that does not answer would end the process.
    ``QT_QPA_PLATFORM`` in the environment is honoured.

    Raises:
        RuntimeError: an application object without fonts is already running in this process.
        DimpsyError: this build of PySide6 would end the process in the middle of a page.
    """
    _refuse_a_build_that_loses_none()
    running = QCoreApplication.instance()
    if isinstance(running, QGuiApplication):
        return running
    if running is not None:
        raise RuntimeError("printing needs a QGuiApplication, but this process runs a QCoreApplication")
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    made = QGuiApplication(["dimpsy"])
    made.setApplicationName("Dimpsy")
    _kept.append(made)
    return made


def _refuse_a_build_that_loses_none() -> None:
    """Stop before the interpreter would.

    PySide6 6.12.0 returns None from calls without counting the reference, which is right only where None is never
    counted (Python 3.12 and later). Under 3.11 some thousand calls use None up and the interpreter aborts.
    """
    calls = 500
    spot = QPointF()
    before = sys.getrefcount(None)
    for _ in range(calls):
        spot.setX(0.0)
    if before - sys.getrefcount(None) >= calls // 2:
        raise DimpsyError(
            f"PySide6 {PySide6.__version__} does not work with Python {sys.version_info[0]}.{sys.version_info[1]}:"
            " it would crash while drawing. Install an earlier one: pip install 'PySide6-Essentials<6.12'"
        )
