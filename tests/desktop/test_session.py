"""The session: steps, views told, stale results dropped, three threads."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.domain.errors import DimpsyError, ImpossibleError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.finding import Rule
from planner.store import SeasonFile
from planner.usecases.season.coordinator import set_coordinator
from planner.usecases.sheets import keep_sheets


def test_a_step_reaches_the_file_and_every_view_before_it_is_answered(desk: Desk, qtbot: QtBot) -> None:
    seen: list[str] = []
    desk.session.snapshot_changed.connect(lambda snapshot: seen.append(snapshot.season.coordinator.telephone))
    answered: list[str] = []

    def then(coordinator: object) -> None:
        assert seen == ["07700 900009"]
        answered.append(str(coordinator))

    desk.session.do(lambda file: set_coordinator(file, telephone="07700 900009"), then)
    qtbot.waitUntil(lambda: bool(answered), timeout=5_000)
    assert desk.session.snapshot.undo_label == "Change the coordinator's contact"


def test_undo_and_redo_lead_back_and_forth_and_keep_the_plan_object(desk: Desk, qtbot: QtBot) -> None:
    plan, before = desk.session.snapshot.plan, desk.session.snapshot.season
    desk.session.do(lambda file: set_coordinator(file, name="Wilf Oakenfold"))
    desk.session.undo()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)
    assert desk.session.snapshot.season == before
    assert desk.session.snapshot.plan is plan
    assert desk.session.snapshot.redo_label == "Change the coordinator's contact"
    desk.session.redo()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)
    assert desk.session.snapshot.season.coordinator.name == "Wilf Oakenfold"


def test_a_sheet_that_comes_in_is_checked_and_light_and_drives_are_not_computed_anew(desk: Desk, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: desk.session.problem is not None and not desk.session.working, timeout=20_000)
    problem = desk.session.problem
    route = desk.session.snapshot.season.routes[0]
    sheet = HabitatSheet(SheetKey(route.code, 1, route.points[0].number), note="half a sheet")
    with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
        desk.session.do(lambda file: keep_sheets(file, [sheet]))
    assert desk.session.problem is problem
    assert desk.session.checked is not None
    assert Rule.SHEET_SUM in {finding.rule for finding in desk.session.checked.findings}


def test_a_stale_answer_is_dropped(desk: Desk, qtbot: QtBot) -> None:
    answers: list[int] = []
    gate = threading.Event()

    def first() -> int:
        gate.wait(5)
        return 1

    desk.session.think(first, answers.append, topic="verdict")
    desk.session.think(lambda: 2, answers.append, topic="verdict")
    gate.set()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=5_000)
    assert answers == [2]


def test_nothing_is_handed_to_an_owner_that_is_gone(desk: Desk, qtbot: QtBot) -> None:
    answers: list[int] = []
    owner = QObject()
    gate = threading.Event()
    desk.session.think(lambda: gate.wait(5) and 1, answers.append, owner=owner)
    with qtbot.waitSignal(owner.destroyed, timeout=1_000):
        owner.deleteLater()
    gate.set()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=5_000)
    assert answers == []


def test_an_impossible_wish_is_reported_and_nothing_changes(desk: Desk, qtbot: QtBot) -> None:
    before = desk.session.snapshot
    with qtbot.waitSignal(desk.session.failed, timeout=5_000) as caught:
        desk.session.redo()
    assert isinstance(caught.args[0], ImpossibleError)
    assert desk.session.snapshot is before


def test_who_asked_may_take_the_failure(desk: Desk, qtbot: QtBot) -> None:
    taken: list[DimpsyError] = []
    desk.session.do(lambda file: file.redo(), failed=taken.append)
    qtbot.waitUntil(lambda: bool(taken), timeout=5_000)


def test_what_is_no_season_is_said(new_desk: Callable[[], Desk], tmp_path: Path, qtbot: QtBot) -> None:
    desk = new_desk()
    with qtbot.waitSignal(desk.session.failed, timeout=5_000) as caught:
        desk.session.open(lambda: SeasonFile.open(tmp_path / "none.dimpsy"), lambda: None)
    assert "none.dimpsy" in str(caught.args[0])
    with pytest.raises(RuntimeError, match="no snapshot"):
        _ = desk.session.snapshot
