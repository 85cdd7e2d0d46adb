"""One way on after a disruption, with everything that follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.plan import Explanation, Plan, PlannedVisit, VisitKey


@dataclass(frozen=True, slots=True)
class Move:
    """One visit that stands otherwise than before."""

    key: VisitKey
    before: PlannedVisit
    after: PlannedVisit | None
    """None: it is unfilled now."""

    @property
    def people(self) -> frozenset[str]:
        """Everybody whose paper speaks of it, before or after."""
        after = self.after.people if self.after is not None else ()
        return frozenset((*self.before.people, *after))

    @property
    def changed_people(self) -> frozenset[str]:
        """Who joins it, and who leaves it."""
        after = self.after.people if self.after is not None else ()
        return frozenset(self.before.people) ^ frozenset(after)

    @property
    def on_held_date(self) -> bool:
        """Whether it goes to the date that was held back for it."""
        return self.after is not None and self.after.date == self.before.reserve

    @property
    def moves_visit(self) -> bool:
        """Whether date or people differ, and not only what is held in reserve."""
        after = self.after
        return after is None or (after.date, after.people) != (self.before.date, self.before.people)


@dataclass(frozen=True, slots=True)
class TightGap:
    """The two visits of a changed route that follow each other most closely, against what the protocol asks."""

    route: str
    earlier: int
    later: int
    days: int
    """From the earlier visit, or its reserve date, to the later one."""
    least_days: int

    @property
    def to_spare(self) -> int:
        """Days more than asked."""
        return self.days - self.least_days


@dataclass(frozen=True, slots=True)
class WayOn:
    """A complete plan that gets round what broke."""

    plan: Plan
    moves: tuple[Move, ...]
    """Every visit that differs, those that broke first."""
    broken: tuple[VisitKey, ...]
    """The visits that could not stay as they were."""
    drive_change_minutes: float
    """Driving of all people, after less before."""
    without_reserve: tuple[VisitKey, ...]
    """Changed visits that have no reserve date now."""
    tightest_gap: TightGap | None
    """None where no changed route has two visits planned."""
    filled_before: int
    filled_after: int
    papers: tuple[str, ...]
    """Codes of the volunteers who need a fresh itinerary, and of nobody else."""
    value: float
    """Objective of the routes that were open to change, in minutes of driving."""
    bound: float
    """No plan of those routes has a lower one."""
    unfilled: tuple[Explanation, ...] = ()
    """Visits that broke and that this way leaves empty, with why and what would help."""
    note: str = ""
    """What the coordinator has to know beside it."""

    @property
    def full(self) -> bool:
        """Whether every visit that was filled is filled."""
        return not self.unfilled and self.filled_after >= self.filled_before

    @property
    def disturbance(self) -> tuple[float, ...]:
        """What ways are ordered by, least first.

        Visits lost; visits moved that had not broken; people who join a visit or leave it; people who need fresh
        papers; broken visits on a date that was not held for them; visits without a reserve date; driving.
        """
        others = sum(move.moves_visit and move.key not in self.broken for move in self.moves)
        return (
            self.filled_before - self.filled_after,
            others,
            sum(len(move.changed_people) for move in self.moves),
            len(self.papers),
            sum(not move.on_held_date for move in self.moves if move.moves_visit),
            len(self.without_reserve),
            self.drive_change_minutes,
        )
