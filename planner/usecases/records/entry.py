"""What a person writes on a visit record, cell by cell; nothing here touches the season file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.clock_times import minute_after, minute_before, nearest_minute
from planner.domain.errors import RuleError
from planner.domain.field.record_ground import CountKey
from planner.domain.field.record_light import Sky, sky_of
from planner.domain.field.visit_record import PointRecord, RecordKey, VisitRecord
from planner.domain.measures import Length
from planner.domain.outing import Outing, StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.route import Route
from planner.domain.season import Season
from planner.exchange.field_files.bad_cells import Unclear
from planner.exchange.field_files.clocks_in_cells import clock, moment
from planner.scheduling import SeasonProblem, outing_for
from planner.usecases.field_files.evening_light import EveningLight


class CountTime(StrEnum):
    """The times that are written down of a count."""

    ARRIVED = "arrived_utc"
    BEGAN = "began_utc"
    ENDED = "ended_utc"


@dataclass(frozen=True, slots=True)
class PlannedTimes:
    """What a team would write down that keeps to the plan."""

    counts: tuple[PointRecord, ...]
    """In the order in which they are planned."""
    left_utc: dt.datetime
    home_utc: dt.datetime
    overcast: PlannedTimes | None = None
    """Under an overcast sky, where the sky decides."""


def blank_record(plan: Plan, key: RecordKey) -> VisitRecord:
    """Return a record on which nothing is written yet but who is planned to go."""
    planned = plan.by_key.get(key.visit_key)
    return VisitRecord(key, planned.people if planned is not None else ())


def read_time(season: Season, plan: Plan, key: RecordKey, text: str, *, counting: bool) -> dt.datetime | None:
    """Return the moment that is meant by a time as it is typed: '2143', '21:43', '9.43pm'; None: nothing is typed.

    It is of the night of the record: 00:12 of an evening is after the midnight that follows.

    Args:
        season: the season; its route and its zone tell the night.
        plan: tells which light window the visit has.
        key: of the record.
        text: as typed.
        counting: whether it is of a count, which cannot lie many hours off its light window.

    Raises:
        RuleError: it is no time, one that the clock skipped, or one that cannot be of that night.
    """
    try:
        said = clock(" ".join(text.split()))
        if said is None:
            return None
        window = EveningLight(season, plan)(key.route, key.date)
        return moment(said, key.date, window, season.tzinfo, counting=counting)
    except Unclear as error:
        raise RuleError(f"{text.strip()!r}: expected {error.expected}. {error.todo}") from error


def read_distance_km(text: str, usual_unit: str) -> float | None:
    """Return the kilometres of a distance as it is typed: '34', '34,5 km', '21 mi'; None: nothing is typed.

    Args:
        text: as typed.
        usual_unit: the unit that is meant where none is typed.

    Raises:
        RuleError: it is no distance, or longer than anybody drives in a night.
    """
    plain = text.replace(",", ".").strip()
    if not plain:
        return None
    length = Length.parse(f"{plain} {usual_unit}" if plain[-1:].isdigit() else plain)
    km = length.metres / 1000
    if km > MOST_KM:
        raise RuleError(f"distance lies between 0 and {MOST_KM:g} km, found {km:.0f} km")
    return km


MOST_KM = 5000.0
"""As a record has it."""


def count_order(record: VisitRecord, route: Route, passes: int, planned: Sequence[PointRecord] = ()) -> list[CountKey]:
    """Return the counts of a record in the order in which they are written down, those not done among them.

    Counts that are recorded stay in their order. Where they lie in the planned order, or along the route from either
    end, the others stand between them; else after them.

    Args:
        record: the record.
        route: its route.
        passes: how often each point is counted.
        planned: the counts as they are planned, in order.
    """
    points = [point.number for point in route.points]
    runs = range(1, passes + 1)
    along = [(point, run) for run in runs for point in points]
    back = [(point, run) for run in runs for point in reversed(points)]
    written = [one.key for one in record.counts]
    for order in ([one.key for one in planned], along, back):
        if set(order) >= set(along) and [key for key in order if key in written] == written:
            return order
    first = [one.key for one in planned] if {one.key for one in planned} >= set(along) else along
    return [*written, *(key for key in first if key not in written)]


def with_count_time(
    record: VisitRecord, order: Sequence[CountKey], key: CountKey, which: CountTime, when: dt.datetime | None
) -> VisitRecord:
    """Return the record with one time of one count written over; a count without anything on it is no count."""
    count = _count(record, key)
    other = PointRecord(*key) if count is None else count
    changed = {
        CountTime.ARRIVED: replace(other, arrived_utc=when),
        CountTime.BEGAN: replace(other, began_utc=when),
        CountTime.ENDED: replace(other, ended_utc=when),
    }[which]
    if count is None and when is None:
        return record
    # A tick that only came with the times goes with the last of them.
    had_times = count is not None and _has_times(count)
    gone = had_times and not _has_times(changed) and not changed.note
    return _with(record, order, key, None if gone else changed)


def with_count_done(record: VisitRecord, order: Sequence[CountKey], key: CountKey, *, done: bool) -> VisitRecord:
    """Return the record with a count done to the end or not; one not done, with nothing on it, is no count."""
    count = _count(record, key) or PointRecord(*key)
    blank = not (done or _has_times(count) or count.note)
    return _with(record, order, key, None if blank else replace(count, done=done))


def with_count_note(record: VisitRecord, order: Sequence[CountKey], key: CountKey, note: str) -> VisitRecord:
    """Return the record with the note of a count written over; a note alone makes no count done."""
    count, said = _count(record, key), note.strip()
    if count is None:
        return _with(record, order, key, PointRecord(*key, done=False, note=said)) if said else record
    blank = not (said or count.done or _has_times(count))
    return _with(record, order, key, None if blank else replace(count, note=said))


def planned_times(problem: SeasonProblem, visit: PlannedVisit, date: dt.date) -> PlannedTimes:
    """Return what the team of a visit would write down on a date if all went by the plan, to the minute.

    Args:
        problem: the season with its light and drives.
        visit: as it is planned.
        date: of the record; the visit's own or another one.

    Raises:
        RuleError: the season lacks the route, the volunteer or the window.
        ImpossibleError: that date has no window, no count fits, or no road leads there.
    """
    asked = visit if visit.date == date else replace(visit, date=date, setup=None, reserve=None)
    outing = outing_for(problem, asked, asked.lead)
    settle = problem.season.protocol.count.settle_minutes if problem.season.protocol.points.most else 0.0
    dull = outing.overcast
    times = _times(outing, settle)
    return replace(times, overcast=_times(dull, settle)) if dull is not None else times


def as_planned(
    record: VisitRecord, season: Season, window: str, planned: PlannedTimes, only: CountKey | None = None
) -> VisitRecord:
    """Return the record with the planned times wherever none is written down; what is written stays.

    Args:
        record: the record; the cloud that it tells decides where the sky does.
        season: its season.
        window: name of the light window of the visit.
        planned: what was planned.
        only: the one count that is filled in; None: all of them, and when the team left and was home.
    """
    windows = {one.name: one for one in season.protocol.windows}
    by_sky = window in windows and sky_of(record, windows[window]) is Sky.OVERCAST
    times = planned.overcast if by_sky and planned.overcast is not None else planned
    there = {one.key: one for one in record.counts}
    wanted = [one for one in times.counts if only in (None, one.key)]
    filled = {one.key: _filled(there.get(one.key), one) for one in wanted}
    order = [one.key for one in times.counts]
    merged = {**there, **filled}
    placed = [key for key in order if key in merged] + [key for key in merged if key not in order]
    counts = tuple(merged[key] for key in placed)
    if only is not None:
        return replace(record, counts=counts)
    left, home = record.left_utc or times.left_utc, record.home_utc or times.home_utc
    return replace(record, counts=counts, left_utc=left, home_utc=home)


def _times(outing: Outing, settle_minutes: float) -> PlannedTimes:
    settle = dt.timedelta(minutes=settle_minutes)
    counts = tuple(
        PointRecord(
            step.point,
            step.pass_number,
            nearest_minute(step.start_utc),
            nearest_minute(step.start_utc + settle),
            nearest_minute(step.end_utc),
        )
        for step in outing.of_kind(StepKind.COUNT)
        if step.point is not None
    )
    return PlannedTimes(counts, minute_before(outing.leave_home_utc), minute_after(outing.due_home_utc))


def _filled(count: PointRecord | None, planned: PointRecord) -> PointRecord:
    if count is None:
        return planned
    if not count.done and not _has_times(count):
        return count
    return replace(
        count,
        arrived_utc=count.arrived_utc or planned.arrived_utc,
        began_utc=count.began_utc or planned.began_utc,
        ended_utc=count.ended_utc or planned.ended_utc,
    )


def _count(record: VisitRecord, key: CountKey) -> PointRecord | None:
    return next((one for one in record.counts if one.key == key), None)


def _has_times(count: PointRecord) -> bool:
    return any((count.arrived_utc, count.began_utc, count.ended_utc))


def _with(record: VisitRecord, order: Sequence[CountKey], key: CountKey, count: PointRecord | None) -> VisitRecord:
    """Return the record with a count in its place in an order; None: without it."""
    counts = {one.key: one for one in record.counts} | ({key: count} if count is not None else {})
    if count is None:
        counts.pop(key, None)
    placed = [one for one in order if one in counts]
    placed += [one for one in counts if one not in placed]
    return replace(record, counts=tuple(counts[one] for one in placed))
