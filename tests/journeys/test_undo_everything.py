"""Everything can be taken back to the season as it was made, and done again to the end."""

from __future__ import annotations

from pathlib import Path

import apsw
import pytest
from PySide6.QtCore import Qt

from planner.desktop.room import RoomName
from planner.scheduling import after_rounds
from planner.store import SeasonFile
from planner.usecases.plan.planning import plan
from planner.usecases.routes.editing import drop_points
from tests.journeys.person import CTRL, Person

SHIFT = Qt.KeyboardModifier.ShiftModifier


def rows_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return every row of every table that holds season or plan, read with SQLite itself."""
    connection = apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)
    tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    kept = [name for name in tables if not name.startswith("sqlite_") and name not in ("step", "print_run")]
    return {name: sorted(connection.execute(f"SELECT * FROM {name}"), key=repr) for name in kept}


@pytest.fixture
def changed_path(season_path: Path) -> Path:
    """Return the demo season with a route mended and planned again: made before the window is, and its watchdog."""
    with SeasonFile.open(season_path) as file:
        drop_points(file, "R17", (1, 2))
        plan(file, stop=after_rounds(3))
    return season_path


def test_that_everything_is_undone_to_the_empty_season_and_redone_to_the_end(
    changed_path: Path, person: Person
) -> None:
    season_path, at_the_end = changed_path, rows_of(changed_path)
    person.window.open_season(season_path)
    person.rests()
    person.goes_to(RoomName.BOARD)
    person.presses(Qt.Key.Key_H, CTRL)
    steps = len(person.pane.desk.session.snapshot.steps)
    assert steps >= 4
    for left in reversed(range(steps)):
        person.presses(Qt.Key.Key_Z, CTRL)
        _waits_for(person, left)
    person.rests()
    person.takes_picture("undo_1_empty")
    assert not person.window.menus.undo.isEnabled()
    snapshot = person.pane.desk.session.snapshot
    assert (snapshot.season.routes, snapshot.season.volunteers, len(snapshot.plan)) == ((), (), 0)
    for done in range(1, steps + 1):
        person.presses(Qt.Key.Key_Z, CTRL | SHIFT)
        _waits_for(person, done)
    person.rests()
    person.takes_picture("undo_2_again")
    assert not person.window.menus.redo.isEnabled()
    assert rows_of(season_path) == at_the_end


def _waits_for(person: Person, steps: int) -> None:
    """Wait until so many steps stand, and every view shows them; what follows from a step in between is let go."""
    session = person.pane.desk.session
    person.waits(lambda: sum(not step.undone for step in session.snapshot.steps) == steps)
