"""What is otherwise than on somebody's paper, in words: one sentence for each thing that differs."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.usecases.paper.changes import SAME_VISITS, changes_in_words
from tests.unit.store.season_strategies import SMALL_SEASON, small_volunteer

SEASON = replace(SMALL_SEASON, volunteers=tuple(small_volunteer(code) for code in ("V1", "V2")))
FRIDAY, SATURDAY = dt.date(2027, 6, 4), dt.date(2027, 6, 5)
VISIT = PlannedVisit(VisitKey("R1", 1), "V1", FRIDAY, "dusk", second="V2", reserve=SATURDAY, setup=FRIDAY)

CHANGES: list[tuple[PlannedVisit | None, PlannedVisit | None, tuple[str, ...]]] = [
    (None, VISIT, ("R1 visit 1 on Fri 4 Jun is new.",)),
    (VISIT, None, ("R1 visit 1 on Fri 4 Jun is theirs no longer.",)),
    (VISIT, VISIT, (SAME_VISITS,)),
    (VISIT, replace(VISIT, date=SATURDAY), ("R1 visit 1 goes from Fri 4 Jun to Sat 5 Jun.",)),
    (VISIT, replace(VISIT, window="dawn"), ("R1 visit 1 is at dawn, no longer at dusk.",)),
    (VISIT, replace(VISIT, reserve=None), ("R1 visit 1: its reserve date is none, was Sat 5 Jun.",)),
    (VISIT, replace(VISIT, setup=SATURDAY), ("R1 visit 1: its set-up day is Sat 5 Jun, was Fri 4 Jun.",)),
    (VISIT, replace(VISIT, lead="V2", second="V1"), ("R1 visit 1: they are the second now.",)),
    (replace(VISIT, lead="V2", second="V1"), VISIT, ("R1 visit 1: they lead it now.",)),
    (VISIT, replace(VISIT, second=""), ("R1 visit 1: they go alone.",)),
    (replace(VISIT, second="V3"), VISIT, (f"R1 visit 1: they go with {SEASON.volunteer('V2').first_name}.",)),
    (VISIT, replace(VISIT, second="V9"), ("R1 visit 1: they go with V9.",)),
]


@pytest.mark.parametrize(("before", "after", "said"), CHANGES)
def test_that_each_change_is_said_in_a_sentence(
    before: PlannedVisit | None, after: PlannedVisit | None, said: tuple[str, ...]
) -> None:
    plans = [Plan(() if visit is None else (visit,)) for visit in (before, after)]
    assert changes_in_words("V1", plans[0], plans[1], SEASON) == said
