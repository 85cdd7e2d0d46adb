"""The habitat page on a small season, before a person with a keyboard."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.room import SheetsRoom
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.checking import Checked
from planner.usecases.sheets import keep_sheets
from tests.unit.usecases.edited_seasons import PLAN, season_file
from tests.unit.usecases.sheet_seasons import SEASON, draft, key

GROUND = {"SH": 30, "TH": 20, "TR": 50}


def sheet(point: int, ground: dict[str, int] | None = None, *, visit: int = 1, who: str = "V1") -> HabitatSheet:
    """A sheet of R1 that keeps all rules where its classes add up."""
    return draft(key(point, visit=visit, who=who), GROUND if ground is None else ground)


class Hands:
    """Presses keys in whatever has the keyboard, one after the other."""

    def __init__(self, root: QWidget) -> None:
        self._root = root

    def types(self, text: str) -> None:
        """Type letter by letter: a cell opens at the first."""
        for letter in text:
            QTest.keyClicks(self._with_keyboard(), letter)

    def presses(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Press one key."""
        QTest.keyClick(self._with_keyboard(), key, modifiers)

    def row(self, *figures: object) -> None:
        """Type figures, each followed by Tab; an empty text passes over a cell."""
        for figure in figures:
            self.types(str(figure))
            self.presses(Qt.Key.Key_Tab)

    def _with_keyboard(self) -> QWidget:
        QApplication.processEvents()
        focused: QWidget | None = self._root.window().focusWidget()
        return self._root if focused is None else focused


@pytest.fixture(scope="session")
def computed() -> list[tuple[SeasonProblem, Checked]]:
    """Hold the light and drives of the usual season, and its findings, once they have been computed."""
    return []


@pytest.fixture
def desk_with(
    new_desk: Callable[[], Desk], tmp_path: Path, qtbot: QtBot, computed: list[tuple[SeasonProblem, Checked]]
) -> Callable[[Season], Desk]:
    """Return what opens a desk on a season, with the plan made by hand."""

    def make(season: Season) -> Desk:
        may_be_planned = any(route.points for route in season.routes)
        season_file(tmp_path, season, PLAN if may_be_planned else Plan()).close()
        made = new_desk()
        session = made.session
        for problem, checked in computed if season is SEASON else ():
            session.problem, session.checked = problem, checked
        with qtbot.waitSignal(session.checked_changed, timeout=20_000):
            session.open(lambda: SeasonFile.open(tmp_path / "season.dimpsy"), lambda: None)
        qtbot.waitUntil(lambda: not session.working, timeout=10_000)
        if season is SEASON and not computed and session.problem is not None and session.checked is not None:
            computed.append((session.problem, session.checked))
        return made

    return make


@pytest.fixture
def desk(desk_with: Callable[[Season], Desk]) -> Desk:
    """Return a desk with the small season open: R1 and R2 of four points each, led by V1."""
    return desk_with(SEASON)


@pytest.fixture
def room(desk: Desk, qtbot: QtBot) -> SheetsRoom:
    """Return the room, shown and before the person."""
    made = SheetsRoom(desk)
    made.resize(1110, 700)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow, timeout=5000)
    return made


@pytest.fixture
def page(room: SheetsRoom) -> HabitatPage:
    """Return the habitat page with the keyboard in its grid."""
    made = room.page(0)
    assert isinstance(made, HabitatPage)
    made.pane.grid.setFocus()
    return made


@pytest.fixture
def hands(room: SheetsRoom) -> Hands:
    """Return a person's hands."""
    return Hands(room)


@pytest.fixture
def settled(desk: Desk, qtbot: QtBot) -> Callable[[], None]:
    """Return what waits until nothing is being done any more."""
    return lambda: qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)


@pytest.fixture
def keep(desk: Desk, settled: Callable[[], None]) -> Callable[..., None]:
    """Return what keeps sheets in the file, past the window."""

    def do(*sheets: HabitatSheet) -> None:
        desk.session.do(lambda file: keep_sheets(file, sheets))
        settled()

    return do
