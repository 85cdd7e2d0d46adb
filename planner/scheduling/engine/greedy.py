"""A plan at once: routes one after the other, hardest first, each with the best column that is left."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Room
from planner.scheduling.engine.master import step_costs
from planner.scheduling.engine.relaxation import closed_prices
from planner.scheduling.engine.season_pricing import SeasonPricer


def fill_greedily(
    pricer: SeasonPricer, numbers: Sequence[int], room: Room, load_weight: float, prices: Prices | None = None
) -> dict[int, Column]:
    """Return columns for routes, taken one by one in the room that those before leave.

    Args:
        pricer: of the season.
        numbers: of the routes, in the order they are served.
        room: days and visits free.
        load_weight: of the square of each load.
        prices: what days and visits are worth to the routes still to come; None: nothing but the load.
    """
    found: dict[int, Column] = {}
    for number in numbers:
        closed = closed_prices(_with_load(prices, room, load_weight), room)
        best = pricer.price([number], closed, room.limit)[0].columns
        if best:
            found[number] = best[0]
            room = room.taking(best[0].slots, best[0].loads)
    return found


def hardest_first(pricer: SeasonPricer, numbers: Sequence[int]) -> list[int]:
    """Return routes by the number of lead days they have to choose from, fewest first."""

    def choice(number: int) -> tuple[int, int]:
        return min(int(visit.lead_days.sum()) for visit in pricer.routes[number].visits), number

    return sorted(numbers, key=choice)


def _with_load(prices: Prices | None, room: Room, load_weight: float) -> Prices:
    first = step_costs(room, load_weight)[:, 0]
    rise = np.where(np.isfinite(first), first, 0.0)
    if prices is None:
        return Prices(np.zeros(room.closed.shape), rise, np.zeros(len(rise)))
    return Prices(prices.days, np.maximum(prices.visits, rise), prices.twice)
