"""Estimates that recorded drives have measured: what was recorded takes the place of the unmeasured band."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.travel import Calibration, DriveTable, drive_table
from planner.travel.estimate import CAUTIOUS_SHARE, OPTIMISTIC_SHARE, measured_shares

HERE, THERE = (50.0, 10.0), (50.05, 10.0)
FACTORS, DOUBTS = st.floats(0.2, 5.0), st.floats(1.0, 4.0)


def drive(calibration: Calibration, overhead: float = 0.0) -> DriveTable:
    """Return the one drive from here to there, without roads."""
    return drive_table([HERE], [THERE], network=None, stop_overhead_minutes=overhead, calibration=calibration)


def cautious(factor: float, doubt: float | None) -> float:
    """Return the minutes that a plan reckons with, as a multiple of the estimate."""
    bare = float(drive(Calibration()).expected_minutes[0, 0])
    return float(drive(Calibration(1.0, factor, doubt)).cautious_minutes[0, 0]) / bare


def test_that_drives_that_took_what_was_planned_leave_the_plan_as_it_was() -> None:
    assert cautious(CAUTIOUS_SHARE, 1.06) == pytest.approx(CAUTIOUS_SHARE)
    assert cautious(CAUTIOUS_SHARE, None) == pytest.approx(CAUTIOUS_SHARE**2), "an unmeasured factor keeps the band"


def test_that_drives_as_estimated_are_planned_with_the_caution_of_roads_and_no_less() -> None:
    assert cautious(1.0, 1.05) == pytest.approx(1.2)
    assert cautious(1.0, 1.4) == pytest.approx(1.4), "few drives: their range is wider than the band of roads"
    assert cautious(3.0, 1.05) == pytest.approx(3.0 * 1.2)


@given(FACTORS, DOUBTS)
def test_that_recorded_drives_never_widen_the_band(factor: float, doubt: float) -> None:
    low, high = (float(one[0]) for one in measured_shares(np.array([factor]), np.array([doubt])))
    assert OPTIMISTIC_SHARE <= low <= 1.0 <= high <= CAUTIOUS_SHARE + 1e-9
    if factor <= CAUTIOUS_SHARE:
        assert factor * high <= CAUTIOUS_SHARE * (1 + 1e-9), "no drive is planned with more than before"


@given(DOUBTS)
def test_that_slower_drives_are_never_planned_with_less(doubt: float) -> None:
    factors = np.linspace(0.2, 5.0, 200)
    _, shares = measured_shares(factors, np.full(200, doubt))
    assert all(earlier <= later + 1e-9 for earlier, later in pairwise((factors * shares).tolist()))


def test_that_each_origin_has_the_range_of_its_route_and_the_overhead_is_left_alone() -> None:
    two = drive_table(
        [HERE, HERE],
        [THERE],
        network=None,
        stop_overhead_minutes=3.0,
        calibration=Calibration(np.array([1.0, 2.0]), 1.25, np.array([1.3, 1.05])),
    )
    bare = float(drive(Calibration()).expected_minutes[0, 0])
    assert two.cautious_minutes[:, 0] == pytest.approx([bare * 1.25 * 1.3 + 3.0, bare * 2.5 * 1.2 + 3.0])
    assert two.optimistic_minutes[:, 0] == pytest.approx([bare * 1.25 / 1.3 + 3.0, bare * 2.5 * 0.9 + 3.0])


def test_that_a_range_below_its_factor_is_refused() -> None:
    with pytest.raises(RuleError, match="1 time as long or longer"):
        drive(Calibration(doubts=0.9))
