"""Somebody rings in: which outing they speak of, the moment they mean, and writing it down."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from planner.domain.check_in import CheckIn, Stage
from planner.domain.errors import ImpossibleError
from planner.store import SeasonFile
from planner.usecases.evening.check_in import Early, check_in, moment_of, take_back_check_in, too_early
from planner.usecases.evening.outings import EveningOuting, Goer
from planner.usecases.evening.tonight import timetables
from planner.usecases.evening.watch import StillOut, evening_records, still_out


@dataclass(frozen=True, slots=True)
class Call:
    """What somebody says on the telephone."""

    who: str
    """Code of the volunteer who rings."""
    stage: Stage
    clock: dt.time | None = None
    """The time of day they name, in the season's zone; None: now."""
    date: dt.date | None = None
    """Of the outing; None: of theirs about now."""
    team: bool = False
    """Whether they speak for everybody of the outing."""


@dataclass(frozen=True, slots=True)
class RungIn:
    """What came of a call."""

    label: str
    """The step as the history shows it; empty where all was so already."""
    date: dt.date
    """Of the outing."""
    route: str
    words: tuple[CheckIn, ...] = ()
    """What was written down."""
    early: Early | None = None
    """Why it comes sooner than it can be true; it is written down all the same."""
    outing: EveningOuting | None = None
    """None: the plan has it no more on that date; they left for it before it was cancelled."""


def ring_in(file: SeasonFile, call: Call, now: dt.datetime) -> RungIn:
    """Write down what somebody rings in with, as one step.

    Who left for an outing that the plan has no more, and says that they are home, is believed for that outing.

    Args:
        file: the season file.
        call: what they say.
        now: the present moment, with its zone.

    Raises:
        RuleError: the season has no such volunteer.
        ImpossibleError: they have no outing on that date or about now, the road map is gone, or they would be safe
            home at a time that has not come yet: nobody would look for them any more.
    """
    stray = _stray(file, call)
    if stray is not None:
        near = stray.since_utc if call.clock is not None else now
        moment = now if call.clock is None else moment_of(call.clock, near, file.season().tzinfo)
        words: tuple[CheckIn, ...] = (CheckIn(stray.date, stray.route, call.who, Stage.HOME, moment),)
        return RungIn(check_in(file, words).label, stray.date, stray.route, words)
    outing = _outing_of(file, call, now)
    heard = {(word.volunteer, word.stage) for word in evening_records(file).check_ins if _is_of(word, outing)}
    words = _words(outing, call, now, heard, file.season().tzinfo)
    if not words:
        return RungIn("", outing.date, outing.key.route, outing=outing)
    _refuse_home_to_come(words, now)
    early = _early(outing, words[0], now, heard, file.season().tzinfo)
    return RungIn(check_in(file, words).label, outing.date, outing.key.route, words, early, outing)


def take_back_call(file: SeasonFile, call: Call, now: dt.datetime) -> RungIn:
    """Take back what was written down by a slip, as one step.

    Raises:
        RuleError: the season has no such volunteer, or it was not written down.
        ImpossibleError: they have no outing on that date or about now, or the road map is gone.
    """
    outing = _outing_of(file, call, now)
    changed = take_back_check_in(file, outing.date, outing.key.route, call.who, call.stage)
    return RungIn(changed.label, outing.date, outing.key.route, outing=outing)


def nearest_outing(outings: Iterable[EveningOuting], who: str, moment: dt.datetime) -> EveningOuting | None:
    """Return that of somebody's outings which a moment lies in, else the nearest to it; None: they have none.

    An outing lies between the time they leave home and the time they are due back. Where neither is known, between
    noon and noon.
    """
    mine = [(outing, one) for outing in outings for one in outing.people if one.code == who]
    return min(mine, key=lambda one: _away_from(one[0], one[1], moment), default=(None, None))[0]


def _away_from(outing: EveningOuting, goer: Goer, moment: dt.datetime) -> dt.timedelta:
    noon = dt.datetime.combine(outing.date, dt.time(12), tzinfo=moment.tzinfo)
    first, last = goer.leave_utc or noon, goer.due_utc or noon + dt.timedelta(days=1)
    return max(first - moment, moment - last, dt.timedelta(0))


def _outing_of(file: SeasonFile, call: Call, now: dt.datetime) -> EveningOuting:
    """Return the outing that a call is about: on the date that is named, else the nearest of yesterday and today."""
    season = file.season()
    person = season.volunteer(call.who)
    local = now.astimezone(season.tzinfo)
    today = local.date()
    dates = {call.date} if call.date is not None else {today, today - dt.timedelta(days=1)}
    timed = timetables(file, dates, today)
    found = nearest_outing((one for outings in timed.values() for one in outings), call.who, local)
    if found is None:
        when = f"on {_said(call.date)}" if call.date is not None else "today or yesterday"
        planned = sorted(
            {date for visit in file.plan().of_volunteer(call.who) for date in (visit.date, visit.setup) if date}
        )
        raise ImpossibleError(
            f"{call.who} {person.name} has no outing {when}.",
            f"In the plan: {', '.join(map(_said, planned)) or 'none'}. Name the date of the outing.",
        )
    return found


def _stray(file: SeasonFile, call: Call) -> StillOut | None:
    """Return the outing of theirs that the plan has no more, where they say that they are home from it."""
    if call.stage is not Stage.HOME:
        return None
    strays = still_out(file.plan(), evening_records(file))
    return next((one for one in strays if one.volunteer == call.who and call.date in (None, one.date)), None)


def _words(
    outing: EveningOuting, call: Call, now: dt.datetime, heard: Collection[tuple[str, Stage]], zone: dt.tzinfo
) -> tuple[CheckIn, ...]:
    """Return what is to be written down; who speaks for all does not undo what others said themselves."""
    if call.team:
        people = [one for one in outing.people if (one.code, call.stage) not in heard]
    else:
        people = [one for one in outing.people if one.code == call.who]
    return tuple(
        CheckIn(outing.date, outing.key.route, one.code, call.stage, _moment(one, call, now, zone)) for one in people
    )


def _early(
    outing: EveningOuting, word: CheckIn, now: dt.datetime, heard: Collection[tuple[str, Stage]], zone: dt.tzinfo
) -> Early | None:
    """Return what speaks against a word; leaving before the latest departure is nobody's fault."""
    left = any((one.code, Stage.LEFT) in heard for one in outing.people)
    known = left or word.stage is Stage.LEFT
    return too_early(outing.date, None if known else outing.leave_utc, word.when_utc, now, zone)


def _refuse_home_to_come(words: Collection[CheckIn], now: dt.datetime) -> None:
    if any(word.stage is Stage.HOME and word.when_utc > now for word in words):
        why = "Say when they rang, or leave the time out; until they ring, they are looked for."
        raise ImpossibleError("Nobody is safe home at a time that has not come yet.", why)


def _is_of(word: CheckIn, outing: EveningOuting) -> bool:
    return (word.date, word.route) == (outing.date, outing.key.route)


def _moment(goer: Goer, call: Call, now: dt.datetime, zone: dt.tzinfo) -> dt.datetime:
    if call.clock is None:
        return now
    expected = goer.due_utc if call.stage is Stage.HOME else goer.leave_utc
    return moment_of(call.clock, expected or now, zone)


def _said(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
