"""A storm takes an evening in part of the country: what can go on, who is told, what is printed again."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QPushButton, QTabWidget

from planner.desktop.map.view import MapView
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.store import SeasonFile
from tests.journeys.person import Person

STORM = dt.date(2027, 6, 4)
"""The demo's evening with most visits."""


def test_that_a_storm_over_an_area_is_got_round_and_the_changed_papers_are_printed(
    person: Person, season_path: Path, tmp_path: Path
) -> None:
    person.window.open_season(season_path)
    person.rests()
    before = person.pane.desk.session.snapshot.plan
    person.pane.desk.go(RoomName.TODAY, Subject(date=STORM))
    person.rests()
    person.takes_picture("storm_1_evening")

    where = person.sees(MapView, "Map")
    south_west = QPoint(6, where.height() // 2), QPoint(where.width() // 2, where.height() - 6)
    person.drags(where, *south_west, modifiers=Qt.KeyboardModifier.ShiftModifier)
    tabs = person.sees(QTabWidget, "What can be done")
    words = [tabs.tabText(at) for at in range(tabs.count())]
    person.clicks(tabs.tabBar(), tabs.tabBar().tabRect(words.index("Something breaks")).center())
    person.takes_picture("storm_2_chosen")
    person.clicks("Cancel the ")
    person.sees(QPushButton, "Accept way 1")
    person.rests()
    person.takes_picture("storm_3_ways")
    person.clicks("Accept way 1")
    person.sees(QPushButton, "Told: next one")
    person.rests()
    person.takes_picture("storm_4_tell")

    papers = tmp_path / "papers"
    papers.mkdir()
    person.names_files([papers])
    person.clicks("New itineraries for ")
    person.waits(lambda: bool(list(papers.glob("*.pdf"))))
    person.rests()
    session = person.pane.desk.session.snapshot
    with SeasonFile.open(season_path) as file:
        assert file.read_only_reason, "the window holds the file"
        after = file.plan()
    moved = [visit for visit in before if after.by_key.get(visit.key) != visit]
    assert after == session.plan
    assert moved
    assert all(STORM in (visit.date, visit.reserve) for visit in moved)
    assert any(visit.date == STORM for visit in after), "the other routes go out"
    people = {code for visit in moved for code in (*visit.people, *after.by_key[visit.key].people)}
    printed = {path.name.split()[0] for path in papers.glob("*.pdf")}
    assert printed == people
