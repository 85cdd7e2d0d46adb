"""An outing as a row of moments: what a telephone shows one after the other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.outing import StepKind
from planner.printing.times import LocalClock
from planner.printing.timetable import Pause, Stop, Times, Timetable

_WORK = {StepKind.SETUP: "Set-up", StepKind.HABITAT: "Habitat"}


@dataclass(frozen=True, slots=True)
class Event:
    """One line of an outing; its times are those that stand on paper."""

    title: str
    """'Leave home', 'Count', 'Habitat', 'Wait', 'Due home'."""
    begin_utc: dt.datetime
    """The time that is shown large."""
    end_utc: dt.datetime
    """From then on it is over."""
    point: int | None = None
    lines: tuple[str, ...] = ()
    """What else is to be known: until when, from when one is there, how long the drive takes."""


def events(table: Timetable, clock: LocalClock) -> tuple[Event, ...]:
    """Return the moments of an outing under one sky, in the order of the evening."""
    key = table.key
    passes = max((leg.pass_number for leg in table.legs), default=1)
    rows = [_stop_event(stop, clock, passes) for stop in table.stops]
    rows += [_pause_event(pause, clock) for pause in table.pauses]
    leave = Event("Leave home", key.leave_home_utc, key.leave_home_utc, lines=("at the latest",))
    home = Event("Due home", key.due_home_utc, key.due_home_utc, lines=("Say that you are back.",))
    return (leave, *sorted(rows, key=lambda event: event.begin_utc), home)


def _stop_event(stop: Stop, clock: LocalClock, passes: int) -> Event:
    work = " and ".join(_WORK[kind].lower() for kind in stop.ground_kinds).capitalize()
    run = f", run {stop.pass_number}" if passes > 1 and stop.count is not None else ""
    title = " and ".join(part for part in (work, "count" if work else "Count") if part)
    if stop.count is None:
        title = work
    times = [times for times in (stop.ground, stop.count) if times is not None]
    lines = [*_until(stop, clock), *_arrival(stop, clock)]
    return Event(title + run, times[0][0], times[-1][1], stop.point, tuple(lines))


def _until(stop: Stop, clock: LocalClock) -> Iterator[str]:
    """Yield until when each thing lasts; both with their beginnings where there are two."""
    if stop.ground is not None and stop.count is not None:
        yield f"{' and '.join(_WORK[kind] for kind in stop.ground_kinds)} {_span(stop.ground, clock)}"
        yield f"Count {_span(stop.count, clock)}"
        return
    for times in (stop.ground, stop.count):
        if times is not None:
            yield f"until {clock.show(times[1])}"


def _span(times: Times, clock: LocalClock) -> str:
    return f"{clock.show(times[0])} to {clock.show(times[1])}"


def _arrival(stop: Stop, clock: LocalClock) -> Iterator[str]:
    if stop.arrive_utc is not None:
        yield f"there {clock.show(stop.arrive_utc)}, {stop.drive_minutes} min drive"


def _pause_event(pause: Pause, clock: LocalClock) -> Event:
    begin, end = pause.times
    return Event("Wait", begin, end, pause.point, (f"until {clock.show(end)}",))
