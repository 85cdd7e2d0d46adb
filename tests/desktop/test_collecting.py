"""Garbage is collected on the interface thread, and by nobody else."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from planner.desktop.collecting import Collecting


@pytest.fixture
def collecting() -> Iterator[Collecting]:
    made = Collecting()
    yield made
    made.end()
    gc.freeze()  # as the suite has it


class _Ring(QObject):
    """Holds itself, as widgets with slots of their own do."""

    ended_on: list[int]

    def __init__(self, ended_on: list[int]) -> None:
        super().__init__()
        self.me, self.ended_on = self, ended_on

    def __del__(self) -> None:
        self.ended_on.append(threading.get_ident())


def test_that_a_ring_of_objects_ends_on_the_interface_thread(collecting: Collecting, qtbot: QtBot) -> None:
    ended_on: list[int] = []
    _Ring(ended_on)
    thread = threading.Thread(target=lambda: [[object(), []] for _ in range(50_000)])
    thread.start()
    thread.join()
    assert ended_on == []
    kept = [[] for _ in range(2_000)]  # type: ignore[var-annotated]  # any objects
    qtbot.waitUntil(lambda: bool(ended_on), timeout=5_000)
    assert ended_on == [threading.get_ident()]
    assert kept
    assert not gc.isenabled()
    assert collecting.parent() is None
