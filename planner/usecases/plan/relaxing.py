"""Make an offered relaxation true: what somebody gives more, or a rule eased for one route, and the visits it mends."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from planner.domain.calendar import DateRange
from planner.domain.change import Change, ChangeKind
from planner.domain.errors import ImpossibleError
from planner.domain.finding import Severity
from planner.domain.plan import Explanation, Plan, Relaxation, Status, VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, audit, explain_plan
from planner.store import SeasonFile
from planner.usecases.plan.judging import added
from planner.usecases.plan.placing import Placed, problem_of
from planner.usecases.plan.planning import is_past


@dataclass(frozen=True, slots=True)
class Offer:
    """Explanations with the plan that they hold for."""

    season: Season
    plan: Plan
    explanations: tuple[Explanation, ...]

    def of(self, key: VisitKey) -> Explanation | None:
        """Return the explanation of one visit; None where it lacks nothing, or nobody has looked."""
        return next((one for one in self.explanations if one.key == key), None)


@dataclass(frozen=True, slots=True)
class Lacking:
    """A visit that is unfilled, or has no reserve date."""

    key: VisitKey
    reserve_only: bool


def lacking_visits(season: Season, plan: Plan) -> tuple[Lacking, ...]:
    """Return the visits that are unfilled, then those that are still to be made and have no reserve date."""
    planned = plan.by_key
    keys = [
        VisitKey(route.code, number) for route in season.routes for number in range(1, len(season.protocol.visits) + 1)
    ]
    unfilled = [Lacking(key, reserve_only=False) for key in keys if key not in planned]
    bare = (
        key
        for key in keys
        if key in planned and planned[key].reserve is None and planned[key].status is not Status.DONE
    )
    return (*unfilled, *(Lacking(key, reserve_only=True) for key in bare))


def explained(problem: SeasonProblem, season: Season, plan: Plan) -> Offer:
    """Return why visits of a plan lack something, and the smallest changes that would mend each; pure computing.

    Args:
        problem: the season with its light and drives.
        season: the season as the file holds it.
        plan: the plan as the file holds it.
    """
    return Offer(season, plan, explain_plan(problem, plan))


def hindrance(season: Season, relaxation: Relaxation) -> str:
    """Return what a person must do instead where a relaxation cannot be entered; empty where it can."""
    reasons = (_hindrance(season, change) for change in relaxation.changes)
    if not relaxation.changes and not relaxation.visits:
        return "Plan again: nothing has to change for it."
    return next((reason for reason in reasons if reason), "")


def relax(
    file: SeasonFile, offer: Offer, key: VisitKey, number: int, *, problem: SeasonProblem | None = None
) -> Placed:
    """Make one relaxation true: the season's changes and the visits that it mends, as one step.

    Args:
        file: the season file.
        offer: the explanations, as they were computed.
        key: the visit that lacks something.
        number: which of its relaxations, from 1.
        problem: the season with light and drives, if it is at hand.

    Raises:
        ImpossibleError: the season has changed since, the change cannot be entered, or a rule would be broken; the file
            is then unchanged.
    """
    explanation = offer.of(key)
    if explanation is None or not 1 <= number <= len(explanation.relaxations):
        raise ImpossibleError(f"Nothing of number {number} is offered for {key}.")
    relaxation = explanation.relaxations[number - 1]
    season, before = file.season(), file.plan()
    if (season, before) != (offer.season, offer.plan):
        raise ImpossibleError("The season has changed since this was offered.", "Look for what would help again.")
    instead = hindrance(season, relaxation)
    if instead:
        raise ImpossibleError(f"This cannot be entered here: {relaxation.what}", instead)
    problem = problem_of(file, problem)
    after_season, after = (
        season_with(season, key.route, relaxation.changes),
        plan_with(problem, before, key, relaxation),
    )
    _refuse_broken(problem, season_with(problem.season, key.route, relaxation.changes), before, after)
    mended = "gets a reserve date" if explanation.lacks_reserve_only else "is filled"
    label = f"{key} {mended}: {relaxation.what.rstrip('.')}"
    with file.step(label):
        file.save_season(after_season)
        file.save_plan(after)
    return Placed(label, before, after)


def plan_with(problem: SeasonProblem, plan: Plan, key: VisitKey, relaxation: Relaxation) -> Plan:
    """Return the plan as a relaxation has it: what is fixed and the routes it leaves alone stand as they are."""
    routes = {key.route, *(move.route for move in relaxation.moves)}
    stays = (one for one in plan if one.fixed or is_past(one, problem.today) or one.key.route not in routes)
    mended = {one.key: one for one in relaxation.visits}
    return Plan((*(one for one in stays if one.key not in mended), *mended.values()))


def season_with(season: Season, route: str, changes: Iterable[Change]) -> Season:
    """Return the season in which changes for one route have been made; those it cannot hold leave it as it is."""
    for change in changes:
        if change.volunteer:
            people = (_asked(one, change, season) if one.code == change.volunteer else one for one in season.volunteers)
            season = replace(season, volunteers=tuple(people))
        else:
            routes = (_eased(season, one, change) if one.code == route else one for one in season.routes)
            season = replace(season, routes=tuple(routes))
    return season


def _refuse_broken(problem: SeasonProblem, changed: Season, before: Plan, after: Plan) -> None:
    new = added(audit(problem, before), audit(replace(problem, season=changed), after))
    broken = [one for one in new if one.severity is Severity.BROKEN]
    if broken:
        raise ImpossibleError(
            "The plan would break these rules, so nothing was changed:", *(str(one) for one in broken)
        )


_PROTOCOL = (
    "It is the protocol's rule for every route: ask those who run the survey, and plan with a protocol that says so."
)


def _hindrance(season: Season, change: Change) -> str:
    if change.kind in (ChangeKind.GAP, ChangeKind.SETUP):
        return _PROTOCOL
    if change.kind is ChangeKind.ONE_PERSON and season.protocol.people.fewest > 1:
        return _PROTOCOL
    if change.kind is ChangeKind.NEWCOMER:
        return "Find somebody, enter them in People with the dates they give, then plan what is missing."
    return ""


def _asked(person: Volunteer, change: Change, season: Season) -> Volunteer:
    """Return a volunteer who gives what a change asks of them."""
    if change.kind is ChangeKind.GIVES:
        return replace(person, availability=_given(person, change))
    if change.kind is ChangeKind.VISITS:
        return replace(person, visits_limit=person.visits_limit + change.amount)
    if change.kind is ChangeKind.DRIVES:
        return replace(person, drive_limit_minutes=person.drive_limit_minutes + change.amount)
    vehicles = {one.vehicle for one in season.volunteers}
    brought = [skill for skill in change.skills if skill in vehicles and change.kind is ChangeKind.BRINGS]
    learnt = person.training | (set(change.skills) - set(brought[:1]))
    return replace(person, vehicle=brought[0] if brought else person.vehicle, training=learnt)


def _given(person: Volunteer, change: Change) -> tuple[Availability, ...]:
    """Return somebody's dates with those that they give more, everything given before kept."""
    lines = list(person.availability)
    wanted: dict[dt.date, frozenset[PartOfDay]] = {}
    for day, part in change.given:
        wanted[day] = wanted.get(day, person.parts_on(day)) | {part}
    lines += [Availability(DateRange(day, day), parts) for day, parts in sorted(wanted.items())]
    return tuple(lines)


def _eased(season: Season, route: Route, change: Change) -> Route:
    """Return a route with one rule eased; its own date ranges stay inside the season."""
    if change.kind is ChangeKind.ONE_PERSON:
        return replace(route, people=1)
    if change.kind is ChangeKind.ANY_LEAD:
        return replace(route, lead="")
    if change.kind not in (ChangeKind.LATER, ChangeKind.EARLIER):
        return route  # the protocol's own rules hold for every route: see hindrance
    later = change.amount if change.kind is ChangeKind.LATER else 0
    return replace(
        route,
        visit_dates=tuple(
            (number, _wider(season, season.visit_dates(route, number), change.amount - later, later))
            for number in range(1, len(season.protocol.visits) + 1)
        ),
    )


def _wider(season: Season, dates: DateRange, earlier: int, later: int) -> DateRange:
    first, last = dates.first - dt.timedelta(days=earlier), dates.last + dt.timedelta(days=later)
    return DateRange(max(first, season.dates.first), min(last, season.dates.last))
