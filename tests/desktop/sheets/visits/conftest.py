"""The visits page on a small season in June, before a person with a keyboard."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT
from planner.desktop.look.style import apply_look
from planner.desktop.settings import Settings
from planner.desktop.sheets.visits.page import VisitsPage
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.checking import Checked
from tests.desktop.sheets.conftest import Hands
from tests.unit.usecases.edited_seasons import season_file

NOW = dt.datetime(2027, 6, 5, 12, tzinfo=dt.UTC)
"""R1 visit 1 was on the 2nd and R2 visit 1 on the 4th of June; R1 visit 2 is still to come."""


@pytest.fixture(scope="session")
def computed() -> list[tuple[SeasonProblem, Checked]]:
    """Hold the season's light and drives, and its findings, once they have been computed."""
    return []


@pytest.fixture
def desk(
    qapp: QApplication, tmp_path: Path, qtbot: QtBot, computed: list[tuple[SeasonProblem, Checked]]
) -> Iterator[Desk]:
    """Return a desk with the small season open: R1 and R2 of four points each, led by V1."""
    season_file(tmp_path).close()
    apply_look(qapp, LIGHT)
    made = Desk(Settings(tmp_path / "settings.ini"), now=lambda: NOW)
    for problem, checked in computed:
        made.session.problem, made.session.checked = problem, checked
    with qtbot.waitSignal(made.session.checked_changed, timeout=20_000):
        made.session.open(lambda: SeasonFile.open(tmp_path / "season.dimpsy"), lambda: None)
    if not computed and made.session.problem is not None and made.session.checked is not None:
        computed.append((made.session.problem, made.session.checked))
    yield made
    made.session.close()


@pytest.fixture
def settled(desk: Desk, qtbot: QtBot) -> Callable[[], None]:
    """Return what waits until nothing is being done any more."""
    return lambda: qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)


@pytest.fixture
def page(desk: Desk, qtbot: QtBot, settled: Callable[[], None]) -> VisitsPage:
    """Return the page with the keyboard in the counts of R1 visit 1."""
    made = VisitsPage(desk)
    made.resize(1100, 700)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow, timeout=5000)
    qtbot.waitUntil(lambda: made.pane.entry.planned is not None, timeout=10_000)
    qtbot.waitUntil(lambda: made.pane.below.last.is_built, timeout=5000)
    made.pane.grid.setFocus()
    settled()
    return made


@pytest.fixture
def hands(page: VisitsPage) -> Hands:
    """Return a person's hands."""
    return Hands(page)
