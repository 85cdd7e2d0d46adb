"""The program as a process of its own: its door, its progress line on a terminal, and being interrupted."""

from __future__ import annotations

import json
import os
import pty
import shutil
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from planner.domain.plan import Plan
from planner.store import SeasonFile

pytestmark = pytest.mark.xdist_group("heath")


def _command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "planner", *(str(argument) for argument in arguments)]


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


@dataclass(frozen=True, slots=True)
class Interrupted:
    """What planning the whole demo said on a terminal and beside it, interrupted once a plan was there."""

    shown: str
    """On the terminal, which standard error goes to."""
    said: bytes
    """On standard output."""
    status: int
    plan: Plan


@pytest.fixture(scope="module")
def interrupted(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Interrupted:
    """Plan the demo anew in a process of its own with a terminal, and press Ctrl+C there."""
    heath = Path(shutil.copy(heath_made / "heath.dimpsy", tmp_path_factory.mktemp("interrupted")))
    for roads in heath_made.glob("heath.roads*"):
        shutil.copy(roads, heath.parent)
    with SeasonFile.open(heath) as file, file.step("Take the plan away"):
        file.save_plan(Plan())
    ours, theirs = _terminal()
    with subprocess.Popen(_command("plan", heath), stdout=subprocess.PIPE, stderr=theirs) as process:
        os.close(theirs)
        shown = _until(ours, "with a reserve")
        process.send_signal(signal.SIGINT)
        shown += _until(ours, "keeping the best plan")
        said, _ = process.communicate()
    os.close(ours)
    with SeasonFile.open(heath) as file:
        return Interrupted(shown, said, process.returncode, file.plan())


def test_that_progress_shows_on_a_terminal_and_nowhere_else(interrupted: Interrupted) -> None:
    assert "visits filled" in interrupted.shown
    assert "with a reserve" in interrupted.shown
    assert b"\r" not in interrupted.said


def test_that_ctrl_c_stops_planning_and_keeps_the_best_plan_so_far(interrupted: Interrupted) -> None:
    assert "keeping the best plan" in interrupted.shown
    assert "Traceback" not in interrupted.shown
    assert b"Stopped as asked" in interrupted.said
    assert interrupted.status == 1
    assert len(interrupted.plan) == 45


def test_that_a_command_loads_no_other_and_not_what_plans_or_draws() -> None:
    script = (
        "import sys; from planner.cli.main import build_parser; build_parser('history'); print(*sorted(sys.modules))"
    )
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.split()
    assert [name for name in loaded if name.startswith("planner.cli.commands.")] == ["planner.cli.commands.history"]
    assert not {"highspy", "pandas", "PySide6.QtGui", "planner.printing.document"} & set(loaded)
