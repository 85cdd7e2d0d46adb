"""Check-in: who has left, arrived, and is safe home; and who should be rung."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError

USUAL_GRACE = dt.timedelta(minutes=30)
"""How long after the time due back somebody counts as overdue, where the coordinator has set nothing else: our own
assumption."""
SILENCE = dt.timedelta(hours=24)
"""Somebody of whom nothing was ever heard is rung up to this long after the time due back; later it is taken that
nobody kept check-in for that outing. Who is known to have left stays overdue for good: our own assumption."""


class Stage(StrEnum):
    """What somebody rings in with, in the order of the evening."""

    LEFT = "left"
    ARRIVED = "arrived"
    HOME = "safe home"


@dataclass(frozen=True, slots=True)
class CheckIn:
    """One word from one person about one outing."""

    date: dt.date
    """Of the outing."""
    route: str
    volunteer: str
    stage: Stage
    when_utc: dt.datetime

    def __post_init__(self) -> None:
        if self.when_utc.utcoffset() is None:
            raise RuleError("the moment of a check-in needs its time zone")
        object.__setattr__(self, "when_utc", self.when_utc.astimezone(dt.UTC))

    @property
    def key(self) -> tuple[dt.date, str, str, Stage]:
        """What there is one of: a later word on the same stage replaces the earlier."""
        return self.date, self.route, self.volunteer, self.stage


class Whereabouts(StrEnum):
    """Where somebody is taken to be."""

    OVERDUE = "overdue"
    UNHEARD = "not heard of"
    """The time to leave is past and nothing was heard."""
    AT_HOME = "not left yet"
    ON_THE_WAY = "on the way"
    THERE = "on the route"
    SAFE = "safe home"
    DONE = "done"
    """The visit is done, and nobody has to be waited for."""
    NOT_KEPT = "no check-in kept"

    @property
    def loud(self) -> bool:
        """Whether somebody must be rung."""
        return self is Whereabouts.OVERDUE


def whereabouts(
    heard: Iterable[CheckIn], leave_utc: dt.datetime, due_utc: dt.datetime, now: dt.datetime, grace: dt.timedelta
) -> Whereabouts:
    """Return where one person of one outing is taken to be.

    Args:
        heard: their words about that outing.
        leave_utc: when they leave home by the plan.
        due_utc: when they are due back.
        now: the moment that is asked about.
        grace: how long after the time due back they count as overdue.
    """
    stages = {word.stage for word in heard}
    if Stage.HOME in stages:
        return Whereabouts.SAFE
    if now > due_utc + grace:
        kept = bool(stages) or now <= due_utc + SILENCE
        return Whereabouts.OVERDUE if kept else Whereabouts.NOT_KEPT
    if Stage.ARRIVED in stages:
        return Whereabouts.THERE
    if Stage.LEFT in stages:
        return Whereabouts.ON_THE_WAY
    return Whereabouts.UNHEARD if now > leave_utc else Whereabouts.AT_HOME
