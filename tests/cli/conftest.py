"""Command lines run in this process, and the demo season for them."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from planner.cli.main import run
from planner.domain.plan import Plan
from planner.store import SeasonFile
from planner.usecases.sending.send import send_files
from tests.shared_demo import demo_folder

__all__ = ["demo_folder"]


@dataclass(frozen=True, slots=True)
class Said:
    """What one command line came to."""

    status: int
    out: str
    err: str

    @property
    def data(self) -> Any:  # noqa: ANN401  the shape is what the tests look into
        """The JSON object on standard output."""
        return json.loads(self.out)


FEW = ("R01", "R02", "R04", "R09", "R17", "R22")
"""Routes of the dusk demo that stand for all: of one and of two people, filled, half filled and unfilled."""

Dimpsy = Callable[..., Said]


@pytest.fixture
def dimpsy(capsys: pytest.CaptureFixture[str]) -> Dimpsy:
    """Run one command line in this process and return what it said."""

    def call(*arguments: object) -> Said:
        status = run([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return Said(status, said.out, said.err)

    return call


def said_by(*arguments: object) -> Said:
    """Run one command line in this process, for what is made once and read by many."""
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()) as err:
        status = run([str(argument) for argument in arguments])
    return Said(status, out.getvalue(), err.getvalue())


@pytest.fixture(scope="session")
def heath_made(demo_folder: Path) -> Path:
    """Return the folder of the dusk demo; do not change it."""
    return demo_folder


@pytest.fixture
def heath(heath_made: Path, tmp_path: Path) -> Path:
    """Return a copy of the dusk demo's season file that a test may change."""
    for path in heath_made.glob("heath*"):
        if not path.name.endswith(".lock"):
            shutil.copy(path, tmp_path / path.name)
    return tmp_path / "heath.dimpsy"


@dataclass(frozen=True, slots=True)
class PlannedAgain:
    """What planning the planned demo once more came to, and the steps of its history before and after."""

    said: Said
    steps_before: int
    steps_after: int


@pytest.fixture(scope="session")
def planned_again(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> PlannedAgain:
    """Plan the dusk demo once more, before its first evening."""
    folder = tmp_path_factory.mktemp("planned")
    for path in (*heath_made.glob("heath.dimpsy"), *heath_made.glob("heath.roads*")):
        shutil.copy(path, folder / path.name)
    season = folder / "heath.dimpsy"
    before = len(said_by("history", season, "--json").data["steps"])
    said = said_by("plan", season, "--today", "2027-01-01", "--json")
    return PlannedAgain(said, before, len(said_by("history", season, "--json").data["steps"]))


@dataclass(frozen=True, slots=True)
class MadeDemo:
    """A demo that was made without naming a folder for it."""

    started_in: Path
    said: Said


@pytest.fixture(scope="session")
def reedhaven_made(tmp_path_factory: pytest.TempPathFactory) -> MadeDemo:
    """Make the dawn demo in a folder that holds something of the usual name already."""
    folder = tmp_path_factory.mktemp("reedhaven")
    (folder / "dimpsy-demo").mkdir()
    with contextlib.chdir(folder):
        return MadeDemo(folder, said_by("demo", "--scenario", "reedhaven", "--json"))


@pytest.fixture(scope="session")
def sent_once(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the dusk demo and, in ``out``, what went out to people in April; do not change it."""
    folder = tmp_path_factory.mktemp("sent")
    for path in heath_made.glob("heath*"):
        if not path.name.endswith(".lock"):
            shutil.copy(path, folder / path.name)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        send_files(file, folder / "out", None, dt.datetime(2027, 4, 1, 9, 0, tzinfo=dt.UTC))
    return folder


@pytest.fixture(scope="session")
def few_routes_made(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the season file of the dusk demo with a quarter of its routes, so that commands are quick."""
    folder = tmp_path_factory.mktemp("few_routes")
    for path in heath_made.glob("heath*"):
        if path.suffix in {".dimpsy", ".npz"}:
            shutil.copy(path, folder / path.name)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        season, plan = file.season(), file.plan()
        with file.step("Six routes are left"):
            file.save_plan(Plan(tuple(visit for visit in plan if visit.key.route in FEW)))
            file.save_season(replace(season, routes=tuple(one for one in season.routes if one.code in FEW)))
    return folder / "heath.dimpsy"


@pytest.fixture
def few_routes(few_routes_made: Path, tmp_path: Path) -> Path:
    """Return a copy of the season with few routes that a test may change."""
    for path in few_routes_made.parent.glob("heath*"):
        if path.suffix in {".dimpsy", ".npz"}:
            shutil.copy(path, tmp_path / path.name)
    return tmp_path / few_routes_made.name
