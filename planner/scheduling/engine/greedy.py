"""A plan at once: routes one after the other, hardest first, each with the best column that is left."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Room
from planner.scheduling.engine.master import step_costs
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.relaxation import closed_prices


def fill_greedily(pricers: Sequence[RoutePricer], room: Room, prices: Prices | None = None) -> dict[int, Column]:
    """Return columns for routes, taken one by one in the room that those before leave.

    Args:
        pricers: the routes, in the order they are served.
        room: days and visits free.
        prices: what days and visits are worth to the routes still to come; None: nothing but the load.
    """
    found: dict[int, Column] = {}
    for pricer in pricers:
        best = pricer.price(closed_prices(_with_load(prices, room), room), room.limit).columns
        if best:
            found[pricer.number] = best[0]
            room = room.taking(best[0].slots, best[0].loads)
    return found


def hardest_first(pricers: Sequence[RoutePricer]) -> list[RoutePricer]:
    """Return the routes by the number of lead days they have to choose from, fewest first."""

    def choice(pricer: RoutePricer) -> tuple[int, int]:
        return min(int(visit.lead_days.sum()) for visit in pricer.route.visits), pricer.number

    return sorted(pricers, key=choice)


def _with_load(prices: Prices | None, room: Room) -> Prices:
    rise = np.array([costs[0] if len(costs) else 0.0 for costs in step_costs(room)])
    if prices is None:
        return Prices(np.zeros(room.closed.shape), rise)
    return Prices(prices.days, np.maximum(prices.visits, rise))
