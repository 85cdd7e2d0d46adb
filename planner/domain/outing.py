"""An outing minute by minute: what one team does on one date."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError
from planner.domain.light import LightWindow
from planner.domain.travel import DriveFigure


class StepKind(StrEnum):
    """What is done in one step of an outing."""

    DRIVE = "drive"
    SETUP = "set-up"
    HABITAT = "habitat"
    WAIT = "wait"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Step:
    """One block of an outing's timeline."""

    kind: StepKind
    start_utc: dt.datetime
    end_utc: dt.datetime
    point: int | None
    """The point where it happens; for a drive the point it leads to, None for home."""
    from_point: int | None = None
    """For a drive: the point it starts from, None for home."""
    leg: DriveFigure | None = None
    pass_number: int = 1

    def __post_init__(self) -> None:
        if self.end_utc < self.start_utc:
            raise RuleError(f"a step cannot end before it starts: {self.kind} at point {self.point}")

    @property
    def minutes(self) -> float:
        """Length in minutes."""
        return (self.end_utc - self.start_utc).total_seconds() / 60


@dataclass(frozen=True, slots=True)
class Squeeze:
    """What habitat between the counts would come to: why a separate habitat round is needed."""

    minutes_left_per_point: float
    """Minutes that would be left at each point for habitat if every count is to stay inside the window."""
    points_lost: tuple[int, ...]
    """Points whose count would fall out of the window with the protocol's habitat minutes."""


@dataclass(frozen=True, slots=True)
class Outing:
    """What one team does on one date: a set-up, a survey visit, or both."""

    route: str
    date: dt.date
    steps: tuple[Step, ...]
    window: LightWindow | None = None
    """None on a set-up day of its own."""
    order: tuple[int, ...] = ()
    """Points inside the window, in counting order."""
    missed: tuple[int, ...] = ()
    """Points whose count does not fit in the window."""
    margin_minutes: float | None = None
    """From the end of the last count to the closing of the window; None without counts."""
    squeeze: Squeeze | None = None
    overcast: Outing | None = None
    """The same outing under an overcast sky, where the protocol ties the window to the sky."""

    @property
    def leave_home_utc(self) -> dt.datetime:
        """Latest departure from home."""
        return self.steps[0].start_utc

    @property
    def due_home_utc(self) -> dt.datetime:
        """When the team is due back."""
        return self.steps[-1].end_utc

    def of_kind(self, kind: StepKind) -> tuple[Step, ...]:
        """Return the steps of one kind, in time order."""
        return tuple(step for step in self.steps if step.kind is kind)

    @property
    def way(self) -> tuple[int, ...]:
        """Points in the order in which they are gone to: that of the counts, without any that of the set-up."""
        work = (step.point for step in self.of_kind(StepKind.SETUP))
        return self.order or tuple(dict.fromkeys(point for point in work if point is not None))

    @property
    def drive_minutes(self) -> float:
        """All driving of the outing, in minutes."""
        return sum(step.minutes for step in self.of_kind(StepKind.DRIVE))
