"""A visit given by hand as it is said on the telephone: this date, this lead; and whom one could ask."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from planner.domain.errors import RuleError
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.plan.judging import Verdict, judge
from planner.usecases.plan.placing import Placed, place, problem_of, why_fixed
from planner.usecases.plan.proposing import Candidate, Role, candidates, on_date, propose, with_person


@dataclass(frozen=True, slots=True)
class VisitWish:
    """How a visit is to stand; what is not said stays, or goes to where it breaks least."""

    date: dt.date | None = None
    lead: str = ""
    """Code of the volunteer; empty: whoever leads it, or the likeliest person where it is unfilled."""
    second: str = ""
    alone: bool = False
    """Nobody goes as second."""
    reserve: dt.date | None = None
    no_reserve: bool = False
    setup: dt.date | None = None
    no_setup: bool = False

    def __post_init__(self) -> None:
        if (self.second and self.alone) or (self.reserve and self.no_reserve) or (self.setup and self.no_setup):
            raise RuleError("say of second, reserve date and set-up either what they are or that there is none")


@dataclass(frozen=True, slots=True)
class Asked:
    """Who could go on a visit."""

    visit: PlannedVisit
    """The visit as it stands, or as it would stand on the date that was asked about."""
    role: Role
    candidates: tuple[Candidate, ...]
    """Those who break nothing first, then those who add least driving."""
    fixed: str
    """Why the visit may not be changed as it stands, in words; empty where it may."""


def wished(problem: SeasonProblem, plan: Plan, key: VisitKey, wish: VisitWish) -> Verdict:
    """Return the verdict on a visit as it is wished; nothing is changed.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        key: the visit.
        wish: what is said of it.

    Raises:
        RuleError: the season has no such route, visit or volunteer; it is unfilled and no date is said; or one person
            would go twice.
        ImpossibleError: it is unfilled and the season has no volunteers.
    """
    season = problem.season
    for code in filter(None, (wish.lead, wish.second)):
        season.volunteer(code)
    season.route(key.route)
    season.protocol.visit(key.number)
    stood = plan.by_key.get(key)
    visit = stood if stood is not None else _filled(problem, plan, key, wish)
    if wish.lead:
        visit = with_person(visit, Role.LEAD, wish.lead)
    if wish.second or wish.alone:
        visit = with_person(visit, Role.SECOND, wish.second)
    date = wish.date or visit.date
    if stood is None or (date, visit.lead) != (stood.date, stood.lead):
        visit = on_date(problem, plan, visit, date)
    return judge(problem, plan, _held(visit, wish))


def look(file: SeasonFile, key: VisitKey, wish: VisitWish, today: dt.date | None = None) -> Verdict:
    """Return what would follow if a visit stood as wished; the file is not changed. Raises as :func:`wished` does."""
    return wished(problem_of(file, today=today), file.plan(), key, wish)


def give(file: SeasonFile, key: VisitKey, wish: VisitWish, today: dt.date | None = None) -> Placed:
    """Make a visit stand as wished, as one step.

    Raises:
        RuleError: as :func:`wished` does.
        ImpossibleError: the visit is fixed or past, its new date is past, the road map is gone, or a rule would be
            broken that is not broken now; the file is then unchanged.
    """
    problem = problem_of(file, today=today)
    return place(file, wished(problem, file.plan(), key, wish).visit, problem=problem)


def whom_to_ask(
    file: SeasonFile, key: VisitKey, role: Role, date: dt.date | None = None, today: dt.date | None = None
) -> Asked:
    """Return who could go on a visit, on its date or another; the file is not changed.

    Raises:
        RuleError: the season has no such route or visit, or it is unfilled and no date is said.
        ImpossibleError: the season has no volunteers, or the road map is gone.
    """
    problem, plan = problem_of(file, today=today), file.plan()
    visit = plan.by_key.get(key)
    fixed = why_fixed(visit, today) if visit is not None else ""
    if visit is None or date not in (None, visit.date):
        visit = wished(problem, plan, key, VisitWish(date=date)).visit
    return Asked(visit, role, candidates(problem, plan, visit, role), fixed)


def _filled(problem: SeasonProblem, plan: Plan, key: VisitKey, wish: VisitWish) -> PlannedVisit:
    if wish.date is None:
        raise RuleError(f"{key} is unfilled: name the date on which it is to be")
    return propose(problem, plan, key, wish.date, wish.lead).visit


def _held(visit: PlannedVisit, wish: VisitWish) -> PlannedVisit:
    """Return a visit with the reserve date and set-up that are said of it."""
    if wish.reserve is not None or wish.no_reserve:
        visit = replace(visit, reserve=wish.reserve)
    if wish.setup is not None or wish.no_setup:
        visit = replace(visit, setup=wish.setup)
    return visit
