"""Loads against what everybody offered, driving added up, and the rows of the table."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import drive_one_way_minutes
from planner.scheduling.tiers import tiers_of
from planner.store import SeasonFile
from planner.usecases.people.load import LoadWord, driving_of, loads_of, people_rows
from planner.usecases.people.usable_dates import useful_dates
from planner.usecases.season.problem import season_problem
from tests.unit.usecases.checked_seasons import Checked, june, route, volunteer

pytestmark = pytest.mark.xdist_group("reedhaven")


def _plan(leads: str) -> Plan:
    return Plan(
        tuple(
            PlannedVisit(VisitKey(f"R{number}", 1), lead, june(1 + number), "dusk") for number, lead in enumerate(leads)
        )
    )


@pytest.mark.parametrize(
    ("limits", "leads", "words"),
    [
        ({"A": 2, "B": 2}, "AB", [LoadWord.FAIR, LoadWord.FAIR]),
        ({"A": 2, "B": 2}, "AAB", [LoadWord.FULL, LoadWord.FAIR]),
        ({"A": 2, "B": 4}, "AAAB", [LoadWord.BEYOND, LoadWord.LESS]),
        ({"A": 5, "B": 5}, "AAAAB", [LoadWord.MORE, LoadWord.LESS]),
        ({"A": 2, "B": 0}, "A", [LoadWord.FAIR, LoadWord.STAYS]),
        ({"A": 2, "B": 0}, "BA", [LoadWord.FAIR, LoadWord.BEYOND]),
        ({"A": 2, "B": 3}, "A", [LoadWord.FAIR, LoadWord.IDLE]),
        ({"A": 0, "B": 0}, "", [LoadWord.STAYS, LoadWord.STAYS]),
    ],
)
def test_that_a_load_is_said_against_the_limit_and_the_share(
    limits: dict[str, int], leads: str, words: list[LoadWord]
) -> None:
    people = tuple(volunteer(code, visits_limit=limit) for code, limit in limits.items())
    season = Checked(volunteers=people).season
    loads = loads_of(season, _plan(leads))
    assert [loads[code].word for code in limits] == words
    assert [loads[code].planned for code in limits] == [leads.count(code) for code in limits]


def test_that_shares_follow_what_was_offered_and_add_up_to_what_is_planned() -> None:
    people = tuple(volunteer(code, visits_limit=limit) for code, limit in (("A", 1), ("B", 3), ("C", 4)))
    loads = loads_of(Checked(volunteers=people).season, _plan("ABBC"))
    assert [loads[code].share for code in "ABC"] == pytest.approx([0.5, 1.5, 2.0])


def test_that_a_second_is_counted_like_a_lead() -> None:
    plan = Plan((PlannedVisit(VisitKey("R1", 1), "V1", june(2), "dusk", second="V2"),))
    loads = loads_of(Checked().season, plan)
    assert [loads[code].planned for code in ("V1", "V2", "V3")] == [1, 1, 0]


def test_that_driving_is_there_and_back_of_every_outing_set_ups_on_their_own_day_included(
    reedhaven: SeasonFile,
) -> None:
    problem = season_problem(reedhaven.season(), None)
    first = reedhaven.plan().visits[0]
    setup = replace(first, setup=first.date.replace(day=first.date.day - 1), second="")
    row = [person.code for person in problem.season.volunteers].index(first.lead)
    minutes = float(drive_one_way_minutes(problem.drives[first.key.route])[row])
    driving = driving_of(problem, Plan((setup,)))
    assert driving[first.lead].in_all_minutes == pytest.approx(4 * minutes)
    assert driving[first.lead].longest_minutes == pytest.approx(minutes)
    same_day = driving_of(problem, Plan((replace(setup, setup=setup.date),)))
    assert same_day[first.lead].in_all_minutes == pytest.approx(2 * minutes)
    others = [one for code, one in driving.items() if code != first.lead]
    assert all(one.longest_minutes is None and one.in_all_minutes == 0 for one in others)


def test_that_visits_of_what_the_drives_do_not_know_yet_are_left_out(reedhaven: SeasonFile) -> None:
    problem, first = season_problem(reedhaven.season(), None), reedhaven.plan().visits[0]
    new_route = replace(first, key=VisitKey("M99", 1))
    new_person = replace(first, lead="V99", second="", setup=first.date.replace(day=first.date.day - 1))
    for visit in (new_route, new_person):
        assert all(one.in_all_minutes == 0 for one in driving_of(problem, Plan((visit,))).values())


def test_that_all_driving_is_what_the_plan_is_said_to_take(reedhaven: SeasonFile) -> None:
    problem, plan = season_problem(reedhaven.season(), None), reedhaven.plan()
    total = next(tier.value for tier in tiers_of(problem, plan, (None,) * 6) if tier.name == "minutes of driving")
    assert sum(one.in_all_minutes for one in driving_of(problem, plan).values()) == pytest.approx(total)


def test_that_a_row_holds_what_is_known_and_says_none_where_it_is_not_computed_yet() -> None:
    season = Checked(routes=(route("R1"),)).season
    finding = Finding(Rule.VOLUNTEER_FAR_AWAY, Severity.DOUBT, Subject(volunteer="V2"), "Far.", "Look.")
    worse = replace(finding, severity=Severity.TROUBLE)
    rows = people_rows(season, Plan(), [finding, worse])
    assert [(row.person.code, row.worst, row.findings) for row in rows] == [
        ("V1", None, 0),
        ("V2", Severity.TROUBLE, 2),
        ("V3", None, 0),
    ]
    assert all(row.usable is None and row.driving is None for row in rows)


def test_that_somebody_just_added_is_shown_before_their_dates_are_computed(reedhaven: SeasonFile) -> None:
    problem = season_problem(reedhaven.season(), None)
    added = replace(problem.season.volunteers[0], code="V99")
    season = replace(problem.season, volunteers=(*problem.season.volunteers, added))
    rows = people_rows(season, reedhaven.plan(), (), useful_dates(problem), problem)
    assert rows[-1].usable is None
    assert rows[-1].driving is None
    assert all(row.usable is not None and row.driving is not None for row in rows[:-1])
