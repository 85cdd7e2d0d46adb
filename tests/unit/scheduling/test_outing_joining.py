"""The second of a team: the lead's order and clock, with drives from and to the second's own home."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from planner.domain.counting import Direction
from planner.domain.errors import ImpossibleError
from planner.domain.outing import Outing, Step, StepKind
from planner.scheduling import RouteDrives, SeasonProblem, outing_for
from tests.unit.scheduling import seasons


def _season(**changes: object) -> SeasonProblem:
    """Two people at the two ends of a route of five points that may be counted from either end."""
    rules = seasons.protocol(direction=Direction.EITHER, habitat=seasons.habitat_rule(), setup=seasons.setup_rule())
    one = seasons.route(points=5)
    people = [seasons.volunteer("A"), seasons.volunteer("B")]
    built = seasons.problem(rules=rules, routes=[one], volunteers=people)
    legs = seasons.line_legs(5, 3.0)
    out = np.array([10.0 + legs[0], 8.0 + legs[4]])
    drives = {"R1": RouteDrives(seasons.same(legs), seasons.same(out), seasons.same(out.T))}
    return replace(built, drives=drives, **changes)  # type: ignore[arg-type]  # fields by name


def _work(outing: Outing) -> tuple[Step, ...]:
    return outing.steps[1:-1]


def test_that_the_second_does_what_the_lead_does_at_the_same_moments() -> None:
    visit = seasons.planned("R1/2", "A", 8, second="B")
    lead, second = (outing_for(_season(), visit, person) for person in "AB")
    assert _work(second) == _work(lead)
    assert (second.order, second.margin_minutes) == (lead.order, lead.margin_minutes)


def test_that_alone_the_second_would_have_gone_the_other_way_round() -> None:
    lead = outing_for(_season(), seasons.planned("R1/2", "A", 8), "A")
    other = outing_for(_season(), seasons.planned("R1/2", "B", 8), "B")
    assert lead.order == other.order[::-1]


def test_that_the_second_drives_from_and_to_their_own_home() -> None:
    visit = seasons.planned("R1/2", "A", 8, second="B")
    second = outing_for(_season(), visit, "B")
    out, back = second.steps[0], second.steps[-1]
    assert out.kind is back.kind is StepKind.DRIVE
    assert out.minutes == 8.0 + 3.0 * (5 - (out.point or 0))
    assert back.minutes == 8.0 + 3.0 * (5 - (back.from_point or 0))
    assert out.end_utc == second.steps[1].start_utc


def test_that_a_set_up_on_the_evening_itself_is_the_leads_and_the_second_joins_for_the_counts() -> None:
    visit = seasons.planned("R1/1", "A", 2, second="B", setup=2)
    lead, second = (outing_for(_season(), visit, person) for person in "AB")
    assert len(lead.of_kind(StepKind.SETUP)) == 5
    assert {step.kind for step in _work(second)} == {StepKind.COUNT, StepKind.DRIVE}
    assert second.of_kind(StepKind.COUNT) == lead.of_kind(StepKind.COUNT)
    assert second.leave_home_utc > lead.leave_home_utc


@pytest.mark.parametrize(
    ("setup", "reserve", "rounds"), [(1, False, False), (1, True, False), (2, False, False), (2, True, True)]
)
def test_that_the_set_up_does_the_habitat_of_visit_1_unless_the_evening_was_cancelled_with_it(
    setup: int, *, reserve: bool, rounds: bool
) -> None:
    visit = seasons.planned("R1/1", "A", 2, setup=setup, reserve=5)
    outing = outing_for(_season(), visit, "A", reserve=reserve)
    assert bool(outing.of_kind(StepKind.HABITAT)) is rounds


def test_that_a_second_whom_no_road_leads_there_is_told_as_impossible() -> None:
    season = _season()
    drives = season.drives["R1"]
    cut = drives.out.cautious.copy()
    cut[1] = np.inf
    alone = replace(drives, out=replace(drives.out, expected=cut, cautious=cut))
    visit = seasons.planned("R1/2", "A", 8, second="B")
    with pytest.raises(ImpossibleError, match="for the second"):
        outing_for(replace(season, drives={"R1": alone}), visit, "B")


def test_that_the_overcast_times_are_joined_too() -> None:
    season = _season()
    light = season.light["R1"]
    passes = light.windows[0].passes
    early = tuple(replace(one, open_utc=one.open_utc - 600.0, close_utc=one.close_utc - 600.0) for one in passes)
    windows = (replace(light.windows[0], overcast=early),)
    overcast = replace(season, light={"R1": replace(light, windows=windows)})
    visit = seasons.planned("R1/2", "A", 8, second="B")
    lead, second = (outing_for(overcast, visit, person).overcast for person in "AB")
    assert lead is not None
    assert second is not None
    assert _work(second) == _work(lead)
    assert lead.steps[-1].end_utc - second.steps[-1].end_utc != dt.timedelta(0)
