"""What planning a season reports while it runs, when it stops, and what it hands back."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from planner.domain.plan import Explanation, Plan, VisitKey


@dataclass(frozen=True, slots=True)
class Progress:
    """One event of a running plan: what stands so far, and what is proven."""

    stage: str
    seconds: float
    rounds: int
    filled: int
    reserved: int
    drive_minutes: float
    objective: float | None = None
    bound: float | None = None
    """No plan can have a lower objective than this; None until it is known."""


Stop: TypeAlias = Callable[[Progress], bool]
"""Says whether to stop now and keep the best plan so far."""

OnEvent: TypeAlias = Callable[[Progress], None]


def never(_progress: Progress) -> bool:
    """Run until the plan is proven best, or the engine has nothing left to try."""
    return False


def after_seconds(limit: float) -> Stop:
    """Return a stop after that many seconds of wall time."""
    return lambda progress: progress.seconds >= limit


def after_rounds(limit: int) -> Stop:
    """Return a stop after that many rounds of work: the same answer on every machine."""
    return lambda progress: progress.rounds >= limit


def when_set(event: threading.Event) -> Stop:
    """Return a stop for when somebody presses Stop."""
    return lambda _progress: event.is_set()


def any_of(*stops: Stop) -> Stop:
    """Return a stop that holds as soon as one of them does."""
    return lambda progress: any(stop(progress) for stop in stops)


class Outcome(StrEnum):
    """How planning ended: three different things."""

    FINISHED = "finished"
    STOPPED = "stopped"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Tier:
    """One of the six aims, in order of importance: what the plan reaches and what is proven possible."""

    name: str
    value: float
    bound: float | None
    """The best that any plan could reach; None where nothing is proven."""


class ShortageKind(StrEnum):
    """What there is too little of."""

    VISITS = "visits"
    """Visits that people offer."""
    WEEK = "week"
    """People who are free in a week."""
    AREA = "area"
    """People who live near some routes."""
    SKILL = "skill"
    """People who have learnt something, or have a vehicle."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """Where a season is short of people, each verified by planning with one more."""

    kind: ShortageKind
    what: str
    """The weeks' Mondays, the routes' or volunteers' codes, the skill."""
    worth_minutes: float
    """What one more would gain by the model's prices, in minutes of driving; a visit filled counts 10 000."""
    words: str
    visits: tuple[VisitKey, ...] = ()
    """Those that lack something and that one more would mend, each of them alone."""


@dataclass(frozen=True, slots=True)
class SeasonResult:
    """A plan with what is known about it."""

    plan: Plan
    tiers: tuple[Tier, ...]
    outcome: Outcome
    why: str
    """Why it ended, in words."""
    explanations: tuple[Explanation, ...]
    seconds: float
    objective: float = 0.0
    bound: float | None = None
    shortages: tuple[Shortage, ...] = ()
    """Where people are short, the dearest first; empty where every visit is filled and has a reserve date."""
