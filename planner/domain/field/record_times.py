"""Rules on the times of a record: each count by itself, and from one count to the next."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Sequence

from planner.domain.field.record_ground import (
    READING,
    CountKey,
    RecordGround,
    arrival_of,
    begin_of,
    count_words,
    end_of,
    points_words,
    record_finding,
)
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.finding import Finding, Rule, Severity

_LOOK = "Look at the sheet again and mend what was copied wrongly."
_DRIVE_SHARE = 0.5
"""A drive in less than this share of its optimistic minutes cannot be: our own bound."""


def backward(record: VisitRecord, ground: RecordGround) -> Iterator[tuple[CountKey, Finding]]:
    """Yield the counts whose own times run backwards; such a count cannot stand."""
    for count in record.counts:
        moments = [one for one in (count.arrived_utc, count.began_utc, count.ended_utc) if one is not None]
        if moments != sorted(moments):
            times = ", ".join(
                f"{word} {ground.clock(moment)}"
                for word, moment in (
                    ("arrived", count.arrived_utc),
                    ("began", count.began_utc),
                    ("ended", count.ended_utc),
                )
                if moment is not None
            )
            what = f"The times at {count_words(count, ground)} run backwards: {times}."
            yield count.key, record_finding(record, Rule.RECORD_TIMES, Severity.TROUBLE, what, _LOOK, point=count.point)


def too_short(record: VisitRecord, ground: RecordGround) -> Iterator[tuple[CountKey, Finding]]:
    """Yield the finished counts that lasted a minute or more less than the protocol's; they do not stand."""
    for count in record.done:
        if count.began_utc is None or count.ended_utc is None or count.ended_utc < count.began_utc:
            continue
        lasted = count.ended_utc - count.began_utc
        if ground.counted - lasted > READING:
            what = (
                f"The count at {count_words(count, ground)} lasted {lasted.total_seconds() / 60:.3g} min;"
                f" the protocol asks for {ground.counted.total_seconds() / 60:g}."
            )
            todo = "Mend the times if they are wrong; else the point does not count."
            yield count.key, record_finding(record, Rule.RECORD_SHORT, Severity.TROUBLE, what, todo, point=count.point)


def unsettled(record: VisitRecord, ground: RecordGround) -> Iterator[Finding]:
    """Yield the counts that began sooner after the arrival than the protocol lets the animals settle."""
    for count in record.done:
        if count.arrived_utc is None or count.began_utc is None or count.began_utc < count.arrived_utc:
            continue
        waited = count.began_utc - count.arrived_utc
        if ground.settle - waited > READING:
            what = (
                f"At {count_words(count, ground)} the count began {waited.total_seconds() / 60:.3g} min after the"
                f" arrival; the protocol lets the place settle for {ground.settle.total_seconds() / 60:g} min."
            )
            todo = "The point counts; remind the team to wait before they count."
            yield record_finding(record, Rule.RECORD_SHORT, Severity.DOUBT, what, todo, point=count.point)


def unwritten(record: VisitRecord) -> Iterator[Finding]:
    """Yield one finding on all counts without times, and one on those with half of them."""
    none = [one.point for one in record.done if one.began_utc is None and one.ended_utc is None]
    half = [one.point for one in record.done if (one.began_utc is None) is not (one.ended_utc is None)]
    if none:
        what = f"No times are written down for {_named(none)}: nobody can tell whether the light was right."
        yield record_finding(record, Rule.RECORD_TIMES, Severity.DOUBT, what, "Ask the team for them.")
    if half:
        what = f"Only beginning or end is written down for {_named(half)}; the other is taken from the count's length."
        yield record_finding(record, Rule.RECORD_TIMES, Severity.DOUBT, what, "Ask the team for the other.")


def _named(points: Iterable[int]) -> str:
    return points_words(tuple(sorted(set(points))))


def in_time_order(record: VisitRecord, ground: RecordGround) -> tuple[PointRecord, ...] | None:
    """Return the record's counts by their times; None where one has no time at all."""
    begins = {one.key: begin_of(one, ground) for one in record.counts}
    known = {key: moment for key, moment in begins.items() if moment is not None}
    if len(known) != len(begins):
        return None
    return tuple(sorted(record.counts, key=lambda one: known[one.key]))


def overlapping(
    record: VisitRecord, sequence: Sequence[PointRecord], ground: RecordGround
) -> Iterator[tuple[tuple[CountKey, ...], Finding]]:
    """Yield where a count begins, or the team is at the next point, before the count before it has ended.

    With each finding come the counts that do not stand for it: both, where they were going on at the same time; none,
    where only the arrival lies before the end.
    """
    for (place, before), (later, after) in itertools.combinations(enumerate(sequence), 2):
        keys = (before.key, after.key) if _at_once(before, after, ground) else ()
        if later == place + 1:
            what = _there_too_early(before, after, ground)
        else:
            pair = f"{count_words(before, ground)} and {count_words(after, ground)}"
            what = f"The counts at {pair} were going on at the same time." if keys else ""
        if what:
            todo = "Neither count stands until its times are mended: look at the sheet again." if keys else _LOOK
            yield keys, record_finding(record, Rule.RECORD_TIMES, Severity.TROUBLE, what, todo, point=after.point)


def _there_too_early(before: PointRecord, after: PointRecord, ground: RecordGround) -> str:
    """Return that the team was at a point before the count before it had ended, in words; empty where it was not."""
    ended = end_of(before, ground)
    known = [moment for moment in (arrival_of(after, ground), begin_of(after, ground)) if moment is not None]
    if ended is None or not known or ended - min(known) <= READING:
        return ""
    return (
        f"The team was at {count_words(after, ground)} at {ground.clock(min(known))}, before the count at"
        f" {count_words(before, ground)} ended at {ground.clock(ended)}."
    )


def _at_once(one: PointRecord, other: PointRecord, ground: RecordGround) -> bool:
    """Whether two counts were going on at the same time, for a minute or more."""
    begins, ends = ([moment(each, ground) for each in (one, other)] for moment in (begin_of, end_of))
    begun = [moment for moment in begins if moment is not None]
    ended = [moment for moment in ends if moment is not None]
    return len(begun) == len(ended) == 2 and min(ended) - max(begun) > READING


def impossible_drives(record: VisitRecord, sequence: Sequence[PointRecord], ground: RecordGround) -> Iterator[Finding]:
    """Yield the drives that took less than half of what they take at best: from home, and from point to point."""
    yield from _from_home(record, sequence, ground)
    for before, after in itertools.pairwise(sequence):
        ended, arrived = end_of(before, ground), arrival_of(after, ground)
        least = ground.legs_minutes.get((before.point, after.point))
        if ended is None or arrived is None or least is None or arrived < ended:
            continue
        if _too_quick(arrived - ended, least):
            what = (
                f"From {count_words(before, ground)} to {count_words(after, ground)} in"
                f" {(arrived - ended).total_seconds() / 60:.3g} min: at best it takes {least:.0f}."
            )
            yield record_finding(record, Rule.RECORD_TIMES, Severity.DOUBT, what, _LOOK, point=after.point)


def _from_home(record: VisitRecord, sequence: Sequence[PointRecord], ground: RecordGround) -> Iterator[Finding]:
    arrived = arrival_of(sequence[0], ground) if sequence else None
    if record.left_utc is None or arrived is None or not record.team:
        return
    least = ground.out_minutes.get((record.team[0], sequence[0].point))
    if least is not None and _too_quick(arrived - record.left_utc, least):
        what = (
            f"{record.team[0]} left home at {ground.clock(record.left_utc)} and was at point {sequence[0].point} at"
            f" {ground.clock(arrived)}: at best the drive takes {least:.0f} min."
        )
        yield record_finding(record, Rule.RECORD_TIMES, Severity.DOUBT, what, _LOOK, point=sequence[0].point)


def _too_quick(taken: dt.timedelta, least_minutes: float) -> bool:
    return taken + READING < dt.timedelta(minutes=_DRIVE_SHARE * least_minutes)


def home_before_the_end(record: VisitRecord, ground: RecordGround) -> Iterator[Finding]:
    """Yield where the team was home before its last count ended, or left after its first began."""
    ends = [moment for moment in (end_of(one, ground) for one in record.counts) if moment is not None]
    begins = [moment for moment in (begin_of(one, ground) for one in record.counts) if moment is not None]
    if record.home_utc is not None and ends and max(ends) - record.home_utc > READING:
        what = f"Home at {ground.clock(record.home_utc)}, before the last count ended at {ground.clock(max(ends))}."
        yield record_finding(record, Rule.RECORD_TIMES, Severity.TROUBLE, what, _LOOK)
    if record.left_utc is not None and begins and record.left_utc - min(begins) > READING:
        what = (
            f"Left home at {ground.clock(record.left_utc)}, after the first count began: {ground.clock(min(begins))}."
        )
        yield record_finding(record, Rule.RECORD_TIMES, Severity.TROUBLE, what, _LOOK)


def span_of(record: VisitRecord, ground: RecordGround) -> tuple[dt.datetime, dt.datetime] | None:
    """Return from when to when a team was out, by its own record; None where no time is written down."""
    moments = [record.left_utc, record.home_utc]
    moments += [moment for one in record.counts for moment in (arrival_of(one, ground), end_of(one, ground))]
    known = [moment for moment in moments if moment is not None]
    return (min(known), max(known)) if known else None
