"""The program with a window: makes the application object, opens what is asked for, and runs until it is closed."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QLibraryInfo, QLocale, QTranslator
from PySide6.QtWidgets import QApplication

from planner.desktop.collecting import Collecting
from planner.desktop.settings import Settings
from planner.desktop.window.main_window import MainWindow

NO_SCREEN = 2
"""Exit status where the window cannot be opened: wrong usage, as of the commands."""


def has_screen(environment: Mapping[str, str]) -> bool:
    """Whether there is anything to draw a window on; without it Qt would end the process."""
    if sys.platform in ("win32", "darwin"):
        return True
    return any(environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def run(arguments: Sequence[str]) -> int:
    """Open the window, with a season file where one is named, and return the exit status once it is closed."""
    if not has_screen(os.environ):
        sys.stderr.write("dimpsy: there is no screen to open the window on; the commands need none: dimpsy --help\n")
        return NO_SCREEN
    app = QApplication([sys.argv[0]])
    app.setApplicationName("Dimpsy")
    app.setApplicationDisplayName("Dimpsy")
    app.setDesktopFileName("dimpsy")
    translator = QTranslator(app)
    if translator.load(QLocale.system(), "qtbase", "_", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        app.installTranslator(translator)
    collecting = Collecting(app)
    window = MainWindow(Settings())
    sys.excepthook = partial(_show_fault, window)
    window.show()
    if arguments:
        window.open_season(Path(arguments[0]))
    status = app.exec()
    collecting.end()
    return status


def _show_fault(
    window: MainWindow, kind: type[BaseException], error: BaseException, trace: TracebackType | None
) -> None:
    """Say that the program has a fault, where a person sees it and can copy it; the season is safe in its file."""
    sys.__excepthook__(kind, error, trace)
    last = traceback.extract_tb(trace)[-1:] if trace is not None else []
    where = "".join(f"{Path(frame.filename).name}:{frame.lineno}" for frame in last)
    window.show_fault(f"{kind.__name__}: {error} ({where})")
