"""Say in words what of a volunteer's visits is otherwise than on the paper they have."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.usecases.wording import day_words

SAME_VISITS = "The visits are the same; times, places or telephone numbers on it differ."


def changes_in_words(code: str, before: Plan, after: Plan, season: Season) -> tuple[str, ...]:
    """Return what changed of somebody's visits between two plans, by route and visit.

    Where nothing did, one sentence says that something else on the paper must have.
    """
    then = {visit.key: visit for visit in before.of_volunteer(code)}
    now = {visit.key: visit for visit in after.of_volunteer(code)}
    said = [words for key in sorted({*then, *now}) for words in _of_visit(code, then.get(key), now.get(key), season)]
    return tuple(said) or (SAME_VISITS,)


def _of_visit(code: str, before: PlannedVisit | None, after: PlannedVisit | None, season: Season) -> Iterator[str]:
    if before is not None and after is not None:
        yield from _of_days(after.key, before, after)
        yield from _of_people(after.key, code, before, after, season)
    for visit, words in ((before, "theirs no longer"), (after, "new")):
        if visit is not None and None in (before, after):
            yield f"{visit.key} on {day_words(visit.date)} is {words}."


def _of_days(key: VisitKey, before: PlannedVisit, after: PlannedVisit) -> Iterator[str]:
    if before.date != after.date:
        yield f"{key} goes from {day_words(before.date)} to {day_words(after.date)}."
    elif before.window != after.window:
        yield f"{key} is at {after.window}, no longer at {before.window}."
    for what, old, new in (
        ("reserve date", before.reserve, after.reserve),
        ("set-up day", before.setup, after.setup),
    ):
        if old != new:
            yield f"{key}: its {what} is {_day_or_none(new)}, was {_day_or_none(old)}."


def _of_people(key: VisitKey, code: str, before: PlannedVisit, after: PlannedVisit, season: Season) -> Iterator[str]:
    if (before.lead == code) != (after.lead == code):
        yield f"{key}: they {'lead it' if after.lead == code else 'are the second'} now."
    old, new = (next((one for one in visit.people if one != code), "") for visit in (before, after))
    if old != new:
        names = {person.code: person.first_name for person in season.volunteers}
        yield f"{key}: they go with {names.get(new, new)}." if new else f"{key}: they go alone."


def _day_or_none(day: dt.date | None) -> str:
    return "none" if day is None else day_words(day)
