"""Keep, reopen and forget visit records; a visit that its final records make whole is done in the same step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from planner.domain.disruption import Remains
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.visit_record import RecordKey, RecordState, Stood, VisitRecord, record_on
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.exchange import unkept_letter
from planner.scheduling import SeasonProblem
from planner.store import Changed, SeasonFile
from planner.usecases.evening import fits
from planner.usecases.opening import road_network
from planner.usecases.planning import listed_codes
from planner.usecases.records.judged import Judged, judge_record
from planner.usecases.season_problem import season_problem

_MOST_REASON = 500
"""Letters of the reason why a visit stands: it is told in findings and in the history. Our own bound."""


@dataclass(frozen=True, slots=True)
class KeptRecord:
    """What keeping a record came to."""

    changed: Changed
    judged: Judged
    """As the season stands after it."""


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


def keep_record(
    file: SeasonFile, record: VisitRecord, today: dt.date, problem: SeasonProblem | None = None
) -> KeptRecord:
    """Write down one record, as one step; it replaces the one of the same visit and date. See :func:`keep_records`."""
    return keep_records(file, (record,), today, problem)[0]


def keep_records(
    file: SeasonFile, records: Sequence[VisitRecord], today: dt.date, problem: SeasonProblem | None = None
) -> tuple[KeptRecord, ...]:
    """Write down records, as one step; each replaces the one of the same visit and date.

    Where the final records of a visit leave nothing to do, the visit becomes done in the same step, and stands in the
    plan with the date and the people of the record; where they do not any more, it stands again as it was planned.

    Args:
        file: the season file.
        records: drafts or final; of any route and visit while they are drafts.
        today: no final record may be of a later date.
        problem: the season with its light and drives, where somebody has it; else it is computed for these routes.

    Raises:
        RuleError: nothing is given, or one visit and date twice.
        ImpossibleError: a final record is of a visit that the season does not have, or of a date to come; nothing is
            kept then.
    """
    keys = [one.key for one in records]
    if not keys or len(set(keys)) != len(keys):
        raise RuleError("give at least one record, and each visit and date once")
    season, plan, kept = file.season(), file.plan(), file.records()
    problem = _problem(file, season, (*records, *kept), {key.route for key in keys}, today, problem)
    _refuse(problem, plan, records)
    settled = settled_records(problem, plan, kept, records)
    with file.step(_label(records, settled, plan)) as step:
        file.save_records(settled.records)
        file.save_plan(settled.plan)
    found = {one.key: one for one in settled.records}
    return tuple(
        KeptRecord(step.changed, judge_record(problem, settled.plan, found[key], settled.records)) for key in keys
    )


def reopen_record(file: SeasonFile, key: RecordKey, today: dt.date, problem: SeasonProblem | None = None) -> KeptRecord:
    """Make a final record a draft again, as one step; a visit that it made done stands again as it was planned.

    Raises:
        RuleError: there is no such record.
    """
    return keep_record(file, replace(_kept(file, key), state=RecordState.DRAFT, let_stand=""), today, problem)


def redate_record(
    file: SeasonFile, key: RecordKey, date: dt.date, today: dt.date, problem: SeasonProblem | None = None
) -> KeptRecord:
    """Give a draft another date, as one step: it was of another evening. Its times go with it.

    Raises:
        RuleError: there is no such record, or it is final.
        ImpossibleError: the visit has a record of that date already.
    """
    record = _kept(file, key)
    if record.state is not RecordState.DRAFT:
        raise RuleError(f"the record of {key} is final: reopen it first")
    moved = record_on(record, date, file.season().tzinfo)
    kept = file.records()
    if any(one.key == moved.key for one in kept):
        raise ImpossibleError(f"There is a record of {moved.key} already.", "Write into that one, or take it away.")
    plan = file.plan()
    problem = _problem(file, file.season(), (moved, *kept), {key.route}, today, problem)
    settled = settled_records(problem, plan, kept, (moved,), (key,))
    with file.step(f"The record of {key} is of {date:%a} {date.day} {date:%b}") as step:
        file.save_records(settled.records)
        file.save_plan(settled.plan)
    return KeptRecord(step.changed, judge_record(problem, settled.plan, moved, settled.records))


def let_visit_stand(
    file: SeasonFile, key: RecordKey, because: str, today: dt.date, problem: SeasonProblem | None = None
) -> KeptRecord:
    """Write down that a visit stands whatever the protocol asks of its record, as one step: it is done then.

    The decision lasts until the record is written down anew without it.

    Args:
        file: the season file.
        key: of a final record.
        because: why, in the coordinator's words; empty: the decision is taken back.
        today: no record may be of a later date.
        problem: the season with its light and drives, where somebody has it.

    Raises:
        RuleError: there is no such record, or it is a draft; or the reason is over 500 letters long or has control
            characters.
    """
    record = _kept(file, key)
    if record.state is not RecordState.FINAL:
        raise RuleError(f"the record of {key} is a draft: make it final first")
    reason = " ".join(because.split())
    if len(reason) > _MOST_REASON or unkept_letter(reason):
        found = unkept_letter(reason) or f"{len(reason)} letters"
        raise RuleError(f"a reason has at most {_MOST_REASON} letters and no control characters, found {found}")
    return keep_record(file, replace(record, let_stand=reason), today, problem)


def latest_final(file: SeasonFile, visit: VisitKey) -> RecordKey:
    """Return which final record of a visit is of the latest date.

    Raises:
        RuleError: the season has no such route or visit.
        ImpossibleError: there is no final record of it.
    """
    season = file.season()
    code, visits = season.route(visit.route).code, len(season.visits)
    if not 1 <= visit.number <= visits:
        raise RuleError(f"route {code} has no visit {visit.number}: there are {visits}")
    final = (one.key for one in file.records() if one.key.visit_key == visit and one.state is RecordState.FINAL)
    found = max(final, default=None)
    if found is None:
        raise ImpossibleError(f"There is no final record of {visit}.", "Take it in first: dimpsy record FILE SHEET.")
    return found


def forget_record(file: SeasonFile, key: RecordKey, today: dt.date, problem: SeasonProblem | None = None) -> Changed:
    """Take a record away, as one step; a visit that it made done stands again as it was planned.

    Raises:
        RuleError: there is no such record.
    """
    gone = _kept(file, key)
    season, plan, kept = file.season(), file.plan(), file.records()
    problem = _problem(file, season, kept, {key.route}, today, problem)
    settled = settled_records(problem, plan, kept, (), (gone.key,))
    with file.step(f"Take away the record of {key}{_consequence(settled, plan)}") as step:
        file.save_records(settled.records)
        file.save_plan(settled.plan)
    return step.changed


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


def _refuse(problem: SeasonProblem, plan: Plan, records: Sequence[VisitRecord]) -> None:
    """Refuse final records from which nothing can follow, all at once."""
    reasons = []
    for record in records:
        judged = judge_record(problem, plan, record)
        if record.state is RecordState.FINAL and not judged.known:
            worst = min(judged.findings, key=lambda one: one.severity)
            reasons.append(f"{record.key}: {worst.what} {worst.todo}")
    if reasons:
        raise ImpossibleError("These records cannot be final; they can be kept as drafts:", *reasons)


def _problem(
    file: SeasonFile,
    season: Season,
    records: Sequence[VisitRecord],
    codes: set[str],
    today: dt.date,
    problem: SeasonProblem | None,
) -> SeasonProblem:
    """Return the season with light and drives: the one at hand, or one of the routes concerned alone."""
    if problem is not None and fits(problem, season):
        return replace(problem, today=today)
    people = {code for one in records if one.key.route in codes for code in one.team}
    wanted = codes | {one.key.route for one in records if people & set(one.team)}
    part = replace(season, routes=tuple(route for route in season.routes if route.code in wanted))
    return season_problem(part, road_network(file.path, season.roads), today)


def _kept(file: SeasonFile, key: RecordKey) -> VisitRecord:
    found = next((one for one in file.records() if one.key == key), None)
    if found is None:
        raise RuleError(f"there is no record of {key}")
    return found


def _label(records: Sequence[VisitRecord], settled: Settled, before: Plan) -> str:
    if len(records) == 1:
        draft = "Draft of the record" if records[0].state is RecordState.DRAFT else "Record"
        said = f"{draft} of {records[0].key}"
        if records[0].let_stand:
            said = f"Let {records[0].key} stand ({records[0].let_stand})"
    else:
        codes = listed_codes(list(dict.fromkeys(one.key.route for one in records)))
        said = f"{len(records)} visit records of {codes}"
    return f"{said}{_consequence(settled, before)}"


def _consequence(settled: Settled, before: Plan) -> str:
    """Return what happens to visits, in words for the label of a step."""
    if len(settled.done) == 1 and not settled.reopened:
        key = settled.done[0]
        return f": the visit is done{_otherwise(settled.plan.by_key[key], before.by_key.get(key))}"
    parts = [
        f"{len(keys)} visits are {word}" if len(keys) > 1 else f"{keys[0]} is {word}"
        for keys, word in ((settled.done, "done"), (settled.reopened, "planned again"))
        if keys
    ]
    return f": {', '.join(parts)}" if parts else ""


def _otherwise(done: PlannedVisit, planned: PlannedVisit | None) -> str:
    """Return in what the visit as made differs from the plan."""
    if planned is None:
        return ", which was not planned"
    people = f" by {' and '.join(done.people)}" if done.people != planned.people else ""
    day = f" on {done.date:%a} {done.date.day} {done.date:%b}" if done.date != planned.date else ""
    return f"{day}{people}, other than planned" if people or day else ""
