"""Qt is loaded when something is drawn, and has one application object."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from PySide6.QtGui import QGuiApplication

import planner.printing
from planner.printing import ensure_gui


def _run(code: str, **environment: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("QT_", "DISPLAY", "WAYLAND"))}
    return subprocess.run(
        [sys.executable, "-c", code], env=kept | environment, capture_output=True, text=True, check=False, timeout=60
    )


def test_that_importing_the_package_loads_no_qt() -> None:
    done = _run(
        "import sys, planner.printing as p; p.Paper.A4; sys.exit(any('PySide6' in name for name in sys.modules))"
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_when_there_is_no_display_an_application_without_one_is_made_once() -> None:
    done = _run(
        "from planner.printing import ensure_gui\none = ensure_gui()\nprint(one.platformName(), ensure_gui() is one)"
    )
    assert (done.stdout, done.returncode) == ("offscreen True\n", 0)


def test_when_a_display_is_named_that_does_not_answer_printing_still_works() -> None:
    done = _run("from planner.printing import ensure_gui; print(ensure_gui().platformName())", DISPLAY=":4711")
    assert (done.stdout, done.returncode) == ("offscreen\n", 0)


def test_when_the_process_runs_an_application_without_fonts_it_is_said() -> None:
    done = _run(
        "from PySide6.QtCore import QCoreApplication\n"
        "app = QCoreApplication([])\n"
        "from planner.printing import ensure_gui\n"
        "ensure_gui()"
    )
    assert "printing needs a QGuiApplication" in done.stderr


def test_that_the_running_application_is_used() -> None:
    assert ensure_gui() is QGuiApplication.instance()


def test_that_an_unknown_name_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'Parchment'"):
        _ = planner.printing.Parchment


def test_when_a_build_of_qt_uses_none_up_it_is_refused_before_it_crashes() -> None:
    # A stand-in for such a build: a spot whose setter gives back a reference to None that it never took.
    done = _run(
        "import ctypes\n"
        "import planner.printing.gui as gui\n"
        "ctypes.pythonapi.Py_DecRef.argtypes = [ctypes.py_object]\n"
        "ctypes.pythonapi.Py_IncRef.argtypes = [ctypes.py_object]\n"
        "for _ in range(5000): ctypes.pythonapi.Py_IncRef(None)\n"
        "class Spot:\n"
        "    def setX(self, across): ctypes.pythonapi.Py_DecRef(None)\n"
        "gui.QPointF = Spot\n"
        "gui.ensure_gui()"
    )
    counted = sys.version_info < (3, 12)
    assert ("Install an earlier one: pip install 'PySide6-Essentials<6.12'" in done.stderr) is counted
