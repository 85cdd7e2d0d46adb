"""Hours and kilometres of everybody who goes out, by outing and by month."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from planner.domain.errors import DimpsyError, ImpossibleError, RuleError
from planner.domain.field.record_times import home_before_the_end
from planner.domain.field.visit_record import VisitRecord
from planner.domain.geo import Place
from planner.domain.outing import Outing, StepKind
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.reports.hours import Basis, DistanceSource, HoursReport, OutingHours, PersonMonth, Work
from planner.domain.reports.progress import Progress, VisitState
from planner.domain.route import Route
from planner.domain.travel import FigureSource
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.travel import RoadNetwork, way_km
from planner.usecases.records import record_ground
from planner.usecases.reports.progress import GONE_OUT, final_records

HOURS_WORDS = (
    "Hours run from leaving home to being home again, for each person. Of what was done they are those written down,"
    " else, or where these cannot be, those of the plan; of what is to come those of the plan, which leaves at the"
    " latest and drives cautiously."
)
KM_WORDS = (
    "Kilometres are those of the car's counter, else the length of the quickest way on the road map, else an estimate."
    " A second is taken to drive to where the work begins and home from where it ends, and to ride with the lead"
    " between the points: our assumption."
)


class ReportStoppedError(DimpsyError):
    """A person stopped the adding up."""


def hours_report(
    problem: SeasonProblem,
    plan: Plan,
    records: Iterable[VisitRecord],
    progress: Progress,
    network: RoadNetwork | None,
    today: dt.date,
    stop: Callable[[], bool] = lambda: False,
) -> HoursReport:
    """Return the hours and kilometres of a season.

    A set-up day that has passed counts as done as planned: nobody writes records of it. A visit whose date has passed
    without a record counts for nothing until one comes back.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        records: drafts and finals; only finals count.
        progress: where each visit stands.
        network: the roads that the drives were computed with.
        today: the day of the report.
        stop: asked before each visit: ways on a large road map take a while.

    Raises:
        ReportStoppedError: it was stopped.
    """
    states = {one.key: one.state for one in progress.standings}
    case = _Case(problem, plan, network, today, final_records(records), states)
    outings = sorted(_outings(case, stop), key=lambda one: (one.person, one.date, one.route, one.work))
    groups: defaultdict[tuple[str, dt.date], list[OutingHours]] = defaultdict(list)
    for one in outings:
        groups[one.person, one.month].append(one)
    return HoursReport(
        outings=tuple(outings),
        by_month=tuple(PersonMonth.of(*key, some) for key, some in sorted(groups.items())),
        unrecorded=progress.whole.count(VisitState.UNRECORDED),
        said=f"{HOURS_WORDS} {KM_WORDS}",
    )


@dataclass(frozen=True, slots=True)
class _Case:
    """What the hours of a season are told from."""

    problem: SeasonProblem
    plan: Plan
    network: RoadNetwork | None
    today: dt.date
    records: dict[VisitKey, list[VisitRecord]]
    states: dict[VisitKey, VisitState]
    _kept: dict[tuple[Place, Place], tuple[float, FigureSource]] = field(default_factory=dict)

    def km(self, stops: Sequence[Place]) -> tuple[float, DistanceSource]:
        """Return the length of the way through some places; an estimate where any part of it is one."""
        legs = [self._leg(here, there) for here, there in pairwise(stops)]
        estimated = any(source is FigureSource.ESTIMATE for _, source in legs)
        return sum(km for km, _ in legs), DistanceSource.ESTIMATE if estimated else DistanceSource.ROADS

    def home(self, person: str) -> Place | None:
        """Return where somebody lives; None for one who has left the season."""
        return next((one.home for one in self.problem.season.volunteers if one.code == person), None)

    def route(self, code: str) -> Route | None:
        """Return a route that has points; None where the season has none of that code."""
        return next((one for one in self.problem.season.routes if one.code == code), None)

    def _leg(self, here: Place, there: Place) -> tuple[float, FigureSource]:
        if (here, there) not in self._kept:
            pair = (here.latitude, here.longitude), (there.latitude, there.longitude)
            self._kept[here, there] = way_km(*pair, self.network)
        return self._kept[here, there]


@dataclass(frozen=True, slots=True)
class _Told:
    """What the plan says of one person's outing; None where it cannot say."""

    hours: float | None
    km: float | None
    km_source: DistanceSource
    drive_minutes: float | None


_UNTOLD = _Told(None, None, DistanceSource.ESTIMATE, None)


def _outings(case: _Case, stop: Callable[[], bool]) -> Iterator[OutingHours]:
    for key, records in case.records.items():
        if key in case.states:
            for record in records:
                yield from _recorded(case, record)
    for visit in case.plan:
        if stop():
            raise ReportStoppedError("Adding the season up was stopped.")
        state = case.states.get(visit.key)
        if state is None:
            continue
        yield from _setup(case, visit, state)
        basis = _basis(case, visit, state)
        if basis is not None:
            yield from _planned(case, visit, basis)


def _basis(case: _Case, visit: PlannedVisit, state: VisitState) -> Basis | None:
    """Return what the hours of the planned evening rest on; None: they count for nothing, or a record tells them."""
    gone = max((record.key.date for record in case.records.get(visit.key, ())), default=None)
    if gone is not None:
        # A visit that was cut short may have another evening to come.
        again = state is VisitState.PARTLY and visit.date > gone and visit.date >= case.today
        return Basis.PLANNED if again else None
    if state is VisitState.DONE:
        return Basis.AS_PLANNED
    return Basis.PLANNED if state in (VisitState.PLANNED, VisitState.CONFIRMED) else None


def _recorded(case: _Case, record: VisitRecord) -> Iterator[OutingHours]:
    visit = case.plan.by_key.get(record.key.visit_key)
    team = record.team or (visit.people if visit is not None else ())
    hours = None if _at_odds(case, record) else _between(record.left_utc, record.home_utc)
    went = _as_gone(record, visit, team)
    for place, person in enumerate(team):
        work = Work.SECOND if place else Work.LEAD
        told = _told(case, went, person) if went is not None else _UNTOLD
        counted = record.second_km if place else record.distance_km
        yield OutingHours(
            person=person,
            date=record.key.date,
            route=record.key.route,
            visit=record.key.visit,
            work=work,
            hours=told.hours if hours is None else hours,
            hours_basis=Basis.AS_PLANNED if hours is None else Basis.RECORDED,
            km=told.km if counted is None else counted,
            km_source=told.km_source if counted is None else DistanceSource.RECORDED,
            drive_minutes=told.drive_minutes,
        )


def _at_odds(case: _Case, record: VisitRecord) -> bool:
    """Whether leaving home or being home again cannot be as written, by the times of the counts."""
    route = case.route(record.key.route)
    if route is None or record.key.route not in case.problem.drives:
        return False
    return any(home_before_the_end(record, record_ground(case.problem, route, record.key.date)))


def _as_gone(record: VisitRecord, visit: PlannedVisit | None, team: tuple[str, ...]) -> PlannedVisit | None:
    """Return the visit as if it had been planned for those who went on the date they went; None: it never was."""
    if visit is None or not team:
        return None
    if visit.people == team and visit.date == record.key.date:
        return visit
    return PlannedVisit(visit.key, team[0], record.key.date, visit.window, "".join(team[1:]))


def _setup(case: _Case, visit: PlannedVisit, state: VisitState) -> Iterator[OutingHours]:
    """Yield the set-up day of a visit, where that is a day of its own."""
    if visit.setup is None or visit.setup == visit.date:
        return
    past = visit.setup < case.today or state in GONE_OUT
    basis = Basis.AS_PLANNED if past else Basis.PLANNED
    try:
        told = _of_outing(case, setup_outing_for(case.problem, visit, visit.lead), visit.lead, lead=True)
    except (RuleError, ImpossibleError):
        told = _UNTOLD
    yield _outing_hours(visit, visit.lead, visit.setup, Work.SETUP, told, basis)


def _planned(case: _Case, visit: PlannedVisit, basis: Basis) -> Iterator[OutingHours]:
    for person in visit.people:
        work = Work.LEAD if person == visit.lead else Work.SECOND
        yield _outing_hours(visit, person, visit.date, work, _told(case, visit, person), basis)


def _outing_hours(
    visit: PlannedVisit, person: str, date: dt.date, work: Work, told: _Told, basis: Basis
) -> OutingHours:
    return OutingHours(
        person=person,
        date=date,
        route=visit.key.route,
        visit=visit.key.number,
        work=work,
        hours=told.hours,
        hours_basis=basis,
        km=told.km,
        km_source=told.km_source,
        drive_minutes=told.drive_minutes,
    )


def _told(case: _Case, visit: PlannedVisit, person: str) -> _Told:
    try:
        outing = outing_for(case.problem, visit, person)
    except (RuleError, ImpossibleError):
        return _UNTOLD
    return _of_outing(case, outing, person, lead=person == visit.lead)


def _of_outing(case: _Case, outing: Outing, person: str, *, lead: bool) -> _Told:
    home, route = case.home(person), case.route(outing.route)
    if home is None or route is None:
        return _UNTOLD
    numbers = [step.point for step in outing.steps if step.kind is not StepKind.DRIVE and step.point is not None]
    at = [route.point(number).place for number in numbers]
    parts = [[home, *at, home]] if lead else [[home, *at[:1]], [*at[-1:], home]]
    ways = [
        case.km([place for number, place in enumerate(part) if not number or place != part[number - 1]])
        for part in parts
    ]
    estimated = any(source is DistanceSource.ESTIMATE for _, source in ways)
    drives = [step.leg.expected_minutes for step in outing.of_kind(StepKind.DRIVE) if step.leg is not None]
    minutes = sum(drives) if lead else drives[0] + drives[-1]
    return _Told(
        hours=_between(outing.leave_home_utc, outing.due_home_utc),
        km=sum(km for km, _ in ways),
        km_source=DistanceSource.ESTIMATE if estimated else DistanceSource.ROADS,
        drive_minutes=minutes if math.isfinite(minutes) else None,
    )


def _between(begin: dt.datetime | None, end: dt.datetime | None) -> float | None:
    """Return the hours between two moments; None where one is not known, or they are reversed."""
    if begin is None or end is None or end < begin:
        return None
    return (end - begin).total_seconds() / 3600.0
