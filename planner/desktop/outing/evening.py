"""What the picture of an outing is drawn from: lanes of steps over an hour scale."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.light import Span
from planner.domain.outing import Outing, Step, StepKind
from planner.printing.times import LocalClock
from planner.scheduling import OutingRun
from planner.usecases.evening.sun_path import SunPath

MINUTE = dt.timedelta(minutes=1)
_HALF_HOUR = 30
_PAD = dt.timedelta(minutes=12)
"""Room at both ends of the scale, so that a flag or a handle there can be read and taken hold of."""


@dataclass(frozen=True, slots=True)
class Lane:
    """One variant of the outing: under which sky, as it goes."""

    name: str
    """In words; empty where there is only one."""
    run: OutingRun
    short_name: str = ""
    """In a word, for the table."""

    @property
    def outing(self) -> Outing:
        """The outing as it goes."""
        return self.run.outing

    @property
    def spans(self) -> tuple[Span, ...]:
        """The light of each pass; none on a set-up day."""
        return self.outing.window.passes if self.outing.window is not None else ()

    def stands(self, step: Step) -> bool:
        """Whether what is done in a step counts: only a count that ends after its closing does not."""
        return step not in self.run.late_counts

    def follows_count(self, step: Step) -> bool:
        """Whether a step comes right after a count."""
        steps = self.outing.steps
        at = steps.index(step)
        return at > 0 and steps[at - 1].kind is StepKind.COUNT

    @property
    def binding(self) -> tuple[Step, Span] | None:
        """The last count of the pass that has least to spare, and the light of that pass; None without counts."""
        found = []
        for number, span in enumerate(self.spans, start=1):
            counts = [step for step in self.outing.of_kind(StepKind.COUNT) if step.pass_number == number]
            if counts:
                found.append((span.close_utc - counts[-1].end_utc, counts[-1], span))
        if not found:
            return None
        _, step, span = min(found, key=lambda one: one[0])
        return step, span


@dataclass(frozen=True, slots=True)
class Evening:
    """All that the picture of one outing shows."""

    sun: SunPath
    clock: LocalClock
    lanes: tuple[Lane, ...]
    latest_utc: dt.datetime
    """Latest departure as planned."""
    count_minutes: float
    tried: bool
    """Whether this is not what is planned."""

    @property
    def leave_utc(self) -> dt.datetime:
        """The departure that can be moved: that of the first lane."""
        return self.lanes[0].outing.leave_home_utc

    def range(self) -> tuple[dt.datetime, dt.datetime]:
        """Return the ends of the hour scale: full half hours round all that is shown, and some room."""
        moments = [self.latest_utc, *self._moments()]
        begin, end = min(moments) - _PAD, max(moments) + _PAD
        return _half_hour_before(begin), _half_hour_before(end) + _HALF_HOUR * MINUTE

    def _moments(self) -> Iterator[dt.datetime]:
        for lane in self.lanes:
            yield lane.outing.leave_home_utc
            yield lane.outing.due_home_utc
            for span in lane.spans:
                yield from (span.open_utc, span.close_utc)


@dataclass(frozen=True, slots=True)
class HourScale:
    """From moments to places across a widget and back."""

    begin: dt.datetime
    end: dt.datetime
    left: float
    width: float

    @property
    def right(self) -> float:
        """Where the scale ends."""
        return self.left + self.width

    def at(self, moment: dt.datetime) -> float:
        """Return the place of a moment, kept inside the scale."""
        share = (moment - self.begin) / (self.end - self.begin)
        return self.left + self.width * min(1.0, max(0.0, share))

    def moment(self, place: float) -> dt.datetime:
        """Return the moment at a place, kept inside the scale."""
        share = min(1.0, max(0.0, (place - self.left) / self.width))
        return self.begin + (self.end - self.begin) * share

    def shows(self, moment: dt.datetime) -> bool:
        """Whether the moment lies on the scale."""
        return self.begin <= moment <= self.end

    def hours(self, clock: LocalClock) -> Iterator[dt.datetime]:
        """Yield the full hours of the local clock on the scale."""
        first = clock.local(self.begin)
        moment = self.begin + MINUTE * ((60 - first.minute) % 60) - dt.timedelta(seconds=first.second)
        while moment <= self.end:
            yield moment
            moment += 60 * MINUTE


def _half_hour_before(moment: dt.datetime) -> dt.datetime:
    return moment.replace(minute=0 if moment.minute < _HALF_HOUR else _HALF_HOUR, second=0, microsecond=0)
