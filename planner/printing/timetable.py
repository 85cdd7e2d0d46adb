"""An outing as it is followed on paper: stop by stop, in the order of the evening, times rounded to be safe."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.domain.light import Span
from planner.domain.outing import Outing, Step, StepKind
from planner.printing.times import minute_after, minute_before, printed_count, whole_minutes

Times = tuple[dt.datetime, dt.datetime]
"""From and to, in UTC, rounded for print."""

_GROUND = (StepKind.SETUP, StepKind.HABITAT)


@dataclass(frozen=True, slots=True)
class Stop:
    """One line of the timetable."""

    point: int
    drive_minutes: int | None
    """Minutes of the drive that leads here, rounded up; None where one is here already."""
    arrive_utc: dt.datetime | None
    ground: Times | None
    """Set-up and habitat at this point."""
    count: Times | None
    ground_kinds: tuple[StepKind, ...] = ()
    pass_number: int = 1

    @property
    def shape(self) -> tuple[bool, bool, tuple[StepKind, ...], int]:
        """What is done here: stops of one shape share a table."""
        return self.ground is not None, self.count is not None, self.ground_kinds, self.pass_number


@dataclass(frozen=True, slots=True)
class Leg:
    """Stops of one shape in a row: one table."""

    stops: tuple[Stop, ...]

    @property
    def counts(self) -> bool:
        """Whether counts are made."""
        return self.stops[0].count is not None

    @property
    def ground_kinds(self) -> tuple[StepKind, ...]:
        """What else is done at each point."""
        return self.stops[0].ground_kinds

    @property
    def pass_number(self) -> int:
        """Which run over the points."""
        return self.stops[0].pass_number


@dataclass(frozen=True, slots=True)
class Pause:
    """A wait at a point."""

    point: int
    times: Times


@dataclass(frozen=True, slots=True)
class KeyTimes:
    """The moments that the evening hangs on, rounded for print; None where the outing has no such moment."""

    leave_home_utc: dt.datetime
    arrive_utc: dt.datetime
    arrive_point: int | None
    opens_utc: dt.datetime | None
    counts_start_utc: dt.datetime | None
    last_count_ends_utc: dt.datetime | None
    closes_utc: dt.datetime | None
    done_utc: dt.datetime
    """End of the last thing done at a point."""
    due_home_utc: dt.datetime
    margin_minutes: int | None
    """Whole minutes from the printed end of the last count to the printed closing, as the reader adds them up;
    with several runs over the points that of the tightest."""


@dataclass(frozen=True, slots=True)
class Timetable:
    """One outing under one sky."""

    key: KeyTimes
    legs: tuple[Leg, ...]
    pauses: tuple[Pause, ...]
    spans: tuple[Span, ...]
    """The light window of each run, exact."""

    @property
    def stops(self) -> tuple[Stop, ...]:
        """All lines, in the order of the evening."""
        return tuple(stop for leg in self.legs for stop in leg.stops)


def timetable(outing: Outing, *, overcast: bool = False) -> Timetable:
    """Return the printed timetable of an outing; ``overcast`` says that it is the variant for a covered sky."""
    spans = _spans(outing, overcast=overcast)
    stops = tuple(_stops(outing.steps, spans))
    legs = tuple(Leg(tuple(same)) for _, same in groupby(stops, key=lambda stop: stop.shape))
    waits = (step for step in outing.of_kind(StepKind.WAIT) if step.point is not None and step.minutes >= 1)
    pauses = tuple(
        Pause(step.point, (minute_before(step.start_utc), minute_after(step.end_utc)))
        for step in waits
        if step.point is not None
    )
    return Timetable(_key_times(outing, stops, spans), legs, pauses, spans)


def _spans(outing: Outing, *, overcast: bool) -> tuple[Span, ...]:
    if outing.window is None:
        return ()
    return outing.window.overcast if overcast and outing.window.overcast else outing.window.passes


def _span_of(step: Step, spans: Sequence[Span]) -> Span | None:
    return spans[step.pass_number - 1] if step.pass_number <= len(spans) else None


@dataclass(frozen=True, slots=True)
class _Halt:
    """A drive and all that is done before the next one."""

    drive: Step | None
    work: tuple[Step, ...]


def _halts(steps: Sequence[Step]) -> Iterator[_Halt]:
    drive: Step | None = None
    work: list[Step] = []
    for step in steps:
        if step.kind is StepKind.DRIVE:
            if work:
                yield _Halt(drive, tuple(work))
            drive, work = step, []
        elif step.kind is not StepKind.WAIT:
            work.append(step)
    if work:
        yield _Halt(drive, tuple(work))


def _is_mixed(halt: _Halt) -> bool:
    kinds = {step.kind is StepKind.COUNT for step in halt.work}
    return len(kinds) == 2


def _stops(steps: Sequence[Step], spans: Sequence[Span]) -> Iterator[Stop]:
    """Yield the lines; where habitat and counts, or two runs, are apart, the halt that joins them gives two."""
    halts = list(_halts(steps))
    apart = not all(_is_mixed(halt) for halt in halts)
    for halt in halts:
        if apart:
            drive = halt.drive
            for _, work in groupby(halt.work, key=_what_and_run):
                yield _stop(_Halt(drive, tuple(work)), spans)
                drive = None
        else:
            yield _stop(halt, spans)


def _what_and_run(step: Step) -> tuple[bool, int]:
    return step.kind is StepKind.COUNT, step.pass_number


def _stop(halt: _Halt, spans: Sequence[Span]) -> Stop:
    ground = [step for step in halt.work if step.kind in _GROUND]
    counts = [step for step in halt.work if step.kind is StepKind.COUNT]
    point = halt.work[0].point
    return Stop(
        point=point if point is not None else 0,
        drive_minutes=None if halt.drive is None else whole_minutes(halt.drive.minutes),
        arrive_utc=None if halt.drive is None else minute_before(halt.drive.end_utc),
        ground=_ground_times(ground) if ground else None,
        count=printed_count(counts[0].start_utc, counts[-1].end_utc, _span_of(counts[0], spans)) if counts else None,
        ground_kinds=tuple(kind for kind in _GROUND if any(step.kind is kind for step in ground)),
        pass_number=halt.work[-1].pass_number,
    )


def _ground_times(steps: Sequence[Step]) -> Times:
    return minute_before(steps[0].start_utc), minute_before(steps[-1].end_utc)


def _key_times(outing: Outing, stops: Sequence[Stop], spans: Sequence[Span]) -> KeyTimes:
    counts = [stop.count for stop in stops if stop.count is not None]
    first = outing.steps[0]
    done = [times[1] for stop in stops for times in (stop.ground, stop.count) if times is not None]
    return KeyTimes(
        leave_home_utc=minute_before(outing.leave_home_utc),
        arrive_utc=minute_before(first.end_utc if first.kind is StepKind.DRIVE else first.start_utc),
        arrive_point=first.point,
        opens_utc=minute_after(spans[0].open_utc) if spans else None,
        counts_start_utc=counts[0][0] if counts else None,
        last_count_ends_utc=counts[-1][1] if counts else None,
        closes_utc=minute_before(spans[-1].close_utc) if spans else None,
        done_utc=done[-1] if done else minute_before(outing.due_home_utc),
        due_home_utc=minute_after(outing.due_home_utc),
        margin_minutes=_margin(stops, spans),
    )


def _margin(stops: Sequence[Stop], spans: Sequence[Span]) -> int | None:
    ends = {stop.pass_number: stop.count[1] for stop in stops if stop.count is not None}
    left = [
        (minute_before(span.close_utc) - ends[number]).total_seconds() // 60
        for number, span in enumerate(spans, start=1)
        if number in ends
    ]
    return int(min(left)) if left else None
