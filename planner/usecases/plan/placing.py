"""Place one visit by hand: move it, give it to others, hold a reserve date, pin, confirm, take out. Each one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.plan.judging import Verdict, judge
from planner.usecases.plan.planning import is_past, listed_codes
from planner.usecases.plan.proposing import Role, with_person
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem


@dataclass(frozen=True, slots=True)
class Placed:
    """What one step by hand changed."""

    label: str
    """The step as the history shows it."""
    before: Plan
    after: Plan
    verdict: Verdict | None = None
    """Of a visit that was placed; None where its date and people stayed."""

    @property
    def changed(self) -> tuple[VisitKey, ...]:
        """The visits that stand otherwise now."""
        then, now = self.before.by_key, self.after.by_key
        return tuple(key for key in sorted({*then, *now}) if then.get(key) != now.get(key))


def problem_of(file: SeasonFile, known: SeasonProblem | None = None, today: dt.date | None = None) -> SeasonProblem:
    """Return the season with light and drives as the file holds it.

    Args:
        file: the season file.
        known: computed before; it is taken where it is still that of the file, for computing takes a while.
        today: visits before it are past; ``known`` has its own.

    Raises:
        ImpossibleError: the road map is gone.
    """
    season = file.season()
    if known is not None and known.season == replace(season, routes=tuple(one for one in season.routes if one.points)):
        return known
    today = known.today if known is not None else today
    return season_problem(season, whole_road_network(file.path, season.roads), today)


def place(
    file: SeasonFile, visit: PlannedVisit, *, problem: SeasonProblem | None = None, today: dt.date | None = None
) -> Placed:
    """Make one visit stand as given: moved, given to others, or filled; one step.

    Args:
        file: the season file.
        visit: the visit as it is to stand.
        problem: the season with light and drives, if it is at hand.
        today: visits before it are past and stay.

    Raises:
        RuleError: the season has no such route or visit.
        ImpossibleError: the visit is fixed or past, its new date is past, the road map is gone, or a rule would be
            broken that is not broken now; the file is then unchanged.
    """
    problem = problem_of(file, problem, today)
    before = file.plan()
    stood = before.by_key.get(visit.key)
    _refuse_settled(stood, problem.today)
    if is_past(visit, problem.today):
        raise ImpossibleError(f"{_said(visit.date)} is past, so {visit.key} cannot be moved there.")
    visit = replace(visit, status=Status.PLANNED, pinned=False)
    verdict = judge(problem, before, visit)
    if verdict.broken:
        raise ImpossibleError(
            f"{visit.key} cannot stand so, and nothing was changed:",
            *(f"{one.what} {one.todo}" for one in verdict.broken),
        )
    after = before.with_visit(visit)
    return _keep(file, _label(stood, visit), before, after, verdict)


def set_lead(file: SeasonFile, key: VisitKey, code: str, *, problem: SeasonProblem | None = None) -> Placed:
    """Give a visit to another lead; a second who becomes lead changes places. Raises as :func:`place` does."""
    return place(file, with_person(_filled(file.plan(), key), Role.LEAD, _known(file.season(), code)), problem=problem)


def set_second(file: SeasonFile, key: VisitKey, code: str, *, problem: SeasonProblem | None = None) -> Placed:
    """Let somebody go as second, or nobody where the code is empty. Raises as :func:`place` does."""
    code = _known(file.season(), code) if code else ""
    return place(file, with_person(_filled(file.plan(), key), Role.SECOND, code), problem=problem)


def set_reserve(
    file: SeasonFile, key: VisitKey, date: dt.date | None, *, problem: SeasonProblem | None = None
) -> Placed:
    """Hold a reserve date for a visit, or none. Raises as :func:`place` does."""
    return place(file, replace(_filled(file.plan(), key), reserve=date), problem=problem)


def set_setup(file: SeasonFile, key: VisitKey, date: dt.date | None, *, problem: SeasonProblem | None = None) -> Placed:
    """Lay the set-up of a visit on a date, or take it away. Raises as :func:`place` does."""
    return place(file, replace(_filled(file.plan(), key), setup=date), problem=problem)


def pin(file: SeasonFile, *keys: VisitKey) -> Placed:
    """Let visits stay as they are, whatever is planned. Raises ImpossibleError where one is unfilled."""
    return _change(file, "Pin", keys, lambda visit: replace(visit, pinned=True))


def unpin(file: SeasonFile, *keys: VisitKey) -> Placed:
    """Let planning change visits again. Raises ImpossibleError where one is unfilled."""
    return _change(file, "Unpin", keys, lambda visit: replace(visit, pinned=False))


def confirm(file: SeasonFile, *keys: VisitKey) -> Placed:
    """Write down that the people of visits have agreed. Raises ImpossibleError where one is unfilled or done."""
    return _change(file, "Confirm", keys, lambda visit: _with_status(visit, Status.CONFIRMED))


def unconfirm(file: SeasonFile, *keys: VisitKey) -> Placed:
    """Take back that the people of visits have agreed. Raises ImpossibleError where one is unfilled or done."""
    return _change(file, "Take back the confirmation of", keys, lambda visit: _with_status(visit, Status.PLANNED))


def take_out(file: SeasonFile, *keys: VisitKey, today: dt.date | None = None) -> Placed:
    """Leave visits unfilled. Raises ImpossibleError where one is unfilled already, fixed or past."""
    before = file.plan()
    for key in keys:
        _refuse_settled(_filled(before, key), today)
    after = Plan(tuple(visit for visit in before if visit.key not in keys))
    return _keep(file, f"Take {_listed(keys)} out of the plan", before, after)


def why_fixed(visit: PlannedVisit, today: dt.date | None) -> str:
    """Return why a visit may not be moved, in words; empty where it may."""
    if visit.status is Status.DONE:
        return f"{visit.key} is done: what has been counted stays as it was."
    if is_past(visit, today):
        return f"{visit.key} was on {_said(visit.date)}, and that is past."
    if visit.status is Status.CONFIRMED:
        return f"{visit.key} is confirmed: its people have agreed. Take the confirmation back first."
    return f"{visit.key} is pinned. Unpin it first." if visit.pinned else ""


def _change(
    file: SeasonFile, verb: str, keys: tuple[VisitKey, ...], to: Callable[[PlannedVisit], PlannedVisit]
) -> Placed:
    before = after = file.plan()
    for key in keys:
        after = after.with_visit(to(_filled(before, key)))
    return _keep(file, f"{verb} {_listed(keys)}", before, after)


def _keep(file: SeasonFile, label: str, before: Plan, after: Plan, verdict: Verdict | None = None) -> Placed:
    if after != before:
        with file.step(label):
            file.save_plan(after)
    return Placed(label, before, after, verdict)


def _filled(plan: Plan, key: VisitKey) -> PlannedVisit:
    visit = plan.by_key.get(key)
    if visit is None:
        raise ImpossibleError(f"{key} is unfilled.", "Place it on a date first.")
    return visit


def _known(season: Season, code: str) -> str:
    return season.volunteer(code).code


def _with_status(visit: PlannedVisit, status: Status) -> PlannedVisit:
    if visit.status is Status.DONE:
        raise ImpossibleError(f"{visit.key} is done: what has been counted stays as it was.")
    return replace(visit, status=status)


def _refuse_settled(visit: PlannedVisit | None, today: dt.date | None) -> None:
    reason = why_fixed(visit, today) if visit is not None else ""
    if reason:
        raise ImpossibleError(reason)


def _listed(keys: tuple[VisitKey, ...]) -> str:
    if not keys:
        raise RuleError("no visit is chosen")
    return listed_codes([str(key) for key in keys], most=3)


def _label(stood: PlannedVisit | None, visit: PlannedVisit) -> str:
    """Return what placing a visit comes to, in the coordinator's words."""
    key, people = visit.key, " and ".join(visit.people)
    if stood is None:
        return f"Fill {key}: {_said(visit.date)}, {people}"
    if stood.date != visit.date:
        given = "" if stood.people == visit.people else f", {people}"
        return f"Move {key} to {_said(visit.date)}{given}"
    if stood.people != visit.people:
        return f"Give {key} to {people}"
    if stood.reserve != visit.reserve:
        return f"Hold {_said(visit.reserve) if visit.reserve else 'no reserve date'} for {key}"
    return f"Set up {key.route} on {_said(visit.setup)}" if visit.setup else f"Take the set-up of {key.route} away"


def _said(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
