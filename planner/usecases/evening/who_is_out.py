"""Who is out on each date of a plan."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from planner.domain.plan import Plan, VisitKey


@dataclass(frozen=True, slots=True)
class OutOn:
    """Who is out on one date: visits, set-up days of their own, and visits for which the date is held back."""

    visits: tuple[VisitKey, ...] = ()
    setups: tuple[VisitKey, ...] = ()
    reserves: tuple[VisitKey, ...] = ()


def out_on(plan: Plan) -> Mapping[dt.date, OutOn]:
    """Return who is out on each date of a plan that somebody is out on, or that is held back."""
    visits, setups, reserves = (defaultdict[dt.date, list[VisitKey]](list) for _ in range(3))
    for visit in plan:
        visits[visit.date].append(visit.key)
        if visit.setup not in (None, visit.date):
            setups[visit.setup].append(visit.key)
        if visit.reserve is not None:
            reserves[visit.reserve].append(visit.key)
    return {
        day: OutOn(tuple(visits[day]), tuple(setups[day]), tuple(reserves[day]))
        for day in sorted({*visits, *setups, *reserves})
    }
