"""A copy of the planned demo season, and a desk with it open."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK, LIGHT, Colours
from planner.desktop.look.style import apply_look
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.settings import Settings
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.checking import Checked
from planner.usecases.paper.papers import PaperHashes
from tests.shared_demo import demo_folder

__all__ = ["demo_folder"]

Known = tuple[SeasonProblem, RoadNetwork | None, Checked]
_FEW_ROUTES = ("R01", "R05", "R09", "R17", "R22")
_FEW_PEOPLE = frozenset({"V01", "V04", "V29"})
"""Beside those who go to these routes: one who may fill what is unfilled, and one of whom there is a finding."""
DEMO_TODAY = dt.datetime(2027, 5, 20, 12, tzinfo=dt.UTC)


@pytest.fixture
def season_path(demo_folder: Path, tmp_path: Path) -> Path:
    """Return a fresh copy of the demo season, its road map beside it."""
    for source in demo_folder.glob("heath.*"):
        if source.suffix in (".dimpsy", ".npz"):
            shutil.copy2(source, tmp_path / source.name)
    return tmp_path / "heath.dimpsy"


@pytest.fixture(scope="session")
def small_folder(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the demo season cut down to a few routes and people: only read it.

    It serves for what is as true of few as of many; each kind of finding is still in it. Its last step is a small one.
    """
    folder = tmp_path_factory.mktemp("small")
    whole = shutil.copy2(demo_folder / "heath.dimpsy", folder / "whole.dimpsy")
    for roads in demo_folder.glob("heath.*.npz"):
        shutil.copy2(roads, folder / roads.name)
    with SeasonFile.open(whole) as file:
        season, plan, printed = file.season(), file.plan(), file.print_runs()
    visits = tuple(visit for visit in plan if visit.key.route in _FEW_ROUTES)
    going = {code for visit in visits for code in visit.people}
    routes = tuple(route for route in season.routes if route.code in _FEW_ROUTES)
    volunteers = tuple(volunteer for volunteer in season.volunteers if volunteer.code in going | _FEW_PEOPLE)
    with SeasonFile.create(folder / "heath.dimpsy", replace(season, routes=routes, volunteers=volunteers)) as file:
        with file.step("Plan the season"):
            file.save_plan(Plan(visits))
        with file.step("Print"):
            for run in printed:
                if all(visit in visits for visit in plan if run.volunteer in visit.people):
                    file.record_print(run.volunteer, run.content_hash, run.when_utc)
        with file.step(f"Pin {visits[-1].key}"):
            file.save_plan(Plan(visits).with_visit(replace(visits[-1], pinned=True)))
    return folder


@pytest.fixture
def small_path(small_folder: Path, tmp_path: Path) -> Path:
    """Return a fresh copy of the small season, its road map beside it."""
    for source in small_folder.glob("heath.*"):
        if source.suffix in (".dimpsy", ".npz"):
            shutil.copy2(source, tmp_path / source.name)
    return tmp_path / "heath.dimpsy"


@pytest.fixture(params=[LIGHT, DARK], ids=["light", "dark"])
def colours(request: pytest.FixtureRequest) -> Colours:
    """Return each of the two palettes."""
    palette: Colours = request.param
    return palette


@pytest.fixture
def new_desk(qapp: QApplication, tmp_path: Path) -> Iterator[Callable[[], Desk]]:
    """Return what makes a desk without a season, its settings in a file of its own, on 20 May 2027."""
    made: list[Desk] = []

    def make() -> Desk:
        desk = Desk(Settings(tmp_path / "settings.ini"), now=lambda: DEMO_TODAY)
        made.append(desk)
        return desk

    apply_look(qapp, LIGHT)
    yield make
    for desk in made:
        desk.session.close()


@pytest.fixture(scope="session")
def known() -> list[Known]:
    """Hold the demo's light and drives, roads and findings, once they have been computed."""
    return []


@pytest.fixture(scope="session")
def paper_hashes() -> PaperHashes:
    """Return one memory of what the demo's papers say, for every test."""
    return PaperHashes()


@pytest.fixture
def knowing(new_desk: Callable[[], Desk], known: list[Known], paper_hashes: PaperHashes) -> Callable[[], Desk]:
    """Return what makes a desk that knows what has been computed of the demo season: it finds nothing changed."""
    return lambda: _knowing(new_desk(), known, paper_hashes)


def _knowing(desk: Desk, known: list[Known], paper_hashes: PaperHashes) -> Desk:
    session = desk.session
    PaperWatch.of(desk)._hashes = paper_hashes
    for problem, network, checked in known:
        session.problem, session.network, session.checked = problem, network, checked
    return desk


def _open(desk: Desk, path: Path, qtbot: QtBot, known: list[Known]) -> None:
    """Open a season on a desk, wait until all is computed, and keep that for the next one."""
    session = desk.session
    with qtbot.waitSignal(session.checked_changed, timeout=20_000):
        session.open(lambda: SeasonFile.open(path), lambda: None)
    qtbot.waitUntil(lambda: not session.working, timeout=10_000)
    if not known and session.problem is not None and session.checked is not None:
        known.append((session.problem, session.network, session.checked))


@pytest.fixture
def desk(knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot, known: list[Known]) -> Desk:
    """Return a desk with the demo season open, its light, drives and findings computed.

    They are the same in every test: the session is given those of the first one, and finds that nothing has changed.
    """
    desk = knowing()
    _open(desk, season_path, qtbot, known)
    return desk


@pytest.fixture(scope="session")
def known_small() -> tuple[list[Known], PaperHashes]:
    """Hold what has been computed of the small season."""
    return [], PaperHashes()


@pytest.fixture
def small_desk(
    new_desk: Callable[[], Desk], small_path: Path, qtbot: QtBot, known_small: tuple[list[Known], PaperHashes]
) -> Desk:
    """Return a desk with the small season open, its light, drives and findings computed."""
    desk = _knowing(new_desk(), *known_small)
    _open(desk, small_path, qtbot, known_small[0])
    return desk


@pytest.fixture
def grab(qtbot: QtBot, tmp_path_factory: pytest.TempPathFactory) -> Callable[[QWidget, str], Path]:
    """Return what takes a picture of a widget and returns where it lies."""

    def take(widget: QWidget, name: str) -> Path:
        qtbot.addWidget(widget)
        widget.show()
        QApplication.processEvents()
        path = tmp_path_factory.mktemp("pictures") / f"{name}.png"
        assert widget.grab().save(str(path))
        return path

    return take
