"""A date is usable where a route within reach has a window in a visit's dates, and the volunteer gave it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from planner.domain.finding import Rule
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.store import SeasonFile
from planner.usecases.checking import check
from planner.usecases.demo import Scenario, make_demo_season
from planner.usecases.people.giving_dates import give_dates, given_cells
from planner.usecases.people.usable_dates import CellUse, useful_dates
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

pytestmark = pytest.mark.xdist_group("usable dates")


@pytest.fixture(scope="module")
def heath_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_demo_season(Scenario.HEATH, tmp_path_factory.mktemp("heath"))


@pytest.fixture(scope="module")
def heath(heath_path: Path) -> SeasonProblem:
    """The dusk demo, not planned: set-ups by daylight, counts in the evening, no nautical dusk after mid June."""
    with SeasonFile.open(heath_path) as file:
        season = file.season()
        return season_problem(season, road_network(file.path, season.roads))


def _by_hand(problem: SeasonProblem, code: str) -> set[dt.date]:
    """Go through every route and date one by one, as the words of the rule say it."""
    season = problem.season
    person, row = season.volunteer(code), season.volunteers.index(season.volunteer(code))
    found = set()
    for route in season.routes:
        if drive_one_way_minutes(problem.drives[route.code])[row] > person.drive_limit_minutes:
            continue
        (window,) = problem.light[route.code].windows
        for index, day in enumerate(season.dates):
            in_range = any(day in season.visit_dates(route, number) for number in (1, 2))
            lit = not np.isnan(window.passes[0].open_utc[index]).any()
            if in_range and lit and PartOfDay.DUSK in person.parts_on(day):
                found.add(day)
    return found


def test_that_usable_evenings_are_those_found_one_by_one(heath: SeasonProblem) -> None:
    useful = useful_dates(heath)
    counts = useful.usable_counts(heath.season.volunteers)
    for person in heath.season.volunteers:
        expected = _by_hand(heath, person.code)
        usable = useful.of(person.code).usable(given_cells(person, heath.season.dates))
        assert {day for day, _ in usable} == expected, person.code
        assert counts[person.code] == len(usable) == len(expected)


def test_that_the_planted_volunteer_gave_only_evenings_without_a_window_and_is_told_why(heath: SeasonProblem) -> None:
    use = useful_dates(heath).of("V29")
    given = given_cells(heath.season.volunteer("V29"), heath.season.dates)
    assert not use.usable(given)
    summary = use.summary(given)
    assert (summary.given, summary.usable, summary.dark, summary.outside) == (7, 0, 7, 0)
    assert "nautical dusk" in summary.why_dark
    assert not summary.no_route
    cell = dt.date(2027, 6, 20), PartOfDay.DUSK
    assert use.uses[cell] is CellUse.DARK
    assert "nautical dusk" in use.why_dark[cell]


def test_that_dates_before_the_first_visit_serve_for_set_ups_only(heath: SeasonProblem) -> None:
    uses = useful_dates(heath).of("V01").uses
    assert uses[dt.date(2027, 5, 3), PartOfDay.DAYLIGHT] is CellUse.SETUP
    assert uses[dt.date(2027, 5, 9), PartOfDay.DUSK] is CellUse.NO_VISIT
    assert uses[dt.date(2027, 5, 10), PartOfDay.DUSK] is CellUse.COUNTS
    assert uses[dt.date(2027, 6, 3), PartOfDay.DAYLIGHT] is CellUse.SETUP
    assert uses[dt.date(2027, 6, 4), PartOfDay.DAYLIGHT] is CellUse.NO_VISIT
    assert (dt.date(2027, 5, 10), PartOfDay.DAWN) not in uses


def test_that_to_somebody_who_reaches_no_route_no_date_is_of_use(heath: SeasonProblem) -> None:
    weary = tuple(replace(person, drive_limit_minutes=0.1) for person in heath.season.volunteers)
    use = useful_dates(replace(heath, season=replace(heath.season, volunteers=weary))).of("V01")
    assert use.routes == ()
    assert set(use.uses.values()) == {CellUse.NO_ROUTE}
    assert use.summary(given_cells(weary[0], heath.season.dates)).no_route


def test_that_a_summary_adds_up_over_the_evenings_and_leaves_set_ups_out(heath: SeasonProblem) -> None:
    person = heath.season.volunteer("V03")
    given = given_cells(person, heath.season.dates)
    summary = useful_dates(heath).of("V03").summary(given)
    assert summary.given == sum(part is PartOfDay.DUSK for _, part in given)
    assert summary.given == summary.usable + summary.dark + summary.outside
    assert summary.outside == 7


def test_that_a_season_without_routes_or_people_is_no_trouble(heath: SeasonProblem) -> None:
    bare = replace(heath, season=replace(heath.season, routes=()), light={}, drives={})
    assert set(useful_dates(bare).of("V01").uses.values()) == {CellUse.NO_ROUTE}
    nobody = season_problem(replace(heath.season, volunteers=()), None)
    assert useful_dates(nobody).usable_counts(heath.season.volunteers) == {}


def test_that_giving_an_evening_with_a_window_makes_the_finding_go_away(heath_path: Path) -> None:
    with SeasonFile.open(heath_path) as file:
        before = {finding.subject.volunteer for finding in check(file).findings if finding.rule is _NO_EVENING}
        give_dates(file, "V29", [(dt.date(2027, 5, 12), PartOfDay.DUSK)], give=True)
        after = {finding.subject.volunteer for finding in check(file).findings if finding.rule is _NO_EVENING}
        file.undo()
    assert (before, after) == ({"V29"}, set())


_NO_EVENING = Rule.VOLUNTEER_NO_EVENING
