"""Outings of a plan: the request of a planned visit, and of its set-up day, taken from the season's problem."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

from planner.domain.calendar import DateRange
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.habitat import HabitatTiming
from planner.domain.outing import Outing
from planner.domain.plan import PlannedVisit
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.window import Window
from planner.scheduling.outing.fit import count_minutes
from planner.scheduling.outing.joining import join_team
from planner.scheduling.outing.passes import PassSpan
from planner.scheduling.outing.request import OutingRequest
from planner.scheduling.outing.timing import time_outing
from planner.scheduling.problem import DriveMinutes, PassLight, RouteDrives, RouteLight, SeasonProblem


@dataclass(frozen=True, slots=True, eq=False)
class _Timed:
    """A team's outing, and what it was timed by beside the drives."""

    light: RouteLight
    ground: tuple[Protocol, Route, DateRange, int, bool]
    """The rules, the route, the days of the light, the lead's place among the homes, whether drives were recorded."""
    outing: Outing


_MOST_KNOWN = 100
"""Outings kept of one route: a visit that is dragged about asks for many."""
_known: WeakKeyDictionary[RouteDrives, dict[tuple[PlannedVisit, bool], _Timed]] = WeakKeyDictionary()
"""Outings by the drives they were timed with, as long as somebody holds these. Papers, letters, the evening's list and
the checks ask for the same outings, and after a change nearly all of them are as they were."""


def outing_for(problem: SeasonProblem, visit: PlannedVisit, person: str, *, reserve: bool = False) -> Outing:
    """Return the outing of a planned visit as one of its people drives it.

    The second does the round and the counts together with the lead, in the lead's order and times; a set-up on
    the same date is the lead's alone, and the second joins for the counts.

    Args:
        problem: the season.
        visit: the planned visit.
        person: code of the volunteer from whose home the outing starts.
        reserve: the outing on the reserve date instead; it has no set-up.

    Raises:
        RuleError: the visit has no reserve date, or names a window, route or volunteer that the season lacks.
        ImpossibleError: that date has no window, no count fits, or no road leads there.
    """
    date = visit.reserve if reserve else visit.date
    if date is None:
        raise RuleError(f"{visit.key} has no reserve date")
    team = _team(problem, visit, date, reserve=reserve)
    if person == visit.lead:
        return team
    return join_team(team, _ground(problem, problem.season.route(visit.key.route), person, date))


def _team(problem: SeasonProblem, visit: PlannedVisit, date: dt.date, *, reserve: bool) -> Outing:
    """Return the outing of a visit on its date, or its reserve date, as its lead drives it."""
    season, route = problem.season, problem.season.route(visit.key.route)
    code, light, measured = route.code, problem.light[route.code], season.drive_factors.measured(route.code)
    ground = (season.protocol, route, problem.days, _row_of(problem, visit.lead), measured)
    timed = _known.setdefault(problem.drives[code], {})
    found = timed.get((visit, reserve))
    if found is not None and found.light is light and found.ground == ground:
        return found.outing
    setup = not reserve and visit.setup == date
    outing = time_outing(survey_request(problem, visit, visit.lead, date, setup=setup))
    if len(timed) >= _MOST_KNOWN:
        timed.clear()
    timed[visit, reserve] = _Timed(light, ground, outing)
    return outing


def _row_of(problem: SeasonProblem, person: str) -> int:
    """Return the place of a volunteer among the homes; raises RuleError for one that the season lacks."""
    return [one.code for one in problem.season.volunteers].index(problem.season.volunteer(person).code)


def setup_outing_for(problem: SeasonProblem, visit: PlannedVisit, person: str) -> Outing:
    """Return the set-up day of a planned visit 1, the set-up alone.

    Raises:
        RuleError: the visit has no set-up date, or the protocol no set-up.
        ImpossibleError: no road leads there.
    """
    return time_outing(setup_request(problem, visit, person))


def setup_request(problem: SeasonProblem, visit: PlannedVisit, person: str) -> OutingRequest:
    """Return the request for the set-up day of a planned visit 1; raises RuleError where it has none."""
    rule = problem.season.protocol.setup
    if visit.setup is None or rule is None:
        raise RuleError(f"{visit.key} has no set-up day")
    route = problem.season.route(visit.key.route)
    ground = _ground(problem, route, person, visit.setup)
    return replace(ground, setup_minutes=rule.minutes_per_point)


def survey_request(
    problem: SeasonProblem, visit: PlannedVisit, person: str, date: dt.date, *, setup: bool
) -> OutingRequest:
    """Return the request for the survey of a visit on one date, with its set-up where that is the same day."""
    protocol = problem.season.protocol
    route = problem.season.route(visit.key.route)
    index, window = _window(problem, visit)
    light = problem.light[route.code].windows[index]
    day = problem.day_index(date)
    if date in light.reasons:
        raise ImpossibleError(f"route {route.code} has no window '{window.name}' on {date}", light.reasons[date])
    habitat = protocol.habitat
    rounds = has_habitat_round(protocol, visit, date)
    return replace(
        _ground(problem, route, person, date),
        setup_minutes=protocol.setup.minutes_per_point if setup and protocol.setup else 0.0,
        habitat_minutes=habitat.minutes_per_point if habitat is not None and rounds else 0.0,
        timing=habitat.timing if habitat is not None else HabitatTiming.BEFORE_COUNTS,
        window=window.name,
        spans=_spans(window, light.passes, day),
        overcast=_spans(window, light.overcast, day) if light.overcast else (),
    )


def has_habitat_round(protocol: Protocol, visit: PlannedVisit, date: dt.date) -> bool:
    """Whether the outing of a visit on one date has a habitat round of its own.

    The set-up does the habitat of visit 1, where the protocol gives it that task. A set-up that was to be on
    the evening itself may have been cancelled with it: the reserve date has its habitat round.
    """
    if protocol.habitat is None or protocol.habitat.timing is HabitatTiming.SETUP_DAY_ONLY:
        return False
    rule = protocol.setup
    if rule is not None and rule.habitat and visit.setup is not None:
        return visit.setup == visit.date and date != visit.date
    return protocol.visit(visit.key.number).habitat


def _ground(problem: SeasonProblem, route: Route, person: str, date: dt.date) -> OutingRequest:
    """Return a request that knows ground, drives and daylight, but not yet what is done there."""
    protocol, light, drives = problem.season.protocol, problem.light[route.code], problem.drives[route.code]
    volunteer = _row_of(problem, person)
    day = problem.day_index(date)
    return OutingRequest(
        route=route.code,
        date=date,
        numbers=tuple(point.number for point in route.points),
        legs=drives.legs,
        out=_row(drives.out, volunteer),
        back=_column(drives.back, volunteer),
        sunrise_utc=float(light.sunrise_utc[day]),
        sunset_utc=float(light.sunset_utc[day]),
        direction=protocol.order.direction,
        count_minutes=count_minutes(protocol),
        measured=problem.season.drive_factors.measured(route.code),
    )


def _window(problem: SeasonProblem, visit: PlannedVisit) -> tuple[int, Window]:
    windows = problem.season.protocol.windows
    for index, window in enumerate(windows):
        if window.name == visit.window:
            return index, window
    names = ", ".join(window.name for window in windows)
    raise RuleError(f"{visit.key}: the protocol has no window '{visit.window}'; it has {names}")


def _spans(window: Window, light: tuple[PassLight, ...], day: int) -> tuple[PassSpan, ...]:
    return tuple(
        PassSpan(run, one.open_utc[day], one.close_utc[day]) for run, one in zip(window.passes, light, strict=True)
    )


def _row(drives: DriveMinutes, row: int) -> DriveMinutes:
    return DriveMinutes(drives.optimistic[row], drives.expected[row], drives.cautious[row], drives.estimated[row])


def _column(drives: DriveMinutes, column: int) -> DriveMinutes:
    return DriveMinutes(
        drives.optimistic[:, column],
        drives.expected[:, column],
        drives.cautious[:, column],
        drives.estimated[:, column],
    )
