"""Hashes of papers that were kept say what hashes made anew do, whatever changed between."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.papers import PaperHashes, paper_log, papers
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem, season_problem_after
from tests.unit.usecases.test_papers import CHANGES

pytestmark = pytest.mark.xdist_group("reedhaven")

DAY = dt.date(2027, 8, 1)


def facts_after(file: SeasonFile, before: PrintFacts | None) -> PrintFacts:
    """Return the facts as a window has them: light and drives that no change has touched are the same objects."""
    season = file.season()
    network = road_network(file.path, season.roads)
    if before is None:
        return PrintFacts(season_problem(season, network, DAY), file.plan(), network, DAY, file.revision)
    same = before.season.roads == season.roads
    network = before.network if same else network
    problem = season_problem_after(before.problem, season, network, DAY, same_roads=same)
    return PrintFacts(problem, file.plan(), network, DAY, file.revision)


@pytest.mark.parametrize("what", CHANGES)
def test_that_kept_hashes_give_the_answer_of_fresh_ones(reedhaven: SeasonFile, what: str) -> None:
    hashes, before = PaperHashes(), facts_after(reedhaven, None)
    papers(before, paper_log(reedhaven), hashes)
    CHANGES[what](reedhaven)
    after = facts_after(reedhaven, before)
    assert papers(after, paper_log(reedhaven), hashes) == papers(after, paper_log(reedhaven))
    reedhaven.undo()
    again = facts_after(reedhaven, after)
    assert papers(again, paper_log(reedhaven), hashes) == papers(again, paper_log(reedhaven))
