"""The letters that follow a change at once: the same as those that go with files, with what broke said beside."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from planner.domain.field.told import Told
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import news_of_change
from planner.usecases.sending.notice import Notice


def letters_after(
    problem: SeasonProblem, plans: tuple[Plan, Plan], told: Iterable[Told], now_utc: dt.datetime, because: str = ""
) -> tuple[Notice, ...]:
    """Return a letter to everybody whose outings differ: who would go out first comes first.

    A letter holds the reader's own outings, the first name and number of whoever goes with them, and the
    coordinator's number: of others it says nothing.

    Args:
        problem: the season with its light and drives.
        plans: the plan before the change, and after it.
        told: what people were told by files that went out.
        now_utc: the moment at which they are told: nobody is told to stay away from an evening that is over.
        because: what broke, in words that may be told to all of them. Empty: nothing is said of it.
    """
    before, after = plans
    return tuple(letter_to(one, because) for one in news_of_change(problem, before, after, told, now_utc))
