"""From starting the program to a usable window on the demo, beside an empty PySide6 window with ``import pandas``.

Both are started as programs of their own, in turn, on the same screen; the middle of several runs of each counts.
The window is usable when the season has been read, its first room is painted, and the event loop waits for a person.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from planner.usecases.demo import Scenario, make_demo_season

PROMISED_RATIO = 2.0

_EMPTY = """
import pandas
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
window.resize(1280, 800)
window.show()
QTimer.singleShot(0, app.quit)
app.exec()
"""

_OURS = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from planner.desktop.settings import Settings
from planner.desktop.window.main_window import MainWindow
app = QApplication([])
window = MainWindow(Settings(Path(sys.argv[2])))
window.show()
window.opened.connect(lambda _pane: QTimer.singleShot(0, usable))
def usable():
    import os
    print(sorted(name for name in HEAVY if name in sys.modules), flush=True)
    os._exit(0)
HEAVY = ("highspy", "pandas", "osmium", "scipy", "networkx", "shapely")
window.open_season(Path(sys.argv[1]))
app.exec()
"""


def run(arguments: list[str]) -> dict[str, object]:
    """Return both times in seconds, their ratio, and which heavy libraries were loaded before the window was usable."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench start")
    parser.add_argument("--repeat", type=int, default=7)
    wanted = parser.parse_args(arguments)
    environment = {**os.environ, "QT_QPA_PLATFORM": os.environ.get("QT_QPA_PLATFORM", "offscreen")}
    with tempfile.TemporaryDirectory() as folder:
        season = make_demo_season(Scenario.HEATH, Path(folder) / "demo")
        ours = [sys.executable, "-c", _OURS, str(season), str(Path(folder) / "settings.ini")]
        empty = [sys.executable, "-c", _EMPTY]
        times: dict[str, list[float]] = {"empty": [], "ours": []}
        heavy = ""
        for _ in range(wanted.repeat):
            times["empty"].append(_timed(empty, environment)[0])
            seconds, heavy = _timed(ours, environment)
            times["ours"].append(seconds)
    middle = {name: statistics.median(seconds) for name, seconds in times.items()}
    return {
        "empty_window_with_pandas_s": round(middle["empty"], 3),
        "usable_window_s": round(middle["ours"], 3),
        "ratio": round(middle["ours"] / middle["empty"], 2),
        "promised_ratio": PROMISED_RATIO,
        "heavy_libraries_loaded_before": heavy,
    }


def _timed(command: list[str], environment: dict[str, str]) -> tuple[float, str]:
    begin = time.perf_counter()
    done = subprocess.run(command, env=environment, check=True, capture_output=True, text=True)
    return time.perf_counter() - begin, done.stdout.strip()
