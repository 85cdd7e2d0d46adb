"""The program as a process of its own: its door, its progress line on a terminal, and being interrupted."""

from __future__ import annotations

import json
import os
import pty
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from planner.domain.plan import Plan
from planner.store import SeasonFile

pytestmark = pytest.mark.xdist_group("heath")


def _command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "planner", *(str(argument) for argument in arguments)]


def _unplanned(heath: Path) -> None:
    with SeasonFile.open(heath) as file, file.step("Take the plan away"):
        file.save_plan(Plan())


def _terminal() -> tuple[int, int]:
    """Return both ends of a new terminal; a bare system without any cannot show what a terminal would."""
    try:
        return pty.openpty()
    except OSError as error:
        pytest.skip(f"this system has no terminals to open: {error}")


def _until(terminal: int, words: str) -> str:
    """Read a terminal until it shows those words, or is closed."""
    shown = ""
    while words not in shown:
        try:
            piece = os.read(terminal, 4096)
        except OSError:
            break
        if not piece:
            break
        shown += piece.decode("utf-8", "replace")
    return shown


def test_that_standard_output_holds_one_json_object_and_nothing_else(heath: Path) -> None:
    done = subprocess.run(_command("check", heath, "--json"), capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert len(json.loads(done.stdout)["findings"]) == 5
    assert done.stderr == ""


def test_that_progress_shows_on_a_terminal_and_nowhere_else(heath: Path) -> None:
    _unplanned(heath)
    ours, theirs = _terminal()
    command = _command("plan", heath, "--seconds", "2")
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, text=True) as process:
        os.close(theirs)
        shown = _until(ours, "with a reserve")
        said, _ = process.communicate()
    os.close(ours)
    assert "visits filled" in shown
    assert "\r" not in said


def test_that_ctrl_c_stops_planning_and_keeps_the_best_plan_so_far(heath: Path) -> None:
    _unplanned(heath)
    ours, theirs = _terminal()
    with subprocess.Popen(_command("plan", heath), stdout=subprocess.PIPE, stderr=theirs) as process:
        os.close(theirs)
        _until(ours, "visits filled")
        process.send_signal(signal.SIGINT)
        shown = _until(ours, "keeping the best plan")
        said, _ = process.communicate()
    os.close(ours)
    assert "Traceback" not in shown
    assert b"Stopped as asked" in said
    assert process.returncode == 1
    with SeasonFile.open(heath) as file:
        assert len(file.plan()) == 45
