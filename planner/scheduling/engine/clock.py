"""The running plan's clock: tells how it stands, and stops when asked to."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.instance import Instance
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH
from planner.scheduling.engine.solution import value_of
from planner.scheduling.engine.tier_bounds import NOTHING_PROVEN, TierBounds
from planner.scheduling.engine.weights import SEASON
from planner.scheduling.result import OnEvent, Progress, Stop


class StopAsked(Exception):  # noqa: N818 - not an error: the user's wish, on its way up
    """The stop criterion holds; the best plan so far is kept."""


@dataclass(slots=True)
class Clock:
    """Counts rounds, keeps the best plan and bound, reports each event."""

    instance: Instance
    stop: Stop
    on_event: OnEvent
    began: float = field(default_factory=time.monotonic)
    rounds: int = 0
    best: dict[int, Column] = field(default_factory=dict)
    value: float = float("inf")
    bound: float = float("-inf")
    aims: TierBounds = NOTHING_PROVEN

    def offer(self, solution: dict[int, Column]) -> bool:
        """Keep a plan if it is better; says whether it was."""
        value = value_of(self.instance, solution)
        if value < self.value:
            self.best, self.value = solution, value
            return True
        return False

    def prove(self, bound: float) -> None:
        """Keep a bound if it is higher, in the objective's own terms."""
        self.bound = max(self.bound, bound)

    @property
    def filled(self) -> int:
        """Open visits that the best plan fills."""
        return sum(column.filled for column in self.best.values())

    @property
    def reserved(self) -> int:
        """Open visits that it reserves."""
        return sum(column.reserved for column in self.best.values())

    @property
    def proven(self) -> bool:
        """Whether no plan can be better by anything that counts."""
        return self.value - self.bound < CLOSE_ENOUGH

    @property
    def stops(self) -> bool:
        """Whether the stop criterion holds by now."""
        return self.stop(self.progress("whole columns"))

    @property
    def seconds(self) -> float:
        """Wall time since the beginning."""
        return time.monotonic() - self.began

    def tick(self, stage: str) -> None:
        """Count a round, report it, and stop if that is asked.

        Raises:
            StopAsked: the stop criterion holds.
        """
        self.rounds += 1
        now = self.progress(stage)
        self.on_event(now)
        if self.stop(now):
            raise StopAsked

    def progress(self, stage: str) -> Progress:
        """Return how the running plan stands."""
        standing = self.instance.standing
        columns = self.best.values()
        return Progress(
            stage=stage,
            seconds=self.seconds,
            rounds=self.rounds,
            filled=standing.filled + self.filled,
            reserved=standing.reserved + self.reserved,
            drive_minutes=standing.drive_minutes + sum(self._driven(column) for column in columns),
            objective=self.value if self.value < float("inf") else None,
            bound=self.bound if self.bound > float("-inf") else None,
        )

    def _driven(self, column: Column) -> float:
        route = self.instance.routes[column.route]
        lead = dict(zip(route.leads.tolist(), route.lead_drive.tolist(), strict=True))
        second = dict(zip(route.seconds.tolist(), route.second_drive.tolist(), strict=True))
        one_way = sum(lead[c.lead] + (second[c.second] if c.second >= 0 else 0.0) for c in column.choices if c)
        first = column.choices[0]
        if first is not None and column.setup >= 0 and column.setup != first.date:
            one_way += lead[first.lead]
        return float(SEASON.drive * one_way)
