"""What a disruption breaks: the season as it is then, and the visits that cannot stay as they are."""

from __future__ import annotations

import datetime as dt
import operator
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    Remains,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
    remains,
    season_after,
)
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.scheduling.problem import BoolArray, PassLight, RouteLight, SeasonProblem

_NO_DAYLIGHT = 1e12, 0.0
"""Unix seconds of a sunrise that comes after the sunset: no set-up fits between. NaN would be a polar day."""


@dataclass(frozen=True, slots=True, eq=False)
class Breakage:
    """The season after a disruption, and what of the plan does not fit it."""

    problem: SeasonProblem
    """A date that is lost to a route has no light on it; who has dropped out gives no dates."""
    lost: frozenset[VisitKey]
    """Visits that need another date or other people."""
    shaken: frozenset[VisitKey]
    """Visits that keep date and people, and need another reserve date or set-up."""
    note: str = ""
    begun: bool = False
    """Whether somebody was there already, so that a set-up of that date is done."""

    @property
    def keys(self) -> frozenset[VisitKey]:
        """All of them."""
        return self.lost | self.shaken


def breakage_of(problem: SeasonProblem, plan: Plan, disruption: Disruption) -> Breakage:
    """Return what a disruption breaks.

    Raises:
        RuleError: it names a route, visit, volunteer or number of points that the season does not have.
        ImpossibleError: nothing planned is touched by it, or what is touched is past or done.
    """
    found = _found(problem, plan, disruption)
    if not found.keys:
        raise ImpossibleError(f"There is nothing to repair: {disruption}.", "No visit to come hangs on that.")
    return found


def _found(problem: SeasonProblem, plan: Plan, disruption: Disruption) -> Breakage:
    match disruption:
        case VisitCancelled() | VisitsCancelled():
            keys = (disruption.key,) if isinstance(disruption, VisitCancelled) else disruption.keys
            return _visits_cancelled(problem, plan, keys)
        case SetupCancelled(key):
            return _setup_cancelled(problem, plan, key)
        case EveningCancelled(date):
            return _evening_cancelled(problem, plan, date)
        case VolunteerLeaves():
            return _volunteer_leaves(problem, plan, disruption)
        case RoadClosed():
            return _road_closed(problem, plan, disruption)
        case PartlyDone(key, points):
            return _partly_done(problem, plan, key, points)


def _visits_cancelled(problem: SeasonProblem, plan: Plan, keys: tuple[VisitKey, ...]) -> Breakage:
    closed = problem
    for key in keys:
        visit = _planned(problem, plan, key)
        _refuse_gone(problem, visit)
        closed = _without_light(closed, {key.route}, partial(operator.eq, visit.date), "weather cancelled it")
    return Breakage(closed, frozenset(keys), frozenset())


def _refuse_gone(problem: SeasonProblem, visit: PlannedVisit) -> None:
    key = visit.key
    if visit.status is Status.DONE:
        raise ImpossibleError(
            f"{key} is done already.", "If it was only partly done, say how many points were counted."
        )
    if not _to_come(problem, visit):
        raise ImpossibleError(
            f"{key} was on {visit.date}, and that is past.",
            "Past visits stay as they are recorded; nothing was changed.",
        )


def _setup_cancelled(problem: SeasonProblem, plan: Plan, key: VisitKey) -> Breakage:
    visit = _planned(problem, plan, key)
    if visit.setup is None or visit.setup == visit.date:
        raise ImpossibleError(
            f"{key} has no set-up day of its own.", "A set-up on the date of the visit is cancelled with the visit."
        )
    if problem.today is not None and visit.setup < problem.today:
        raise ImpossibleError(
            f"The set-up day of {key} was on {visit.setup}, and that is past.",
            "If nobody went, put another date on the Board.",
        )
    dark = _without_daylight(problem, key.route, partial(operator.eq, visit.setup))
    return Breakage(dark, frozenset(), frozenset({key}))


def _evening_cancelled(problem: SeasonProblem, plan: Plan, date: dt.date) -> Breakage:
    if date not in problem.days:
        raise RuleError(f"{date} lies outside the season ({problem.days})")
    if problem.today is not None and date < problem.today:
        raise ImpossibleError(f"{date} is past.", "Past visits stay as they are recorded; nothing was changed.")
    every = {route.code for route in problem.season.routes}
    closed = _without_light(problem, every, lambda day: day == date, "weather cancelled it")
    return Breakage(closed, *_struck(problem, plan, lambda _visit, day, setup: day == date and not setup))


def _volunteer_leaves(problem: SeasonProblem, plan: Plan, leaving: VolunteerLeaves) -> Breakage:
    problem.season.volunteer(leaving.volunteer)
    season = season_after(problem.season, leaving, problem.today)

    def struck(visit: PlannedVisit, day: dt.date, _setup: bool) -> bool:
        return leaving.volunteer in visit.people and day >= leaving.since

    return Breakage(replace(problem, season=season), *_struck(problem, plan, struck))


def _road_closed(problem: SeasonProblem, plan: Plan, closing: RoadClosed) -> Breakage:
    problem.season.route(closing.route)
    closed = _without_light(problem, {closing.route}, closing.dates.__contains__, "the road is closed")
    closed = _without_daylight(closed, closing.route, closing.dates.__contains__)

    def struck(visit: PlannedVisit, day: dt.date, _setup: bool) -> bool:
        return visit.key.route == closing.route and day in closing.dates

    note = "The season file does not keep closed roads: planning the whole season again may use those dates."
    return Breakage(closed, *_struck(problem, plan, struck), note)


def _partly_done(problem: SeasonProblem, plan: Plan, key: VisitKey, points: int) -> Breakage:
    visit = _planned(problem, plan, key)
    there = len(problem.season.route(key.route).points)
    if not 0 <= points < there:
        raise RuleError(f"{key} has {there} points; partly done is 0 to {there - 1} of them, found {points}")
    if problem.today is not None and visit.date > problem.today:
        raise ImpossibleError(f"{key} is on {visit.date}, and that is still to come.", "Nothing of it can be done yet.")
    rule = problem.season.protocol.order
    asked = remains(rule, points)
    if asked is Remains.NOTHING:
        raise ImpossibleError(
            f"There is nothing to repair: {points} of {there} points of {key} are enough.",
            f"The protocol asks for {rule.least_points}; the visit stands.",
        )
    closed = _without_light(problem, {key.route}, lambda day: day <= visit.date, "the visit was begun by then")
    return Breakage(closed, frozenset({key}), frozenset(), _asked_again(problem, points, there, asked), begun=True)


def _asked_again(problem: SeasonProblem, points: int, there: int, asked: Remains) -> str:
    rule = problem.season.protocol.order
    if asked is Remains.REST:
        return f"{points} of {there} points are counted; the protocol lets the rest be counted on another day."
    if rule.least_points > points:
        return f"{points} of {there} points are fewer than the {rule.least_points} asked for: all are counted again."
    return "The protocol says nothing of finishing a route on another day: the whole visit is repeated."


def _planned(problem: SeasonProblem, plan: Plan, key: VisitKey) -> PlannedVisit:
    problem.season.route(key.route)
    problem.season.protocol.visit(key.number)
    visit = plan.by_key.get(key)
    if visit is None:
        raise ImpossibleError(f"{key} is not planned.", "Only a visit that stands in the plan can break.")
    return visit


def _to_come(problem: SeasonProblem, visit: PlannedVisit) -> bool:
    return problem.today is None or visit.date >= problem.today


_Strikes = Callable[[PlannedVisit, dt.date, bool], bool]
"""Whether a visit loses one of its dates; True as the last argument: that of a set-up on a day of its own."""


def _struck(problem: SeasonProblem, plan: Plan, strikes: _Strikes) -> tuple[frozenset[VisitKey], frozenset[VisitKey]]:
    """Return the visits to come that are lost, and those that only lose their reserve date or set-up."""
    lost, shaken = set(), set()
    for visit in plan:
        if visit.status is Status.DONE or not _to_come(problem, visit):
            continue
        if strikes(visit, visit.date, False):
            lost.add(visit.key)
        elif any(strikes(visit, day, setup) for day, setup in _kept(problem, visit)):
            shaken.add(visit.key)
    return frozenset(lost), frozenset(shaken)


def _kept(problem: SeasonProblem, visit: PlannedVisit) -> Iterator[tuple[dt.date, bool]]:
    if visit.reserve is not None:
        yield visit.reserve, False
    if visit.setup is not None and (problem.today is None or visit.setup >= problem.today):
        yield visit.setup, True


def _days(problem: SeasonProblem, closed: Callable[[dt.date], bool]) -> BoolArray:
    return np.array([closed(day) for day in problem.days], dtype=np.bool_)


def _without_daylight(problem: SeasonProblem, route: str, closed: Callable[[dt.date], bool]) -> SeasonProblem:
    """Return the season without daylight for a set-up on that route's lost dates."""
    light, shut = problem.light[route], _days(problem, closed)
    dark = replace(
        light,
        sunrise_utc=np.where(shut, _NO_DAYLIGHT[0], light.sunrise_utc),
        sunset_utc=np.where(shut, _NO_DAYLIGHT[1], light.sunset_utc),
    )
    return replace(problem, light={**problem.light, route: dark})


def _without_light(
    problem: SeasonProblem, routes: Iterable[str], closed: Callable[[dt.date], bool], why: str
) -> SeasonProblem:
    """Return the season without any window on those routes' lost dates."""
    shut = _days(problem, closed)
    reasons = {day: why for day in problem.days if closed(day)}
    return replace(
        problem, light={**problem.light, **{one: _dark(problem.light[one], shut, reasons) for one in routes}}
    )


def _dark(light: RouteLight, shut: BoolArray, reasons: dict[dt.date, str]) -> RouteLight:
    def passes(given: tuple[PassLight, ...]) -> tuple[PassLight, ...]:
        return tuple(
            PassLight(np.where(shut[:, None], np.nan, one.open_utc), np.where(shut[:, None], np.nan, one.close_utc))
            for one in given
        )

    windows = tuple(
        replace(one, passes=passes(one.passes), overcast=passes(one.overcast), reasons={**one.reasons, **reasons})
        for one in light.windows
    )
    return replace(light, windows=windows)
