"""What is printed from: never the light and drives of another season, never without the season's roads."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.errors import ImpossibleError
from planner.domain.plan import Plan
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.print_facts import is_of, print_facts
from planner.usecases.paper.printing import print_itineraries
from planner.usecases.paper.runs import print_job
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from planner.usecases.season.snapshot import snapshot

pytestmark = pytest.mark.xdist_group("reedhaven")

DAY = dt.date(2027, 8, 1)


def _facts(file: SeasonFile) -> PrintFacts:
    found = snapshot(file)
    network = road_network(file.path, found.season.roads)
    return print_facts(found, season_problem(found.season, network, DAY), network, DAY)


def test_that_a_problem_is_of_its_own_season_and_of_no_other(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    pointless = replace(season, routes=(*season.routes, replace(season.routes[0], code="NEW", points=())))
    problem = season_problem(pointless, None)
    assert is_of(problem, pointless)
    assert not is_of(problem, replace(season, name="Another"))


def test_that_the_facts_are_those_of_the_snapshot(reedhaven: SeasonFile) -> None:
    facts = _facts(reedhaven)
    assert (facts.plan, facts.season, facts.revision) == (reedhaven.plan(), reedhaven.season(), reedhaven.revision)
    assert facts.printed_on == DAY
    assert facts.network is not None


def test_that_without_its_road_map_nothing_is_printed(reedhaven: SeasonFile) -> None:
    found = snapshot(reedhaven)
    with pytest.raises(ImpossibleError, match="is not beside the season file"):
        print_facts(found, season_problem(found.season, None, DAY), None, DAY)


def test_that_a_run_needs_somebody_with_an_outing(reedhaven: SeasonFile) -> None:
    facts = _facts(reedhaven)
    with pytest.raises(ImpossibleError, match="Nothing is planned yet"):
        print_job(replace(facts, plan=Plan()))
    with pytest.raises(ImpossibleError, match="None of them has an outing"):
        print_job(facts, ["nobody"])
    visit = facts.plan.visits[0]
    broken = replace(facts, plan=facts.plan.with_visit(replace(visit, reserve=visit.date)))
    with pytest.raises(ImpossibleError, match="breaks these rules"):
        print_job(broken)


def test_that_some_are_printed_by_their_codes(reedhaven: SeasonFile) -> None:
    visit = reedhaven.plan().visits[0]
    folder = reedhaven.path.parent / "some"
    printed = print_itineraries(reedhaven, folder, volunteers=visit.people, printed_on=DAY)
    assert {one.volunteer for one in printed} == set(visit.people)
    assert {path.name for path in folder.iterdir()} == {one.path.name for one in printed}
