"""The risk of a planned season: each route's chance to be completed, the weakest first."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from planner.domain.lost_evenings import LostEvenings
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.route import Route
from planner.domain.window import PartOfDay
from planner.scheduling.engine.arrays import SeasonArrays, person_days
from planner.scheduling.problem import BoolArray, SeasonProblem
from planner.scheduling.risk.chain import chain_on
from planner.scheduling.risk.completion import NOT_DONE, RiskCases, completion


@dataclass(frozen=True, slots=True)
class PastVisit:
    """A visit whose planned date has passed and that is not done."""

    number: int
    reserve: dt.date | None
    """Its reserve date, where that is still to come; None: the plan has no date left for it."""


@dataclass(frozen=True, slots=True)
class RouteRisk:
    """What the weather leaves of one route."""

    route: str
    """Its code."""
    complete: float
    """Probability that all its visits are done; 0 where one is unfilled."""
    expected_visits: float
    """Expected number of visits done."""
    visits: tuple[float, ...]
    """Probability that each visit is done; 0 where it is unfilled."""
    filled: int
    """Visits that the plan fills."""
    weakest_visit: int
    """The number of the visit that is least likely done; of equals the first."""
    past: tuple[PastVisit, ...] = ()
    """Visits whose date has passed and that are not done, by number."""

    @property
    def missed(self) -> bool:
        """Whether the date of a visit has passed, it is not done, and the plan has no date left for it."""
        return any(one.reserve is None for one in self.past)

    @property
    def past_words(self) -> str:
        """What has passed and is not done, in words; empty where nothing is."""
        return "; ".join(_past_words(one) for one in self.past)

    @property
    def whole(self) -> bool:
        """Whether the plan fills every visit."""
        return self.filled == len(self.visits)


def _past_words(one: PastVisit) -> str:
    left = "no reserve date is left"
    if one.reserve is not None:
        left = f"only its reserve date is left, {one.reserve:%a} {one.reserve.day} {one.reserve:%b}"
    return f"visit {one.number} is past and not done: {left}"


@dataclass(frozen=True, slots=True)
class SeasonRisk:
    """What the weather leaves of a plan."""

    expected_visits: float
    """Expected number of visits done, of the whole plan."""
    filled: int
    """Visits that the plan fills: so many are done if no evening is lost."""
    routes: tuple[RouteRisk, ...]
    """Every route, the weakest first: least likely complete, then fewest visits expected."""


def season_risk(problem: SeasonProblem, plan: Plan, weather: LostEvenings) -> SeasonRisk:
    """Return the exact risk of a plan; see :func:`completion` for what happens to a visit when an evening is lost.

    A visit may be made on its planned date and on every later date of its range on which its window has light enough
    for all counts, the moon is as it must be, and its people have given that part of the day and are on no outing of
    another route: no visit, no set-up, no reserve date that is held back. Its own reserve date is one of these dates.
    The second must be free too where two have to go; where two are only preferred the lead goes alone.

    A visit is certain once it is marked done, and not before. One whose planned date is before the problem's today and
    that is not done can only be made on its reserve date, where that is still to come: its people count on no other.
    Where the problem has no today, nothing is past.

    Args:
        problem: the season with its light, and today.
        plan: any plan of it.
        weather: chance and persistence of lost evenings.
    """
    routes = problem.season.routes
    if not routes:
        return SeasonRisk(0.0, 0, ())
    found = completion(risk_cases(problem, plan), chain_on(weather, problem.days))
    visits = range(1, len(problem.season.visits) + 1)
    filled = {visit.key for visit in plan}
    risks = [
        RouteRisk(
            route=route.code,
            complete=float(found.complete[r]),
            expected_visits=float(found.expected_visits[r]),
            visits=tuple(found.done[r].tolist()),
            filled=sum(VisitKey(route.code, number) in filled for number in visits),
            weakest_visit=int(found.done[r].argmin()) + 1,
            past=_past_visits(plan.of_route(route.code), problem.today),
        )
        for r, route in enumerate(routes)
    ]
    return SeasonRisk(
        expected_visits=float(found.done.sum()),
        filled=sum(risk.filled for risk in risks),
        routes=tuple(sorted(risks, key=lambda risk: (risk.complete, risk.expected_visits, risk.route))),
    )


def _past_visits(visits: Iterable[PlannedVisit], today: dt.date | None) -> tuple[PastVisit, ...]:
    past = (visit for visit in visits if today is not None and visit.date < today and visit.status is not Status.DONE)
    found = (PastVisit(visit.key.number, _reserve_to_come(visit, today)) for visit in past)
    return tuple(sorted(found, key=lambda one: one.number))


def _reserve_to_come(visit: PlannedVisit, today: dt.date | None) -> dt.date | None:
    """Return a visit's reserve date unless that has passed too."""
    passed = visit.reserve is not None and today is not None and visit.reserve < today
    return None if passed else visit.reserve


def risk_cases(problem: SeasonProblem, plan: Plan) -> RiskCases:
    """Return the routes of a season in their order as arrays: on which days each visit of the plan may be made."""
    season, dates = problem.season, _VisitDates(problem, plan)
    visits, days = len(season.visits), len(problem.days)
    feasible = np.zeros((len(season.routes), visits, days), dtype=np.bool_)
    done = np.full((len(season.routes), visits), NOT_DONE, dtype=np.int64)
    rows = {route.code: r for r, route in enumerate(season.routes)}
    for visit in plan:
        r, k = rows.get(visit.key.route), visit.key.number - 1
        if r is None or not 0 <= k < visits:
            continue
        if visit.status is Status.DONE:
            # Where the season was cut short since, its nearest day stands for the day of the visit.
            done[r, k] = min(max((visit.date - problem.days.first).days, 0), days - 1)
        else:
            feasible[r, k] = dates.feasible(season.routes[r], visit)
    gaps = [dates.arrays.gap(number) for number in range(2, visits + 1)]
    return RiskCases(feasible, tuple(gap.least for gap in gaps), tuple(gap.most for gap in gaps), done)


class _VisitDates:
    """The days on which the visits of a plan may be made."""

    def __init__(self, problem: SeasonProblem, plan: Plan) -> None:
        self.problem = problem
        self.arrays = SeasonArrays(problem, plan)
        self._window = {window.name: w for w, window in enumerate(problem.season.protocol.windows)}
        self._outings: defaultdict[str, list[tuple[dt.date, str]]] = defaultdict(list)
        """Of each person: date and route."""
        for visit in plan:
            for code, day in person_days(visit):
                self._outings[code].append((day, visit.key.route))

    def feasible(self, route: Route, visit: PlannedVisit) -> BoolArray:
        """Return the days still to come on which the visit may be made, shape (days,).

        From its planned date on all that its range, light and people allow; once that is past its reserve date alone.
        """
        season = self.problem.season
        w = self._window.get(visit.window)
        if w is None:
            return np.zeros(len(self.problem.days), dtype=np.bool_)
        dates = season.visit_dates(route, visit.key.number)
        today = self.problem.today
        past, reserve = today is not None and visit.date < today, _reserve_to_come(visit, today)
        tried = [day == reserve if past else visit.date <= day for day in self.problem.days]
        may = np.array([tries and day in dates for tries, day in zip(tried, self.problem.days, strict=True)], np.bool_)
        may &= self.arrays.lit(route)[w]
        going = visit.people if season.people_for(route) == 2 else (visit.lead,)
        for code in going:
            may &= self._free(code, season.protocol.windows[w].part, route)
        return may

    def _free(self, code: str, part: PartOfDay, route: Route) -> BoolArray:
        """Return the days that someone has given and on which no other route has them, shape (days,)."""
        if code not in self.arrays.number:
            return np.zeros(len(self.problem.days), dtype=np.bool_)
        free: BoolArray = self.arrays.given[part][self.arrays.number[code]].copy()
        for day, other in self._outings[code]:
            if other != route.code and day in self.problem.days:
                free[self.problem.day_index(day)] = False
        return free
