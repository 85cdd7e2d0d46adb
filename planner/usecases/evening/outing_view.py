"""One outing looked at closely: as it is planned, and as it would go if the team left or counted otherwise.

Nothing here is kept: the file is neither read nor written.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding
from planner.domain.geo import Place
from planner.domain.outing import Outing, StepKind
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.window import Window
from planner.light import MoonState, moon_at
from planner.scheduling import (
    OutingRequest,
    OutingRun,
    SeasonProblem,
    habitat_between,
    join_team,
    planned_order,
    run_outing,
    setup_request,
    survey_request,
    time_outing,
    with_count_minutes,
)
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.checking import Checked
from planner.usecases.evening.sun_path import SunPath, sun_path
from planner.usecases.plan.placing import problem_of
from planner.usecases.roads.ways import way_along_roads

SKY_AROUND = dt.timedelta(hours=4)
"""How much of the sky is computed before and after the planned outing and its window: room to move in."""


class Occasion(StrEnum):
    """Which of a visit's dates an outing is on."""

    SETUP = "set-up day"
    VISIT = "visit"
    RESERVE = "reserve date"


@dataclass(frozen=True, slots=True)
class OutingDate:
    """One outing of the plan."""

    key: VisitKey
    occasion: Occasion
    date: dt.date
    people: tuple[str, ...]
    """Codes of those who go, the lead first; the lead alone on a set-up day."""


@dataclass(frozen=True, slots=True, eq=False)
class OutingSight:
    """One outing of the plan with all that is needed to show it and to try it out otherwise."""

    dated: OutingDate
    person: str
    """Code of the volunteer from whose home it is seen."""
    season: Season
    route: Route
    window: Window | None
    """The protocol's rule; None on a set-up day."""
    plan: Outing
    """As the plan times it for the lead, with what squeezing in habitat would come to."""
    planned: OutingRun
    """As planned for this person: each sky leaves at its own latest departure."""
    sun: SunPath
    """Where the counts end; on a set-up day at the route's first point, whose sunset it is held against."""
    moon: tuple[MoonState, MoonState] | None
    """As the window opens and as it closes, where the protocol asks for the moon."""
    team: OutingRequest
    """From the lead's home: it decides the order of the work."""
    own: OutingRequest
    """From this person's home."""

    @property
    def sunset_utc(self) -> dt.datetime | None:
        """Sunset of the date at the route; None where the sun does not set."""
        sets = self.own.sunset_utc
        return None if math.isnan(sets) else dt.datetime.fromtimestamp(sets, dt.UTC)

    @property
    def count_minutes(self) -> float:
        """The protocol's minutes at each point."""
        return self.own.count_minutes


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What is tried; nothing given: the outing as planned."""

    leave_utc: dt.datetime | None = None
    """Departure from home; None: the latest."""
    count_minutes: float | None = None
    """Minutes at each point, settling and counting; None: the protocol's."""
    habitat_between: bool = False
    """Habitat squeezed in between the counts instead of a round of its own."""


def outings_of(plan: Plan) -> tuple[OutingDate, ...]:
    """Return every outing of a plan, reserve dates included, by date and route."""
    found = [dated for visit in plan for dated in outings_of_visit(visit)]
    return tuple(sorted(found, key=lambda dated: (dated.date, dated.key, dated.occasion)))


def outings_of_visit(visit: PlannedVisit) -> Iterator[OutingDate]:
    """Yield the outings of one visit: its set-up day where that is a day of its own, itself, its reserve date."""
    if visit.setup is not None and visit.setup != visit.date:
        yield OutingDate(visit.key, Occasion.SETUP, visit.setup, (visit.lead,))
    yield OutingDate(visit.key, Occasion.VISIT, visit.date, visit.people)
    if visit.reserve is not None:
        yield OutingDate(visit.key, Occasion.RESERVE, visit.reserve, visit.people)


def outing_sight(problem: SeasonProblem, visit: PlannedVisit, dated: OutingDate, person: str) -> OutingSight:
    """Return one outing of the plan as one of its people drives it.

    Args:
        problem: the season with its light and drives.
        visit: the planned visit.
        dated: which of its outings.
        person: code of the volunteer from whose home it is seen.

    Raises:
        RuleError: the season lacks the route, the volunteer or the window.
        ImpossibleError: that date has no window, no count fits, or no road leads there.
    """
    season = problem.season
    route = season.route(dated.key.route)
    team = _request(problem, visit, dated, visit.lead)
    own = team if person == visit.lead else _request(problem, visit, dated, person)
    plan = time_outing(team)
    planned = _run(team, own, plan, WhatIf())
    return OutingSight(
        dated=dated,
        person=person,
        season=season,
        route=route,
        window=None if dated.occasion is Occasion.SETUP else _window(season, visit),
        plan=plan,
        planned=planned,
        sun=_sun(season, route, planned.outing),
        moon=_moon(season, route, planned.outing),
        team=team,
        own=own,
    )


def sight_of(file: SeasonFile, key: VisitKey, occasion: Occasion, person: str, today: dt.date) -> OutingSight:
    """Return one outing of a season file as one of its people drives it.

    Args:
        file: the season file; it is not changed.
        key: the visit.
        occasion: which of its dates.
        person: code of the volunteer from whose home it is seen; empty: the lead.
        today: visits before it are past.

    Raises:
        RuleError: the season lacks the volunteer.
        ImpossibleError: the visit is unfilled, has no such date, they do not go on it, or as :func:`outing_sight` says.
    """
    visit = file.plan().by_key.get(key)
    dated = next((one for one in outings_of_visit(visit) if one.occasion is occasion), None) if visit else None
    if visit is None or dated is None:
        lacks = "is unfilled" if visit is None else f"has no {occasion.value} of its own"
        raise ImpossibleError(f"{key} {lacks}, so there is no outing to show.")
    if person and person not in dated.people:
        raise ImpossibleError(f"{person} does not go on this outing of {key}.", f"Who goes: {', '.join(dated.people)}")
    return outing_sight(problem_of(file, today=today), visit, dated, person or visit.lead)


def try_out(sight: OutingSight, tried: WhatIf) -> OutingRun:
    """Return how an outing goes if the team leaves, counts or does its habitat as is tried; nothing is kept.

    Where the sky decides and no departure is given, each sky leaves at its own latest departure.

    Raises:
        RuleError: the count minutes are not above 0, or habitat is to be squeezed in and there is none to do.
        ImpossibleError: no count of that length fits.
    """
    return _run(sight.team, sight.own, sight.plan, tried)


def way_of(
    sight: OutingSight, outing: Outing, network: RoadNetwork | None
) -> tuple[tuple[int, ...], tuple[Place, ...]]:
    """Return the points of an outing in the order they are first counted, or set up, and the way along the roads."""
    kind = StepKind.COUNT if outing.of_kind(StepKind.COUNT) else StepKind.SETUP
    points = (step.point for step in outing.of_kind(kind))
    order = tuple(dict.fromkeys(point for point in points if point is not None))
    return order, way_along_roads([sight.route.point(number).place for number in order], network)


def findings_on(checked: Checked, dated: OutingDate) -> tuple[Finding, ...]:
    """Return what the checks say of one outing: of its visit, and of its people on its date."""
    return tuple(finding for finding in checked.findings if _concerns(finding, dated))


def findings_on_visit(checked: Checked, key: VisitKey) -> tuple[Finding, ...]:
    """Return what the checks say of a visit, filled or not: of itself, and of its route where that is why."""
    route = (finding for finding in checked.findings if finding.subject.route == key.route)
    return tuple(finding for finding in route if finding.subject.visit in (None, key.number))


def _concerns(finding: Finding, dated: OutingDate) -> bool:
    subject = finding.subject
    if subject.route == dated.key.route and subject.visit == dated.key.number:
        return True
    return subject.volunteer in dated.people and subject.date == dated.date


def _request(problem: SeasonProblem, visit: PlannedVisit, dated: OutingDate, person: str) -> OutingRequest:
    if dated.occasion is Occasion.SETUP:
        return setup_request(problem, visit, person)
    setup = dated.occasion is Occasion.VISIT and visit.setup == dated.date and person == visit.lead
    return survey_request(problem, visit, person, dated.date, setup=setup)


def _window(season: Season, visit: PlannedVisit) -> Window | None:
    return next((window for window in season.protocol.windows if window.name == visit.window), None)


def _run(team: OutingRequest, own: OutingRequest, plan: Outing, tried: WhatIf) -> OutingRun:
    timed = with_count_minutes(own, tried.count_minutes)
    if tried.habitat_between:
        return habitat_between(timed, tried.leave_utc)
    planned = planned_order(team, timed.count_minutes, plan)
    if own is not team:
        planned = join_team(planned, own)
    if tried.leave_utc is not None or planned.overcast is None:
        return run_outing(timed, planned, tried.leave_utc or planned.leave_home_utc)
    clear = run_outing(timed, replace(planned, overcast=None), planned.leave_home_utc)
    cloudy = replace(timed, spans=timed.overcast, overcast=())
    return replace(clear, overcast=run_outing(cloudy, planned.overcast, planned.overcast.leave_home_utc))


def _sun(season: Season, route: Route, outing: Outing) -> SunPath:
    begin, end = outing.leave_home_utc, outing.due_home_utc
    if outing.window is not None:
        begin, end = min(begin, outing.window.open_utc), max(end, outing.window.close_utc)
    return sun_path(_last_stand(route, outing), begin - SKY_AROUND, end + SKY_AROUND, season.zone)


def _moon(season: Season, route: Route, outing: Outing) -> tuple[MoonState, MoonState] | None:
    if season.protocol.moon is None or outing.window is None:
        return None
    place = _last_stand(route, outing)
    opens, closes = outing.window.open_utc, outing.window.close_utc
    return (
        moon_at(place.latitude, place.longitude, opens),
        moon_at(place.latitude, place.longitude, closes),
    )


def _last_stand(route: Route, outing: Outing) -> Place:
    """Return where the counts end, as the closing hangs on the sun there; else where a set-up day's sunset is told."""
    return (route.point(outing.order[-1]) if outing.order else route.points[0]).place
