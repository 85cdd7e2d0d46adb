"""The minutes left for habitat between the counts are the most there are: counted by hand with them, and with more."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import given, settings

from planner.domain.counting import Direction
from planner.domain.window import Edge, Event, Pass
from planner.scheduling.outing.passes import PassSpan
from planner.scheduling.outing.shortest import ShortestOrders
from planner.scheduling.outing.squeeze import squeeze
from planner.scheduling.outing.task import CountingTask
from tests.unit.scheduling.test_counting_orders import cost_by_hand, tasks

SUNSET = Edge(Event.SUNSET)
A_LITTLE = 1e-5


def fits(task: CountingTask, minutes: float) -> bool:
    """Whether all points can be counted in one of the orders considered, with so much more on every leg."""
    longer = replace(task, legs_minutes=task.legs_minutes + minutes)
    orders = ShortestOrders(task.legs_s, task.direction).whole
    return any(math.isfinite(cost_by_hand(longer, order)) for order in orders)


@settings(max_examples=200)
@given(tasks())
def test_that_the_minutes_left_fit_between_the_counts_and_no_more_do(drawn: CountingTask) -> None:
    legs = np.where(np.isinf(drawn.legs_minutes), 21.0, drawn.legs_minutes)
    task = replace(drawn, legs_minutes=legs, ready_s=None)
    rule = Pass(SUNSET, SUNSET, start=task.start, within_minutes=task.within_minutes)
    left, _ = squeeze(task, PassSpan(rule, task.open_s, task.close_s), habitat_minutes=5.0)
    if not fits(task, 0.0):
        assert left == 0.0
    elif task.points > 1:
        assert fits(task, max(0.0, left - A_LITTLE))
        assert not fits(task, left + A_LITTLE)


def test_that_a_wait_for_the_first_opening_gives_its_time_to_habitat() -> None:
    """Three points opening at 0, 10 and 60: counts of 5 and legs of 1 leave 4 and then 44; the closings bind at 4."""
    opens = 60.0 * np.array([0.0, 10.0, 60.0])
    closes = 60.0 * np.array([5.0, 15.0, 65.0])
    task = CountingTask(np.ones((3, 3)), opens, closes, 5.0, direction=Direction.FIXED)
    left, _ = squeeze(task, PassSpan(Pass(SUNSET, SUNSET), opens, closes), habitat_minutes=5.0)
    assert math.isclose(left, 4.0, abs_tol=1e-9)
