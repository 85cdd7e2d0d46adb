"""Who is taken to be where, by what was heard and by the clock."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.check_in import SILENCE, USUAL_GRACE, CheckIn, Stage, Whereabouts, whereabouts
from planner.domain.errors import RuleError

LEAVES = dt.datetime(2027, 6, 4, 19, 10, tzinfo=dt.UTC)
DUE = dt.datetime(2027, 6, 4, 23, 5, tzinfo=dt.UTC)
MINUTE = dt.timedelta(minutes=1)


def word(stage: Stage) -> CheckIn:
    return CheckIn(LEAVES.date(), "R1", "V1", stage, LEAVES)


def at(now: dt.datetime, *stages: Stage, grace: dt.timedelta = USUAL_GRACE) -> Whereabouts:
    return whereabouts([word(stage) for stage in stages], LEAVES, DUE, now, grace)


@pytest.mark.parametrize(
    ("now", "stages", "found"),
    [
        (LEAVES - MINUTE, (), Whereabouts.AT_HOME),
        (LEAVES, (), Whereabouts.AT_HOME),
        (LEAVES + MINUTE, (), Whereabouts.UNHEARD),
        (LEAVES - MINUTE, (Stage.LEFT,), Whereabouts.ON_THE_WAY),
        (LEAVES + MINUTE, (Stage.LEFT,), Whereabouts.ON_THE_WAY),
        (LEAVES + MINUTE, (Stage.LEFT, Stage.ARRIVED), Whereabouts.THERE),
        (LEAVES + MINUTE, (Stage.ARRIVED,), Whereabouts.THERE),
        (DUE + USUAL_GRACE, (Stage.LEFT,), Whereabouts.ON_THE_WAY),
        (DUE + USUAL_GRACE + MINUTE, (Stage.LEFT,), Whereabouts.OVERDUE),
        (DUE + USUAL_GRACE + MINUTE, (), Whereabouts.OVERDUE),
        (DUE + SILENCE + MINUTE, (), Whereabouts.NOT_KEPT),
        (DUE + 5 * SILENCE, (Stage.LEFT,), Whereabouts.OVERDUE),
        (DUE + USUAL_GRACE + MINUTE, (Stage.HOME,), Whereabouts.SAFE),
        (LEAVES + MINUTE, (Stage.LEFT, Stage.ARRIVED, Stage.HOME), Whereabouts.SAFE),
    ],
)
def test_that_the_last_word_and_the_clock_say_where_somebody_is(
    now: dt.datetime, stages: tuple[Stage, ...], found: Whereabouts
) -> None:
    assert at(now, *stages) is found


def test_that_the_grace_is_the_coordinators() -> None:
    late = DUE + dt.timedelta(minutes=20)
    assert at(late, Stage.ARRIVED) is Whereabouts.THERE
    assert at(late, Stage.ARRIVED, grace=dt.timedelta(minutes=10)) is Whereabouts.OVERDUE


@given(st.integers(-3000, 3000), st.sets(st.sampled_from([Stage.LEFT, Stage.ARRIVED]), min_size=1))
def test_that_nobody_who_went_out_is_ever_taken_for_safe_without_saying_so(minutes: int, stages: set[Stage]) -> None:
    found = at(DUE + minutes * MINUTE, *stages)
    assert found in (Whereabouts.ON_THE_WAY, Whereabouts.THERE, Whereabouts.OVERDUE)
    assert found.loud == (minutes > 30)


def test_that_a_moment_has_its_zone_and_is_kept_in_utc() -> None:
    with pytest.raises(RuleError, match="time zone"):
        CheckIn(LEAVES.date(), "R1", "V1", Stage.LEFT, dt.datetime(2027, 6, 4, 20, 0))  # noqa: DTZ001 - the point
    summer = dt.timezone(dt.timedelta(hours=1))
    one = CheckIn(LEAVES.date(), "R1", "V1", Stage.LEFT, dt.datetime(2027, 6, 4, 20, 10, tzinfo=summer))
    assert one == word(Stage.LEFT)
    assert one.when_utc.tzinfo is dt.UTC
    assert one.key == (LEAVES.date(), "R1", "V1", Stage.LEFT)
