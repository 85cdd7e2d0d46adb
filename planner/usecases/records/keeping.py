"""Keep, reopen and forget visit records; a visit that its final records make whole is done in the same step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord, record_on
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.exchange import unkept_letter
from planner.scheduling import SeasonProblem
from planner.store import Changed, SeasonFile
from planner.usecases.evening.outings import fits
from planner.usecases.plan.planning import listed_codes
from planner.usecases.records.judged import Judged, judge_record
from planner.usecases.records.settling import Settled, settled_records
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

_MOST_REASON = 500
"""Letters of the reason why a visit stands: it is told in findings and in the history. Our own bound."""


@dataclass(frozen=True, slots=True)
class KeptRecord:
    """What keeping a record came to."""

    changed: Changed
    judged: Judged
    """As the season stands after it."""


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
