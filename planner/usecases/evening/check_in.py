"""Write down who has left, arrived, or is safe home; and take it back where it was a slip."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from enum import StrEnum

from planner.domain.check_in import USUAL_GRACE, CheckIn, Stage
from planner.domain.errors import RuleError
from planner.domain.season import Season
from planner.store import Changed, SeasonFile

__all__ = ["USUAL_GRACE", "Early", "check_in", "moment_of", "take_back_check_in", "too_early"]


class Early(StrEnum):
    """Why a check-in comes sooner than it can be true; it may be written down all the same."""

    EVENING = "the evening has not come yet"
    MOMENT = "the moment has not come yet"
    LEAVING = "nobody leaves before that by the plan"


def too_early(
    date: dt.date, leave_utc: dt.datetime | None, said: dt.datetime, now: dt.datetime, zone: dt.tzinfo
) -> Early | None:
    """Return what speaks against a check-in that is about to be written down; None: nothing does.

    Args:
        date: of the outing.
        leave_utc: when the first of the team leaves; None where that is not known, or somebody has left already.
        said: the moment that would be written down, with its zone.
        now: the present moment, with its zone.
        zone: the season's zone.
    """
    begins = leave_utc.astimezone(zone).date() if leave_utc is not None else date
    if now.astimezone(zone).date() < begins:
        return Early.EVENING
    if said > now:
        return Early.MOMENT
    return Early.LEAVING if leave_utc is not None and said < leave_utc else None


def moment_of(clock: dt.time, near: dt.datetime, zone: dt.tzinfo) -> dt.datetime:
    """Return the moment (UTC) that is meant by a time of day somebody rings in with: that nearest to what is expected.

    Args:
        clock: the time of day in the season's zone, as it was said.
        near: when it was expected, with its zone: an outing may end after midnight.
        zone: the season's zone.
    """
    day = near.astimezone(zone).date()
    days = (day + dt.timedelta(days=offset) for offset in (-1, 0, 1))
    meant = [
        dt.datetime.combine(date, clock.replace(fold=fold), tzinfo=zone).astimezone(dt.UTC)
        for date in days
        for fold in (0, 1)
    ]
    return min(meant, key=lambda moment: abs(moment - near))


def check_in(file: SeasonFile, words: Sequence[CheckIn]) -> Changed:
    """Write down what people rang in with, as one step; a later word on the same stage replaces the earlier.

    Raises:
        RuleError: nothing is given, or a route or volunteer is not in the season.
    """
    if not words:
        raise RuleError("nobody is named who has rung in")
    season = file.season()
    for word in words:
        season.route(word.route)
        season.volunteer(word.volunteer)
    kept = {one.key: one for one in file.check_ins()} | {one.key: one for one in words}
    with file.step(_label(season, words)) as step:
        file.save_check_ins(kept.values())
    return step.changed


def take_back_check_in(file: SeasonFile, date: dt.date, route: str, volunteer: str, stage: Stage) -> Changed:
    """Take one word back, as one step.

    Raises:
        RuleError: it was not written down.
    """
    kept = {one.key: one for one in file.check_ins()}
    if kept.pop((date, route, volunteer, stage), None) is None:
        raise RuleError(f"{volunteer} has not rung in as {stage.value} on {date}, so there is nothing to take back")
    with file.step(f"Check-in taken back: {volunteer} {stage.value}, {route}") as step:
        file.save_check_ins(kept.values())
    return step.changed


def _label(season: Season, words: Sequence[CheckIn]) -> str:
    first = words[0]
    people = " and ".join(dict.fromkeys(word.volunteer for word in words))
    return f"Check-in: {people} {first.stage.value} at {first.when_utc.astimezone(season.tzinfo):%H:%M}, {first.route}"
