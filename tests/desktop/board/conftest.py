"""A board on the demo season, shown and at rest, on a day before its first visits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.board.room import BoardRoom
from planner.desktop.board.view import BoardView
from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT
from planner.desktop.look.style import apply_look
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.settings import Settings
from planner.store import SeasonFile
from planner.usecases.paper.papers import PaperHashes
from tests.desktop.conftest import Known

BEFORE_ALL = dt.datetime(2027, 5, 8, 12, tzinfo=dt.UTC)


@pytest.fixture
def rest(qtbot: QtBot) -> Callable[[Desk], None]:
    """Return what waits until nothing is read, written or computed any more."""

    def wait(desk: Desk) -> None:
        qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)

    return wait


@pytest.fixture(scope="session")
def known_early() -> list[Known]:
    """Hold what was computed of the demo on that day, once it has been."""
    return []


@pytest.fixture
def early_desk(
    qapp: QApplication,
    season_path: Path,
    tmp_path: Path,
    qtbot: QtBot,
    rest: Callable[[Desk], None],
    known_early: list[Known],
    paper_hashes: PaperHashes,
) -> Iterator[Desk]:
    """Return a desk on 8 May 2027, when no visit of the demo season has been made.

    Light, drives and findings are the same in every test: the session is given those of the first one.
    """
    apply_look(qapp, LIGHT)
    desk = Desk(Settings(tmp_path / "settings.ini"), now=lambda: BEFORE_ALL)
    session = desk.session
    PaperWatch.of(desk)._hashes = paper_hashes
    for problem, network, checked in known_early:
        session.problem, session.network, session.checked = problem, network, checked
    with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
        desk.session.open(lambda: SeasonFile.open(season_path), lambda: None)
    rest(desk)
    if not known_early and session.problem is not None and session.checked is not None:
        known_early.append((session.problem, session.network, session.checked))
    yield desk
    desk.session.close()


def _shown(widget: QWidget, qtbot: QtBot) -> None:
    qtbot.addWidget(widget)
    widget.resize(1080, 720)
    with qtbot.waitExposed(widget):
        widget.show()
    widget.activateWindow()


@pytest.fixture
def board(early_desk: Desk, qtbot: QtBot, rest: Callable[[Desk], None]) -> BoardView:
    """Return the board alone."""
    view = BoardView(early_desk)
    _shown(view, qtbot)
    view.setFocus()
    rest(early_desk)
    return view


@pytest.fixture
def room(early_desk: Desk, qtbot: QtBot, rest: Callable[[Desk], None]) -> BoardRoom:
    """Return the whole room."""
    made = BoardRoom(early_desk)
    _shown(made, qtbot)
    rest(early_desk)
    return made
