"""What planning with recorded drives would change on each route: its drives, and the margins of its visits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.scheduling import SeasonProblem
from planner.travel import FittedFactor, FittedFactors
from planner.usecases.calibrating.recorded import RecordedLeg
from planner.usecases.plan.judging import visit_facts
from planner.usecases.plan.planning import is_past


@dataclass(frozen=True, slots=True)
class VisitChange:
    """A planned visit, before and after."""

    key: VisitKey
    date: dt.date
    margin_before_minutes: float | None
    """From the end of the last count to the closing of the window; None where it cannot be told."""
    margin_after_minutes: float | None
    missed_before: int
    """Points whose count does not fit."""
    missed_after: int

    @property
    def no_longer_fits(self) -> bool:
        """Whether all points fit now, and would not."""
        fits_now = self.margin_before_minutes is not None and not self.missed_before
        return fits_now and (self.margin_after_minutes is None or self.missed_after > 0)


@dataclass(frozen=True, slots=True)
class RouteChange:
    """A route, before and after."""

    route: str
    legs: int
    """Recorded drives between its points that were used."""
    recorded_minutes: float
    """Driving on these, as written down."""
    expected_minutes: float
    """Driving on these, as the road map at the season's speeds gives it, or the estimate without roads."""
    before: float
    """Its factor on top of the roads', as it is planned with; 1: it has none."""
    after: float
    """The same as recorded drives say, drawn to the season's."""
    least: float | None
    """The true one lies from here to ``most`` in 95 of 100 seasons; None: it has none of its own."""
    most: float | None
    own: bool
    """Whether there were enough recorded drives, or the season's figure stands in."""
    drives_before_minutes: float
    """From point to point in the order of the route, all that a plan reckons with; inf: no road leads there."""
    drives_after_minutes: float
    visits: tuple[VisitChange, ...]
    """Of the plan, those that are yet to come."""

    @property
    def ratio(self) -> float | None:
        """Recorded over expected minutes, as they are; None where nothing was recorded."""
        return self.recorded_minutes / self.expected_minutes if self.legs else None


def route_changes(
    before: SeasonProblem, after: SeasonProblem, plan: Plan, fitted: FittedFactors, used: Sequence[RecordedLeg]
) -> tuple[RouteChange, ...]:
    """Return each route of which something was recorded or whose visits are yet to come, by code.

    Args:
        before: the season with its drives as they are planned with.
        after: the same with its drives as they would be.
        plan: as it stands.
        fitted: what recorded drives came to.
        used: the drives that this rests on.
    """
    own = {one.name: one for one in fitted.routes}
    found = []
    for code in sorted(before.drives):
        within = [leg for leg in used if leg.name.record.route == code and None not in (leg.name.start, leg.name.end)]
        visits = tuple(_visits(before, after, plan, code))
        if within or visits:
            found.append(_route(before, after, code, within, own.get(code), visits))
    return tuple(found)


def _route(
    before: SeasonProblem,
    after: SeasonProblem,
    code: str,
    within: Sequence[RecordedLeg],
    own: FittedFactor | None,
    visits: tuple[VisitChange, ...],
) -> RouteChange:
    return RouteChange(
        route=code,
        legs=len(within),
        recorded_minutes=sum(leg.driven_minutes for leg in within),
        expected_minutes=sum(leg.expected_minutes for leg in within),
        before=before.season.drive_factors.route_factor(code),
        after=after.season.drive_factors.route_factor(code),
        least=own.least if own is not None else None,
        most=own.most if own is not None else None,
        own=own is not None,
        drives_before_minutes=_along(before, code),
        drives_after_minutes=_along(after, code),
        visits=visits,
    )


def _along(problem: SeasonProblem, code: str) -> float:
    return float(np.diagonal(problem.drives[code].legs.expected, offset=1).sum())


def is_over(visit: PlannedVisit, today: dt.date | None) -> bool:
    """Whether a visit has been made, or its date is past."""
    return visit.status is Status.DONE or is_past(visit, today)


def _visits(before: SeasonProblem, after: SeasonProblem, plan: Plan, code: str) -> Iterator[VisitChange]:
    for visit in plan.of_route(code):
        if is_over(visit, before.today):
            continue
        now, then = visit_facts(before, visit), visit_facts(after, visit)
        yield VisitChange(
            key=visit.key,
            date=visit.date,
            margin_before_minutes=now.margin_minutes,
            margin_after_minutes=then.margin_minutes,
            missed_before=now.points_missed,
            missed_after=then.points_missed,
        )
