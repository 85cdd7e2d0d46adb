"""The figures in the list of routes follow all that they hang on, not the routes alone."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.routes.known_figures import KnownFigures
from planner.desktop.worker import Worker
from planner.usecases.roads.road_maps import set_road_speeds


def test_that_slower_roads_lengthen_the_drives_of_routes_that_stand_as_they_did(small_desk: Desk, qtbot: QtBot) -> None:
    session, worker = small_desk.session, Worker("figures")
    known = KnownFigures(small_desk, worker)

    def minutes() -> float:
        found = known.of("R01")
        return found.drive_minutes if found is not None else 0.0

    try:
        qtbot.waitUntil(lambda: minutes() > 0.0, timeout=10_000)
        before = minutes()
        session.do(lambda file: set_road_speeds(file, {}, factor=0.5))
        qtbot.waitUntil(lambda: minutes() > 1.5 * before, timeout=15_000)
    finally:
        worker.close()
