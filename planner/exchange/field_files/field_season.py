"""What of a season tells the rows of files that came back: its routes, people, plan and evenings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from planner.domain.errors import RuleError
from planner.domain.light import Span
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.exchange.field_files.form import FieldForm


@dataclass(frozen=True, slots=True, eq=False)
class FieldSeason:
    """A season as the readers need it."""

    season: Season
    plan: Plan
    form: FieldForm
    window: Callable[[str, dt.date], Span]
    """The light window, in UTC, of a route on the date of an evening or morning; where there is none that date, when
    it would be."""
    planned: Mapping[VisitKey, PlannedVisit] = field(init=False)
    """The visits of the plan: asked for with every row."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "planned", self.plan.by_key)

    def points(self, route: str) -> frozenset[int]:
        """Return the numbers of a route's points; none where there is no such route."""
        try:
            return frozenset(point.number for point in self.season.route(route).points)
        except RuleError:
            return frozenset()

    def route_called(self, text: str) -> str:
        """Return the code of the route of that code or name, however it is written; empty where there is none."""
        wanted = _squeezed(text)
        exact = [route.code for route in self.season.routes if route.code == text]
        meant = exact or [
            route.code
            for route in self.season.routes
            if wanted in (_squeezed(route.code), _squeezed(route.name), _squeezed(route.title))
        ]
        return meant[0] if len(meant) == 1 else ""

    def person_called(self, text: str) -> str:
        """Return the code of the volunteer of that code or name; empty where there is none, or several."""
        wanted = _squeezed(text)
        exact = [person.code for person in self.season.volunteers if person.code == text]
        meant = exact or [
            person.code
            for person in self.season.volunteers
            if wanted in (_squeezed(person.code), _squeezed(person.name), _squeezed(f"{person.code} {person.name}"))
        ]
        return meant[0] if len(meant) == 1 else ""

    def lead_of(self, route: str, visit: int) -> str:
        """Return who is planned to lead a visit; empty where it is not planned."""
        planned = self.planned.get(VisitKey(route, visit))
        return planned.lead if planned is not None else ""


def _squeezed(text: str) -> str:
    return " ".join(text.casefold().split())
