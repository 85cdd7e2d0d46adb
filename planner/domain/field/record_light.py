"""Rules on the light of a record: every count inside the window of its own point and pass, as the sky was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.conditions import Seen, Share
from planner.domain.field.record_ground import (
    READING,
    CountKey,
    CountLight,
    RecordGround,
    WindowLightOfDate,
    begin_of,
    count_words,
    end_of,
    minutes_words,
    record_finding,
)
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.light import Span
from planner.domain.weather import Quantity
from planner.domain.window import StartRule, Window

_MEND = "Mend the times if they are wrong; else the point does not count."
_SLIPS_MINUTES = (60, -60, 720, -720, 1440, -1440)
"""Slips that a whole record may suffer from: clocks that changed, twelve hours for twenty-four, a wrong date."""


class Sky(StrEnum):
    """The sky at the first count, where a window depends on it."""

    CLEAR = "clear"
    OVERCAST = "overcast"
    UNKNOWN = "unknown"


def sky_of(record: VisitRecord, window: Window) -> Sky:
    """Return which of a window's times hold: the cloud at the first count decides."""
    cloud = next((one for one in record.weather_first if one.quantity is Quantity.CLOUD), None)
    if cloud is not None and isinstance(cloud.measured, Share):
        return Sky.OVERCAST if cloud.measured.value > window.overcast_above_percent else Sky.CLEAR
    return Sky.CLEAR if cloud is not None and cloud.seen is Seen.NONE else Sky.UNKNOWN


@dataclass(frozen=True, slots=True)
class _Held:
    """One count held against its light."""

    count: PointRecord
    out: tuple[dt.timedelta, ...]
    """By how much it is outside under each sky that may have been; 0 or less: inside."""
    span: Span
    """Of the sky under which it is least outside."""
    early: bool
    limit_utc: dt.datetime

    @property
    def outside(self) -> bool:
        return min(self.out) > READING

    @property
    def hangs_on_sky(self) -> bool:
        return not self.outside and max(self.out) > READING


def window_of_record(record: VisitRecord, ground: RecordGround, planned: str) -> WindowLightOfDate | None:
    """Return the window that most of a record's counts lie in; of equals the planned one, then the protocol's first.

    None where the date lies outside the season.
    """

    def inside(one: WindowLightOfDate) -> tuple[int, bool]:
        held = _held(record, ground, one, dt.timedelta(0))
        return sum(not each.outside for each in held), one.window.name == planned

    return max(ground.windows, key=inside, default=None)


def outside_light(
    record: VisitRecord, ground: RecordGround, chosen: WindowLightOfDate
) -> Iterator[tuple[CountKey, Finding]]:
    """Yield the finished counts that lie outside the light of their own point and pass; they do not stand."""
    if not chosen.light:
        yield from _no_window(record, chosen)
        return
    held = _held(record, ground, chosen, dt.timedelta(0))
    hint = _slip(record, ground, chosen, held)
    for one in held:
        if one.outside:
            yield one.count.key, _outside(record, ground, one, hint)


def _no_window(record: VisitRecord, chosen: WindowLightOfDate) -> Iterator[tuple[CountKey, Finding]]:
    what = f"The date has no {chosen.window.name} window: {chosen.reason or 'some of its points have none'}."
    told = record_finding(record, Rule.RECORD_WINDOW, Severity.TROUBLE, what, "Look whether the date is right.")
    for count in record.done:
        yield count.key, told


def light_doubts(record: VisitRecord, ground: RecordGround, chosen: WindowLightOfDate) -> Iterator[Finding]:
    """Yield what does not cost a point: a start that was to be exact, and counts that hang on a sky nobody noted."""
    held = _held(record, ground, chosen, dt.timedelta(0))
    hanging = sorted(one.count.point for one in held if one.hangs_on_sky)
    if hanging:
        what = (
            f"The light window depends on the sky, and the cloud at the first count is not written down:"
            f" {len(hanging)} of {len(held)} counts lie inside it under one sky only."
        )
        yield record_finding(record, Rule.RECORD_WINDOW, Severity.DOUBT, what, "Ask the team how cloudy it was.")
    for number, run in enumerate(chosen.window.passes, start=1):
        mine = [one for one in held if one.count.pass_number == number]
        first = min(mine, key=lambda one: _began(one.count, ground), default=None)
        if run.start is StartRule.EXACTLY and first is not None and not first.outside:
            yield from _late_start(record, ground, first)


def _late_start(record: VisitRecord, ground: RecordGround, first: _Held) -> Iterator[Finding]:
    late = _began(first.count, ground) - ground.settle - first.span.open_utc
    if late > READING:
        what = (
            f"The first count began {minutes_words(late)} after the opening at {ground.clock(first.span.open_utc)};"
            " the protocol asks to begin exactly then."
        )
        todo = "The counts lie inside the window; decide whether they stand."
        point = first.count.point
        yield record_finding(record, Rule.RECORD_WINDOW, Severity.TROUBLE, what, todo, point=point)


def _outside(record: VisitRecord, ground: RecordGround, one: _Held, hint: str) -> Finding:
    by = minutes_words(min(one.out))
    name, limit = count_words(one.count, ground), ground.clock(one.limit_utc)
    if one.early:
        began = ground.clock(_began(one.count, ground))
        what = f"The count at {name} began at {began}, {by} before its light window opens at {limit}."
    else:
        ended = ground.clock(end_of(one.count, ground) or one.limit_utc)
        what = f"The count at {name} ended at {ended}, {by} after its light window closes at {limit}."
    return record_finding(record, Rule.RECORD_WINDOW, Severity.TROUBLE, what, f"{_MEND}{hint}", point=one.count.point)


def _slip(record: VisitRecord, ground: RecordGround, chosen: WindowLightOfDate, held: Sequence[_Held]) -> str:
    """Return a hint where all counts would lie inside if every time were off by one and the same slip."""
    if len(held) < 2 or not all(one.outside for one in held):
        return ""
    for minutes in _SLIPS_MINUTES:
        moved = _held(record, ground, chosen, dt.timedelta(minutes=minutes))
        if not any(one.outside for one in moved):
            hours = f"{abs(minutes) // 60} hour{'s' if abs(minutes) > 60 else ''}"
            words = f" All counts would lie inside if the times were {hours} {'later' if minutes > 0 else 'earlier'}"
            return f"{words}{': the clocks change on this night.' if _clocks_change(record, ground) else '.'}"
    return ""


def _clocks_change(record: VisitRecord, ground: RecordGround) -> bool:
    noon = dt.datetime.combine(record.key.date, dt.time(12), tzinfo=ground.season.tzinfo)
    days = [noon + dt.timedelta(days=days) for days in (-1, 0, 1)]
    return len({day.utcoffset() for day in days}) > 1


def _held(
    record: VisitRecord, ground: RecordGround, chosen: WindowLightOfDate, shift: dt.timedelta
) -> tuple[_Held, ...]:
    """Hold every finished count with a time against its light, all times moved by a shift."""
    sky = sky_of(record, chosen.window)
    return tuple(
        _one_held(count, ground, _spans(chosen.light[count.key], sky), _run_limit(record, ground, chosen, count), shift)
        for count in record.done
        if count.key in chosen.light and begin_of(count, ground) is not None
    )


def _spans(light: CountLight, sky: Sky) -> tuple[Span, ...]:
    if light.overcast is None or sky is Sky.CLEAR:
        return (light.clear,)
    return (light.overcast,) if sky is Sky.OVERCAST else (light.clear, light.overcast)


def _run_limit(
    record: VisitRecord, ground: RecordGround, chosen: WindowLightOfDate, count: PointRecord
) -> dt.datetime | None:
    """Return when a pass must be over that may last so many minutes from its start; None where it may last on."""
    within = chosen.window.passes[count.pass_number - 1].within_minutes
    if within is None:
        return None
    begins = [begin_of(one, ground) for one in record.done if one.pass_number == count.pass_number]
    start = min(moment for moment in begins if moment is not None) - ground.settle
    return start + dt.timedelta(minutes=within)


def _one_held(
    count: PointRecord, ground: RecordGround, spans: Sequence[Span], run_limit: dt.datetime | None, shift: dt.timedelta
) -> _Held:
    began, ended = _began(count, ground) + shift, _ended(count, ground) + shift
    limits = [min(span.close_utc, run_limit + shift) if run_limit is not None else span.close_utc for span in spans]
    early = [span.open_utc - began for span in spans]
    late = [ended - limit for limit in limits]
    out = tuple(map(max, early, late))
    best = out.index(min(out))
    is_early = early[best] >= late[best]
    return _Held(count, out, spans[best], is_early, spans[best].open_utc if is_early else limits[best])


def _began(count: PointRecord, ground: RecordGround) -> dt.datetime:
    began = begin_of(count, ground)
    assert began is not None, "only counts with a time are held against the light"
    return began


def _ended(count: PointRecord, ground: RecordGround) -> dt.datetime:
    ended = end_of(count, ground)
    assert ended is not None, "only counts with a time are held against the light"
    return ended
