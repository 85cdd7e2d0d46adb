"""The outings of one date: who goes where, when they leave, and when they are due back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from planner.domain.clock_times import minute_after, minute_before
from planner.domain.errors import DimpsyError
from planner.domain.finding import Finding, Severity
from planner.domain.geo import Place
from planner.domain.outing import Outing
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for


@dataclass(frozen=True, slots=True)
class Goer:
    """One person of an outing."""

    code: str
    name: str
    telephone: str
    leads: bool
    leave_utc: dt.datetime | None
    """Latest departure from home; None where no timetable can be made."""
    due_utc: dt.datetime | None
    """When they are due back."""


@dataclass(frozen=True, slots=True)
class EveningOuting:
    """What one team does on one date."""

    key: VisitKey
    """The visit it is, or is the set-up day of."""
    date: dt.date
    title: str
    """Code and name of the route."""
    setup: bool
    """Whether points are set up on it."""
    counts: bool
    """Whether it is the visit itself; False: a set-up day of its own."""
    status: Status
    people: tuple[Goer, ...]
    """The lead first."""
    place: Place | None
    """Of the route's first point."""
    reserve: dt.date | None
    margin_minutes: float | None
    trouble: str = ""
    """Why no timetable can be made, in words."""

    @property
    def leave_utc(self) -> dt.datetime | None:
        """When the first of them leaves."""
        return min((one.leave_utc for one in self.people if one.leave_utc is not None), default=None)

    @property
    def due_utc(self) -> dt.datetime | None:
        """When the last of them is due back."""
        return max((one.due_utc for one in self.people if one.due_utc is not None), default=None)


def outing_dates(plan: Plan) -> tuple[dt.date, ...]:
    """Return every date on which somebody goes out, set-up days included, in order."""
    return tuple(sorted({date for visit in plan for date in (visit.date, visit.setup) if date is not None}))


def date_to_show(plan: Plan, today: dt.date) -> dt.date:
    """Return today if somebody goes out, else the next date on which somebody does; today again where there is none."""
    return next((date for date in outing_dates(plan) if date >= today), today)


def neighbour_dates(plan: Plan, date: dt.date) -> tuple[dt.date | None, dt.date | None]:
    """Return the dates with outings before and after a date; None where there is none."""
    dates = outing_dates(plan)
    return (
        next((one for one in reversed(dates) if one < date), None),
        next((one for one in dates if one > date), None),
    )


def outings_on(problem: SeasonProblem, plan: Plan, date: dt.date) -> tuple[EveningOuting, ...]:
    """Return the outings of a date, in the order in which they leave.

    Args:
        problem: the season with its light and drives.
        plan: the plan.
        date: any date; outside the season nobody goes out.
    """
    found = [_visit_outing(problem, visit) for visit in plan if visit.date == date]
    found += [_setup_day(problem, visit) for visit in plan if visit.setup == date != visit.date]
    return tuple(sorted(found, key=_leaves_first))


def fits(problem: SeasonProblem, season: Season) -> bool:
    """Say whether a problem is this season's, and not that of the season before its last change."""
    return problem.season == replace(season, routes=tuple(route for route in season.routes if route.points))


def time_away(outing: Outing) -> tuple[dt.datetime, dt.datetime]:
    """Return when somebody leaves home and is due back (UTC): the longest span, where the sky decides on the window.

    In whole minutes, as their paper has it: the departure rounded down, the return up.
    """
    skies = [outing, outing.overcast] if outing.overcast is not None else [outing]
    leave, due = min(one.leave_home_utc for one in skies), max(one.due_home_utc for one in skies)
    return minute_before(leave), minute_after(due)


def rules_broken(findings: Iterable[Finding], outing: EveningOuting) -> tuple[Finding, ...]:
    """Return the broken rules among findings that are about an outing: its visit, or one of its people on its date."""
    key, people = outing.key, {one.code for one in outing.people}
    return tuple(
        one
        for one in findings
        if one.severity is Severity.BROKEN
        and (
            (one.subject.route, one.subject.visit) == (key.route, key.number)
            or (one.subject.volunteer in people and one.subject.date == outing.date)
        )
    )


def _leaves_first(outing: EveningOuting) -> tuple[bool, dt.datetime, VisitKey]:
    return outing.leave_utc is None, outing.leave_utc or dt.datetime.max.replace(tzinfo=dt.UTC), outing.key


def _visit_outing(problem: SeasonProblem, visit: PlannedVisit) -> EveningOuting:
    times = [(code, *_timed(partial(outing_for, problem, visit, code))) for code in visit.people]
    return _outing(problem, visit, visit.date, times, counts=True)


def _setup_day(problem: SeasonProblem, visit: PlannedVisit) -> EveningOuting:
    times = [(visit.lead, *_timed(partial(setup_outing_for, problem, visit, visit.lead)))]
    return _outing(problem, visit, visit.setup or visit.date, times, counts=False)


_Times = list[tuple[str, Outing | None, str]]


def _outing(
    problem: SeasonProblem, visit: PlannedVisit, date: dt.date, times: _Times, *, counts: bool
) -> EveningOuting:
    routes = {route.code: route for route in problem.season.routes}
    route = routes.get(visit.key.route)
    lead = times[0][1]
    return EveningOuting(
        key=visit.key,
        date=date,
        title=route.title if route is not None else visit.key.route,
        setup=visit.setup == date,
        counts=counts,
        status=visit.status,
        people=tuple(_goers(problem.season, visit, times)),
        place=route.points[0].place if route is not None else None,
        reserve=visit.reserve if counts else None,
        margin_minutes=lead.margin_minutes if lead is not None else None,
        trouble=next((why for _, _, why in times if why), ""),
    )


def _goers(season: Season, visit: PlannedVisit, times: _Times) -> Iterator[Goer]:
    for code, outing, _ in times:
        person = season.volunteer(code)
        leave, due = time_away(outing) if outing is not None else (None, None)
        yield Goer(code, person.name, person.telephone, code == visit.lead, leave, due)


def _timed(make: Callable[[], Outing]) -> tuple[Outing | None, str]:
    try:
        return make(), ""
    except DimpsyError as error:
        return None, " ".join(str(error).split())
