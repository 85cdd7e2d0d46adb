"""The five troubles planted in the demo are mended in the window, each where it is said; then the season is planned."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton

from planner.desktop.room import RoomName
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import VisitKey
from planner.store import SeasonFile
from tests.journeys.person import Person


def troubles(person: Person) -> list[Finding]:
    """Return what the window counts as open, without what planning itself is there for."""
    checked = person.pane.desk.session.checked
    assert checked is not None
    return [one for one in checked.findings if one.severity <= Severity.DOUBT and one.rule is not Rule.VISIT_UNFILLED]


def of(person: Person, subject: Subject) -> list[Finding]:
    """Return the open findings on a route or a volunteer."""
    return [
        one
        for one in troubles(person)
        if (one.subject.route, one.subject.volunteer) == (subject.route, subject.volunteer)
    ]


@pytest.mark.parametrize(
    ("subject", "fix"),
    [
        (Subject(route="R05", point=7), "Move point"),
        (Subject(route="R17"), "Drop points 1 and 2"),
        (Subject(route="R09", point=4), "Move point 4"),
    ],
    ids=lambda value: getattr(value, "route", ""),
)
def test_that_a_route_is_mended_with_one_click(person: Person, season_path: Path, subject: Subject, fix: str) -> None:
    person.window.open_season(season_path)
    person.rests()
    assert of(person, subject)
    person.pane.desk.go(RoomName.ROUTES, subject)
    person.rests()
    person.takes_picture(f"trouble_{subject.route}_said")
    person.clicks(fix)
    person.rests()
    person.takes_picture(f"trouble_{subject.route}_mended")
    assert of(person, subject) == []


def test_that_somebody_without_a_usable_evening_gets_some(person: Person, season_path: Path) -> None:
    someone = Subject(volunteer="V29")
    person.window.open_season(season_path)
    person.rests()
    assert of(person, someone)
    person.pane.desk.go(RoomName.PEOPLE, someone)
    person.rests()
    person.takes_picture("trouble_V29_said")
    person.clicks("Do it")
    person.rests()
    person.takes_picture("trouble_V29_mended")
    assert of(person, someone) == []


def test_that_a_visit_that_nobody_can_lead_is_filled_by_what_is_offered(person: Person, season_path: Path) -> None:
    lacking = VisitKey("R22", 2)
    person.window.open_season(season_path)
    person.rests()
    person.pane.desk.go(RoomName.BOARD, Subject(route=lacking.route, visit=lacking.number))
    person.rests()
    person.sees(QPushButton, "Do this: V04 gives")
    person.rests()
    person.takes_picture("trouble_R22_offers")
    person.clicks("Do this: V04 gives")
    person.waits(lambda: lacking in person.pane.desk.session.snapshot.plan.by_key)
    person.rests()
    person.takes_picture("trouble_R22_filled")
    with SeasonFile.open(season_path) as file:
        assert lacking in file.plan().by_key
