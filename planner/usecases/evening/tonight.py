"""One evening as a coordinator keeps watch over it: who is out, who is overdue, what stands against the weather."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.check_in import USUAL_GRACE
from planner.domain.disruption import Disruption
from planner.domain.errors import ImpossibleError
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.evening.outings import EveningOuting, date_to_show, neighbour_dates, outings_on
from planner.usecases.evening.visits_meant import cancelled
from planner.usecases.evening.watch import (
    OutingNow,
    PersonNow,
    StillOut,
    actions_due,
    dates_to_watch,
    evening_records,
    longest_overdue,
    outings_now,
    still_out,
)
from planner.usecases.plan.placing import problem_of


@dataclass(frozen=True, slots=True)
class Evening:
    """One date at one moment, and everybody of any date who must be rung."""

    season: Season
    date: dt.date
    now: dt.datetime
    outings: tuple[OutingNow, ...]
    """Of the date, in the order in which they leave."""
    watched: tuple[OutingNow, ...]
    """Of all dates on which somebody may have to act."""
    strays: tuple[StillOut, ...]
    before: dt.date | None
    """The date before on which somebody goes out; None: there is none."""
    after: dt.date | None

    @property
    def overdue(self) -> tuple[tuple[OutingNow, PersonNow], ...]:
        """Everybody who must be rung, who is longest overdue first."""
        return longest_overdue(self.watched, self.now)

    @property
    def against_weather(self) -> tuple[OutingNow, ...]:
        """The outings, of any date that is watched, which stand although the protocol says no-go."""
        return tuple(one for one in self.watched if one.stands_against_weather)

    @property
    def due(self) -> int:
        """How many things want somebody to act."""
        return actions_due(self.watched, self.strays)


def evening_of(
    file: SeasonFile, now: dt.datetime, date: dt.date | None = None, grace: dt.timedelta = USUAL_GRACE
) -> Evening:
    """Return how an evening stands; the file is not changed.

    Args:
        file: the season file.
        now: the moment, with its zone.
        date: which evening; None: today, or the next date on which somebody goes out.
        grace: how long after the time due back somebody counts as overdue.

    Raises:
        ImpossibleError: the road map is gone.
    """
    season, plan, records = file.season(), file.plan(), evening_records(file)
    today = now.astimezone(season.tzinfo).date()
    date = date or date_to_show(plan, today)
    watched = dates_to_watch(plan, records, today)
    timed = timetables(file, {date, *watched}, today)

    def at(day: dt.date) -> tuple[OutingNow, ...]:
        return outings_now(timed[day], season.protocol, records, now, grace)

    return Evening(
        season,
        date,
        now,
        outings=at(date),
        watched=tuple(one for day in watched for one in at(day)),
        strays=still_out(plan, records),
        before=neighbour_dates(plan, date)[0],
        after=neighbour_dates(plan, date)[1],
    )


def no_go_cancels(file: SeasonFile, date: dt.date) -> Disruption:
    """Return what it is that weather takes the visits of a date that the protocol says no-go to.

    Raises:
        ImpossibleError: it says so of none, or the road map is gone.
    """
    season, records = file.season(), evening_records(file)
    noon = dt.datetime.combine(date, dt.time(12), tzinfo=season.tzinfo)  # before anybody is home
    outings = outings_now(timetables(file, {date}, date)[date], season.protocol, records, noon, USUAL_GRACE)
    keys = tuple(one.outing.key for one in outings if one.stands_against_weather)
    if not keys:
        raise ImpossibleError(
            f"No visit of {date:%a} {date.day} {date:%b} stands against the weather, as far as it is written down.",
            "Write down what is forecast or seen of that evening, or cancel the whole of it.",
        )
    return cancelled(keys)


def timetables(file: SeasonFile, dates: set[dt.date], today: dt.date) -> dict[dt.date, tuple[EveningOuting, ...]]:
    """Return the outings of some dates with their times.

    Raises:
        ImpossibleError: the road map is gone.
    """
    problem, plan = problem_of(file, today=today), file.plan()
    return {date: outings_on(problem, plan, date) for date in sorted(dates)}
