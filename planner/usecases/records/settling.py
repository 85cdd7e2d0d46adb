"""What plan and records of a season come to once some records are written down or taken away; nothing is kept here.

A visit that its final records make whole stands in the plan as done, as it was really made; one that they make whole no
more stands again as it was planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from planner.domain.disruption import Remains
from planner.domain.field.visit_record import RecordKey, RecordState, Stood, VisitRecord
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.usecases.records.judged import Judged, judge_record


@dataclass(frozen=True, slots=True)
class Settled:
    """What a season holds once some records are kept."""

    plan: Plan
    records: tuple[VisitRecord, ...]
    """All of them, by route, visit and date."""
    done: tuple[VisitKey, ...] = ()
    """Visits that are done now and were not before."""
    reopened: tuple[VisitKey, ...] = ()
    """Visits that were done and are not any more."""


def settled_records(
    problem: SeasonProblem,
    plan: Plan,
    kept: Sequence[VisitRecord],
    given: Iterable[VisitRecord],
    gone: Iterable[RecordKey] = (),
) -> Settled:
    """Return plan and records once some are written down and others taken away; pure, for a step of any caller.

    Args:
        problem: the season with its light and drives; of the routes of these records at least.
        plan: the plan as it stands.
        kept: the records that are kept now.
        given: records that are written down; each replaces the one of the same visit and date.
        gone: keys of records that are taken away.
    """
    given, gone = tuple(given), tuple(gone)
    before = {one.key: one for one in kept}
    after = {key: one for key, one in before.items() if key not in gone} | {one.key: one for one in given}
    settled = Settled(plan, tuple(after[key] for key in sorted(after)))
    for visit in sorted({one.key.visit_key for one in given} | {key.visit_key for key in gone}):
        stood = next((one.stood for key, one in before.items() if key.visit_key == visit and one.stood), None)
        settled = _settle(problem, settled, visit, stood)
    return settled


def _settle(problem: SeasonProblem, settled: Settled, key: VisitKey, stood: Stood | None) -> Settled:
    """Make one visit done or not, as its records have it."""
    mine = [replace(one, stood=None) for one in settled.records if one.key.visit_key == key]
    standing = settled.plan.by_key.get(key)
    origin = stood if stood is not None else Stood(standing)
    bare = settled.plan if stood is None else _restored(settled.plan, key, stood)
    maker = _makes_whole(problem, bare, mine)
    if maker is not None:
        done = _as_done(problem.season, maker[0], origin.planned, maker[1].window)
        if done is not None:
            mine = [replace(one, stood=origin) if one.key == maker[0].key else one for one in mine]
            newly = (key,) if standing is None or standing.status is not Status.DONE else ()
            return replace(
                settled,
                plan=settled.plan.with_visit(done),
                records=_with(settled.records, mine),
                done=settled.done + newly,
            )
    back = (key,) if stood is not None else ()
    return replace(settled, plan=bare, records=_with(settled.records, mine), reopened=settled.reopened + back)


def _makes_whole(
    problem: SeasonProblem, plan: Plan, records: Sequence[VisitRecord]
) -> tuple[VisitRecord, Judged] | None:
    """Return the final record that leaves nothing to do of its visit, the earliest of several; None: there is none."""
    final = sorted((one for one in records if one.state is RecordState.FINAL), key=lambda one: one.key)
    for number, record in enumerate(final):
        judged = judge_record(problem, plan, record, final[:number])
        if judged.known and judged.follows is Remains.NOTHING:
            return record, judged
    return None


def _as_done(season: Season, record: VisitRecord, planned: PlannedVisit | None, window: str) -> PlannedVisit | None:
    """Return the visit as it was really made; None where it was not planned and nobody known led it."""
    known = {one.code for one in season.volunteers}
    team = [code for code in record.team if code in known]
    if not team and planned is None:
        return None
    lead, second = (team[0], team[1] if len(team) > 1 else "") if team else ("", "")
    date = record.key.date
    if planned is None:
        return PlannedVisit(record.key.visit_key, lead, date, window, second, status=Status.DONE)
    return replace(
        planned,
        lead=lead or planned.lead,
        second=second if team else planned.second,
        date=date,
        window=window or planned.window,
        reserve=planned.reserve if planned.reserve is not None and planned.reserve > date else None,
        setup=planned.setup if planned.setup is not None and planned.setup <= date else None,
        status=Status.DONE,
    )


def _restored(plan: Plan, key: VisitKey, stood: Stood) -> Plan:
    return plan.with_visit(stood.planned) if stood.planned is not None else plan.without(key)


def _with(records: Sequence[VisitRecord], changed: Sequence[VisitRecord]) -> tuple[VisitRecord, ...]:
    found = {one.key: one for one in records} | {one.key: one for one in changed}
    return tuple(found[key] for key in sorted(found))
