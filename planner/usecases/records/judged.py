"""Judge visit records against the protocol, and say what follows for the plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planner.domain.disruption import Disruption, PartlyDone, Remains, VisitCancelled
from planner.domain.field.record_follows import Follows, follows
from planner.domain.field.record_ground import CountKey, RecordGround, points_words, record_finding
from planner.domain.field.record_people import two_places, unknown_visit, wrong_date, wrong_people
from planner.domain.field.record_rules import CountsJudged, counts_judged, uncounted
from planner.domain.field.record_times import span_of
from planner.domain.field.visit_record import RecordKey, RecordState, Stopped, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit
from planner.scheduling import SeasonProblem
from planner.usecases.records.grounds import record_ground


@dataclass(frozen=True, slots=True)
class Judged:
    """What the protocol says of a visit record, together with the other final records of its visit."""

    key: RecordKey
    findings: tuple[Finding, ...]
    """In the order of date, people, counts, points, what follows; judge by their severity. Where the coordinator lets
    the visit stand, they are notes."""
    follows: Remains
    """What is asked: nothing, the rest, or the whole visit again."""
    points_that_count: tuple[int, ...]
    """Of all evenings of the visit together where the protocol lets them be put together; in the route's order."""
    left: tuple[int, ...]
    """Points that are still to be counted."""
    window: str = ""
    """Name of the protocol's window that the counts lie in; empty where there is none."""
    known: bool = True
    """Whether the season has such a visit and its date is not to come: else nothing follows from the record."""
    standing: frozenset[CountKey] = frozenset()
    """The counts of this record that stand by the protocol, by point and pass."""
    disruption: Disruption | None = None
    """What breaks in the plan by it; None where nothing does, or where the visit has its new date already."""


def breaks(judged: Judged) -> Disruption | None:
    """Return what a record breaks in the plan, for ``usecases.cancelling.ways_on``; None: nothing is to be repaired.

    A visit that the weather stopped before its first count is a cancelled one, for as long as its date is not past.
    """
    return judged.disruption


def judge_record(problem: SeasonProblem, plan: Plan, record: VisitRecord, others: Sequence[VisitRecord] = ()) -> Judged:
    """Judge one record, draft or final; nothing is changed.

    Args:
        problem: the season with its light and drives, and today's date.
        plan: the plan as it stands.
        record: the record.
        others: the other records that are kept, of any visit; one with the record's own key is passed over.
    """
    season = problem.season
    strange = tuple(unknown_visit(record, season))
    if strange:
        return Judged(record.key, strange, Remains.WHOLE, (), (), known=False)
    others = [one for one in others if one.key != record.key]
    case = _Case.of(problem, plan, record, others)
    own, found = case.own, case.found
    to_come = problem.today is not None and record.key.date > problem.today
    elsewhere = {point for one in case.evenings if one is not own for point in one.points}
    route, planned = case.ground.route, case.planned
    findings = (
        *wrong_date(record, season, route, planned, problem.today),
        *wrong_people(record, season, route, planned if case.of_the_plan else None),
        *_beside(problem, record, others),
        *own.findings,
        *uncounted(record, case.ground, own.passes, elsewhere),
        *(() if to_come else case.follow_finding()),
    )
    return Judged(
        key=record.key,
        findings=_as_notes(findings) if case.let_stand else findings,
        follows=found.asked,
        points_that_count=found.standing,
        left=found.left,
        window=own.window,
        standing=own.standing,
        known=not to_come,
        disruption=None if to_come else case.disruption(),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Case:
    """One record with all that its judgement hangs on."""

    problem: SeasonProblem
    record: VisitRecord
    stands: PlannedVisit | None
    """The visit as the plan has it now."""
    ground: RecordGround
    own: CountsJudged
    evenings: tuple[CountsJudged, ...]
    """Of the visit, this record's among them, the earliest first."""
    latest: bool
    """Whether no other evening of the visit came later."""
    found: Follows
    let_stand: str
    """Why the coordinator lets the visit stand; empty: nothing was decided."""

    @classmethod
    def of(cls, problem: SeasonProblem, plan: Plan, record: VisitRecord, others: Sequence[VisitRecord]) -> _Case:
        """Look up and judge the evenings of the record's visit."""
        stands = plan.by_key.get(record.key.visit_key)
        window = stands.window if stands is not None else ""
        route = problem.season.route(record.key.route)
        evenings = sorted((record, *_same_visit(record, others)), key=lambda one: one.key)
        grounds = {one.key: record_ground(problem, route, one.key.date) for one in evenings}
        judged = {one.key: counts_judged(one, grounds[one.key], window) for one in evenings}
        points = tuple(point.number for point in route.points)
        found = follows(problem.season.protocol.order, points, [judged[one.key].points for one in evenings])
        let_stand = next((one.let_stand for one in reversed(evenings) if one.let_stand), "")
        if let_stand:
            found = Follows(Remains.NOTHING, found.standing, ())
        latest = evenings[-1] is record
        ground, own = grounds[record.key], judged[record.key]
        each = tuple(judged[one.key] for one in evenings)
        return cls(problem, record, stands, ground, own, each, latest, found, let_stand)

    @property
    def moved_on(self) -> bool:
        """Whether the visit stands again in the plan, on a later date."""
        if self.stands is None or self.found.asked is Remains.NOTHING:
            return False
        return self.stands.date > self.record.key.date

    @property
    def of_the_plan(self) -> bool:
        """Whether the plan still tells what was planned for that evening: not where it has moved on since."""
        return self.record.stood is not None or (self.latest and not self.moved_on)

    @property
    def planned(self) -> PlannedVisit | None:
        """The visit as it was planned when the team went, as far as that is known."""
        if self.record.stood is not None:
            return self.record.stood.planned
        if self.stands is not None and not self.of_the_plan:
            return replace(self.stands, date=self.record.key.date, reserve=None)
        return self.stands

    def follow_finding(self) -> Iterator[Finding]:
        """Yield what is left of the visit, once, with its latest record."""
        if self.let_stand:
            what = f"{_how_many(self.found, self.ground)} The coordinator lets the visit stand: {self.let_stand}"
            yield record_finding(self.record, Rule.RECORD_FOLLOWS, Severity.NOTE, what, "")
            return
        if self.found.asked is Remains.NOTHING or not self.latest:
            return
        what = f"{_how_many(self.found, self.ground)} {_asked_words(self.found)}"
        if self.moved_on and self.stands is not None:
            day = self.stands.date
            todo = f"The plan has it for {day:%a} {day.day} {day:%b}."
            yield record_finding(self.record, Rule.RECORD_FOLLOWS, Severity.NOTE, what, todo)
            return
        todo = _repair_words(self.record, self.found) if self.stands is not None else "Plan the visit."
        yield record_finding(self.record, Rule.RECORD_FOLLOWS, Severity.TROUBLE, what, todo)

    def disruption(self) -> Disruption | None:
        """Return what breaks in the plan."""
        if self.stands is None or self.moved_on or not self.latest or self.found.asked is Remains.NOTHING:
            return None
        key, today = self.stands.key, self.problem.today
        nothing_counted = not self.record.done and len(self.evenings) == 1
        to_come = today is None or self.stands.date >= today
        if self.record.stopped is Stopped.WEATHER and nothing_counted and to_come:
            return VisitCancelled(key)
        return PartlyDone(key, len(self.found.standing))


def _as_notes(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return findings that somebody has decided on."""
    return tuple(replace(one, severity=Severity.NOTE, todo="") for one in findings)


def _same_visit(record: VisitRecord, others: Sequence[VisitRecord]) -> Iterator[VisitRecord]:
    for one in others:
        if one.state is RecordState.FINAL and one.key.visit_key == record.key.visit_key:
            yield one


def _how_many(found: Follows, ground: RecordGround) -> str:
    return f"{len(found.standing)} of {len(ground.points)} points count{'s' if len(found.standing) == 1 else ''}."


def _asked_words(found: Follows) -> str:
    if found.asked is Remains.REST:
        return f"The protocol lets the rest be counted on another day: {points_words(found.left)}."
    return "The whole visit is to be made again."


def _repair_words(record: VisitRecord, found: Follows) -> str:
    key = record.key
    command = f"dimpsy cancel FILE {key.route} {key.visit} --points {len(found.standing)} --because partly"
    return f"Look at the ways on in the Today room, or by {command}."


def _beside(problem: SeasonProblem, record: VisitRecord, others: Sequence[VisitRecord]) -> Iterator[Finding]:
    """Yield where one of the team is in another record at the same time."""
    day = dt.timedelta(days=1)
    near = [one for one in others if set(one.team) & set(record.team) and abs(one.key.date - record.key.date) <= day]
    spans = record_spans(problem, (record, *near)) if near else {}
    for one in near:
        yield from two_places(record, one, spans)


def record_spans(
    problem: SeasonProblem, records: Sequence[VisitRecord]
) -> dict[RecordKey, tuple[dt.datetime, dt.datetime]]:
    """Return from when to when the teams of records were out; those without times or of no route are left out."""
    routes = {route.code: route for route in problem.season.routes}
    spans = {}
    for one in records:
        route = routes.get(one.key.route)
        if route is not None:
            span = span_of(one, RecordGround(problem.season, route, (), {}, {}))
            if span is not None:
                spans[one.key] = span
    return spans
