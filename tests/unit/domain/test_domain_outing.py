from __future__ import annotations

import datetime as dt

import pytest

from planner.domain.errors import RuleError
from planner.domain.outing import Outing, Step, StepKind


def at(minutes: float) -> dt.datetime:
    return dt.datetime(2027, 5, 1, 19, tzinfo=dt.UTC) + dt.timedelta(minutes=minutes)


def step(kind: StepKind, start: float, end: float, point: int | None = None) -> Step:
    return Step(kind, at(start), at(end), point)


OUTING = Outing(
    "R1",
    dt.date(2027, 5, 1),
    (
        step(StepKind.DRIVE, 0, 12.5, 1),
        step(StepKind.COUNT, 15, 18, 1),
        step(StepKind.DRIVE, 18, 20, 2),
        step(StepKind.COUNT, 20, 23, 2),
        step(StepKind.DRIVE, 23, 40),
    ),
)


def test_that_a_step_does_not_end_before_it_starts() -> None:
    assert step(StepKind.WAIT, 5, 5).minutes == 0
    with pytest.raises(RuleError, match="cannot end before it starts: count at point 3"):
        step(StepKind.COUNT, 5, 4, 3)


def test_that_an_outing_lasts_from_leaving_home_to_coming_back() -> None:
    assert OUTING.leave_home_utc == at(0)
    assert OUTING.due_home_utc == at(40)


def test_that_driving_is_added_up_and_nothing_else() -> None:
    assert OUTING.drive_minutes == 12.5 + 2 + 17
    assert [one.point for one in OUTING.of_kind(StepKind.COUNT)] == [1, 2]
    assert OUTING.of_kind(StepKind.HABITAT) == ()
