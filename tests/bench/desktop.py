"""All figures of the window by one command: its start, the frames of map and board, and how long it stood still."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.desktop.watchdog import BLOCKED_AT_MOST_MS

_SINGLE = ("start", "map", "board")


def run(arguments: list[str]) -> dict[str, object]:
    """Run the benches ``start``, ``map`` and ``board`` as programs of their own, then every journey.

    A journey's ``cpu_ms`` is the longest time that the interface thread worked without looking at its events, and
    ``wall_ms`` the same by the clock, in which other programs have a share.

    Args:
        arguments: none.
    """
    if arguments:
        raise SystemExit("python -m tests.bench desktop takes no options; the single benches do")
    single = {name: json.loads(_output([sys.executable, "-m", "tests.bench", name, "--json"])) for name in _SINGLE}
    journeys = _journeys()
    return {
        **single,
        "journeys": journeys,
        "longest_cpu_ms": max(row["cpu_ms"] for row in journeys),
        "promised_ms": BLOCKED_AT_MOST_MS,
    }


def _journeys() -> list[dict[str, float]]:
    with tempfile.TemporaryDirectory() as folder:
        told = Path(folder) / "pauses.jsonl"
        environment = {**os.environ, "DIMPSY_PAUSES": str(told)}
        subprocess.run([sys.executable, "-m", "pytest", "-q", "tests/journeys"], env=environment, check=False)
        return [json.loads(line) for line in told.read_text(encoding="utf-8").splitlines()]


def _output(command: list[str]) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout
