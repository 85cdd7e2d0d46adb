"""The five troubles planted in the demo are mended in the window, each where it is said; then the season is planned."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QPushButton

from planner.desktop.room import RoomName
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import VisitKey
from planner.store import SeasonFile
from tests.journeys.person import Person

pytestmark = pytest.mark.xdist_group("five troubles")


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


def test_that_routes_and_people_are_mended_where_the_trouble_is_said(person_at_demo: Person) -> None:
    person = person_at_demo
    for subject, room, button in (
        (Subject(route="R05", point=7), RoomName.ROUTES, "Move point"),
        (Subject(route="R17"), RoomName.ROUTES, "Drop points 1 and 2"),
        (Subject(route="R09", point=4), RoomName.ROUTES, "Move point 4"),
        (Subject(volunteer="V29"), RoomName.PEOPLE, "Do it"),
    ):
        name = subject.route or subject.volunteer
        assert of(person, subject), name
        person.pane.desk.go(room, subject)
        person.rests()
        person.takes_picture(f"trouble_{name}_said")
        person.clicks(button)
        person.rests()
        person.takes_picture(f"trouble_{name}_mended")
        assert of(person, subject) == [], name


def test_that_a_visit_that_nobody_can_lead_is_filled_by_what_is_offered(person_at_demo: Person) -> None:
    person, lacking = person_at_demo, VisitKey("R22", 2)
    person.pane.desk.go(RoomName.BOARD, Subject(route=lacking.route, visit=lacking.number))
    person.rests()
    person.sees(QPushButton, "Do this: V04 gives")
    person.rests()
    person.takes_picture("trouble_R22_offers")
    person.clicks("Do this: V04 gives")
    person.waits(lambda: lacking in person.pane.desk.session.snapshot.plan.by_key)
    person.rests()
    person.takes_picture("trouble_R22_filled")
    with SeasonFile.open(person.pane.desk.session.snapshot.path) as file:
        assert lacking in file.plan().by_key
