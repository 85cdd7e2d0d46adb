"""The chance that a visit is never done, by the date on which it is first tried: what speaks for early dates."""

from __future__ import annotations

import numpy as np

from planner.scheduling.problem import BoolArray, FloatArray
from planner.scheduling.risk.chain import WeatherChain


def loss_by_date(feasible: BoolArray, chain: WeatherChain) -> FloatArray:
    """Return the probability that a visit is lost to weather if it is first tried on each date.

    The visit is tried on that date and, while evenings are lost, on every later feasible date. Nothing is known of
    the weather before it, so the chance of the first evening is that of the chain seen from afar.

    Args:
        feasible: the dates inside the visit's range on which it could be made, shape (..., days); leading axes are
            visits, leads or whatever is compared.
        chain: the weather of the same days.

    Returns:
        Shape (..., days); 1 where the date is not feasible.
    """
    loss = np.ones(feasible.shape, dtype=np.float64)
    never_if_good = never_if_lost = np.ones(feasible.shape[:-1], dtype=np.float64)
    for day in range(feasible.shape[-1] - 1, -1, -1):
        # never_if_good and never_if_lost look ahead from this day on, by the weather of the day itself.
        may = feasible[..., day]
        loss[..., day] = np.where(may, chain.seen_from_afar[day] * never_if_lost, 1.0)
        good = np.where(may, 0.0, never_if_good)
        if day > 0:
            ahead = never_if_lost
            never_if_lost = chain.after_lost[day] * ahead + (1.0 - chain.after_lost[day]) * good
            never_if_good = chain.after_good[day] * ahead + (1.0 - chain.after_good[day]) * good
    return loss
