"""A column: the complete plan of one route, exact in every rule that concerns the route alone."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import NamedTuple

from planner.scheduling.engine.instance import RouteCase, VisitCase


class Choice(NamedTuple):
    """How one visit is filled."""

    lead: int
    """Volunteer."""
    second: int
    """Volunteer; -1: nobody."""
    window: int
    date: int
    last: int
    """Reserve date; the date itself: none."""

    @property
    def people(self) -> tuple[int, ...]:
        """Who goes."""
        return (self.lead,) if self.second < 0 else (self.lead, self.second)

    @property
    def reserved(self) -> bool:
        """Whether there is a reserve date."""
        return self.last != self.date


@dataclass(frozen=True, slots=True)
class Column:
    """A plan of one route."""

    route: int
    choices: tuple[Choice | None, ...]
    """By visit; None: unfilled, or fixed."""
    setup: int
    """Day of the set-up; -1: none."""
    cost: float
    """Its part of the objective, loads left out."""
    slots: tuple[tuple[int, int], ...]
    """(volunteer, day) that it takes."""
    loads: tuple[tuple[int, int], ...]
    """(volunteer, visits) that it takes."""

    @property
    def filled(self) -> int:
        """Visits filled."""
        return sum(choice is not None for choice in self.choices)

    @property
    def reserved(self) -> int:
        """Visits with a reserve date."""
        return sum(choice is not None and choice.reserved for choice in self.choices)


def column_of(number: int, route: RouteCase, choices: tuple[Choice | None, ...], setup: int) -> Column:
    """Return the column of a route's choices, with its cost.

    Args:
        number: which route of the instance.
        route: the route.
        choices: by visit; None for unfilled and fixed ones.
        setup: day of the set-up of visit 1; -1: none.
    """
    slots: set[tuple[int, int]] = set()
    loads: Counter[int] = Counter()
    for choice in choices:
        if choice is not None:
            for person in choice.people:
                slots |= {(person, choice.date), (person, choice.last)}
                loads[person] += 1
    first = choices[0]
    if first is not None and setup >= 0:
        slots.add((first.lead, setup))
    cost = cost_of(route, choices, setup)
    return Column(number, choices, setup, cost, tuple(sorted(slots)), tuple(sorted(loads.items())))


def cost_of(route: RouteCase, choices: tuple[Choice | None, ...], setup: int) -> float:
    """Return what the choices of one route add to the objective, loads left out."""
    lead_drive, second_drive = route.lead_minutes, route.second_minutes
    cost, before, weights = 0.0, None, route.weights
    for k, (visit, choice) in enumerate(zip(route.visits, choices, strict=True)):
        if choice is None:
            # A preferred gap is judged between neighbouring visits that are planned now, not over others.
            before = None
            continue
        drive = lead_drive[choice.lead] + (second_drive[choice.second] if choice.second >= 0 else 0.0)
        cost += weights.filled + weights.drive * drive
        cost += weights.reserved if choice.reserved else 0.0
        cost += weights.late_day * (choice.date - visit.first_day) * len(choice.people)
        cost += 0.0 if visit.day_cost is None else weights.wishes * float(visit.day_cost[choice.window, choice.date])
        cost += _disturbing(route, visit, choice)
        if before is not None and choice.date - before < visit.gap.preferred_least:
            cost += weights.missed_gap
        if k == 0 and setup >= 0 and setup != choice.date:
            cost += weights.drive * lead_drive[choice.lead]
        before = choice.last
    return cost + (weights.same_lead if _one_lead(route, choices) else 0.0)


def _disturbing(route: RouteCase, visit: VisitCase, choice: Choice) -> float:
    """Return what it costs to move a visit that stood."""
    present = visit.present
    if present is None:
        return 0.0
    stays = (choice.lead, choice.second, choice.date) == (present.lead, present.second, present.date)
    kept = present.last == present.date or choice.last in (choice.date, present.last)
    return (0.0 if stays else route.weights.moved) + (0.0 if kept else route.weights.kept_otherwise)


def _one_lead(route: RouteCase, choices: tuple[Choice | None, ...]) -> bool:
    leads = []
    for visit, choice in zip(route.visits, choices, strict=True):
        fixed = visit.fixed
        leads.append(fixed.lead if fixed is not None else -1 if choice is None else choice.lead)
    return route.same_lead and len(leads) > 1 and len(set(leads)) == 1 and leads[0] >= 0
