"""Whose estimate a habitat sheet may be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season


@dataclass(frozen=True, slots=True)
class Observer:
    """Somebody whose estimate may be written down."""

    code: str
    """Empty: nobody is named."""
    name: str
    sheets: int = 0
    """How many of their sheets there are of the visit."""


def offered_observers(
    season: Season, plan: Plan, sheets: Iterable[HabitatSheet], key: VisitKey
) -> tuple[Observer, ...]:
    """Return whose estimate of a visit it may be: who has sheets of it, who is planned, nobody named, everybody else.

    The first is whose estimate it most likely is.
    """
    counts = Counter(
        sheet.key.observer for sheet in sheets if (sheet.key.route, sheet.key.visit) == (key.route, key.number)
    )
    planned = plan.by_key.get(key)
    team = planned.people if planned is not None else ()
    names = {person.code: person.name for person in season.volunteers}
    there = [code for code, _ in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))]
    codes = dict.fromkeys([*there, *team, "", *names])
    return tuple(Observer(code, names.get(code, ""), counts[code]) for code in codes)
