"""Who is out, who is overdue, and which outings stand against the weather: what the coordinator watches tonight."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.check_in import CheckIn, Stage, Whereabouts, whereabouts
from planner.domain.conditions import Conditions, conditions_at
from planner.domain.plan import Plan, Status
from planner.domain.protocol import Protocol
from planner.domain.verdict import Call, Verdict, verdict
from planner.store import SeasonFile
from planner.usecases.evening.outings import EveningOuting, Goer


@dataclass(frozen=True, slots=True)
class EveningRecords:
    """What the file keeps of evenings."""

    conditions: tuple[Conditions, ...] = ()
    check_ins: tuple[CheckIn, ...] = ()


@dataclass(frozen=True, slots=True)
class PersonNow:
    """One person of an outing at this moment."""

    goer: Goer
    whereabouts: Whereabouts
    heard: Mapping[Stage, dt.datetime]
    """What they rang in with, and when (UTC)."""


@dataclass(frozen=True, slots=True)
class OutingNow:
    """One outing at this moment."""

    outing: EveningOuting
    conditions: Conditions
    verdict: Verdict | None
    """None on a set-up day of its own, for the limits are those of counts, and once the visit is done."""
    people: tuple[PersonNow, ...]

    @property
    def overdue(self) -> tuple[PersonNow, ...]:
        """Those who must be rung."""
        return tuple(one for one in self.people if one.whereabouts.loud)

    @property
    def stands_against_weather(self) -> bool:
        """Whether it is still to happen although the protocol says no-go."""
        still = self.outing.status is not Status.DONE and any(
            one.whereabouts is not Whereabouts.SAFE for one in self.people
        )
        return still and self.verdict is not None and self.verdict.call is Call.NO_GO


@dataclass(frozen=True, slots=True)
class StillOut:
    """Somebody who left for an outing that the plan no longer has on that date, and is not home."""

    volunteer: str
    route: str
    date: dt.date
    since_utc: dt.datetime


def evening_records(file: SeasonFile) -> EveningRecords:
    """Read the conditions and check-ins that the file keeps."""
    return EveningRecords(file.conditions(), file.check_ins())


def outings_now(
    outings: Iterable[EveningOuting],
    protocol: Protocol,
    records: EveningRecords,
    now: dt.datetime,
    grace: dt.timedelta,
) -> tuple[OutingNow, ...]:
    """Return how outings stand at a moment.

    Args:
        outings: of one date or several.
        protocol: whose weather limits are asked.
        records: what is known and what was heard.
        now: the moment, with its zone.
        grace: how long after the time due back somebody counts as overdue.
    """
    return tuple(_now(outing, protocol, records, now, grace) for outing in outings)


def dates_to_watch(plan: Plan, records: EveningRecords, today: dt.date) -> tuple[dt.date, ...]:
    """Return the dates whose outings may want somebody to act now, whatever date is looked at.

    Yesterday, as an outing may end after midnight; today; earlier dates from which somebody is not home; and later
    ones whose conditions are known.
    """
    near = {today - dt.timedelta(days=1), today}
    open_ones = {word.date for word in _not_home(records.check_ins)}
    ahead = {one.date for one in records.conditions if one.date > today}
    planned = {date for visit in plan for date in (visit.date, visit.setup) if date is not None}
    return tuple(sorted((near | open_ones | ahead) & planned))


def still_out(plan: Plan, records: EveningRecords) -> tuple[StillOut, ...]:
    """Return who left for an outing that the plan has no more on that date, and has not said that they are home.

    An evening that is cancelled while somebody is on the way must reach them.
    """
    return tuple(
        StillOut(word.volunteer, word.route, word.date, word.when_utc)
        for word in _not_home(records.check_ins)
        if not any(_is_outing_of(visit.people, word) for visit in plan.of_route(word.route) if visit.date == word.date)
        and not any(visit.lead == word.volunteer for visit in plan.of_route(word.route) if visit.setup == word.date)
    )


def longest_overdue(outings: Iterable[OutingNow], now: dt.datetime) -> tuple[tuple[OutingNow, PersonNow], ...]:
    """Return everybody who must be rung with their outing; who is longest overdue comes first."""
    found = [(outing, person) for outing in outings for person in outing.overdue]
    return tuple(sorted(found, key=lambda one: (one[1].goer.due_utc or now, one[1].goer.code)))


def actions_due(outings: Sequence[OutingNow], strays: Sequence[StillOut]) -> int:
    """Return how many things want somebody to act: people overdue or astray, and outings against the weather."""
    overdue = sum(len(one.overdue) for one in outings)
    return overdue + len(strays) + sum(one.stands_against_weather for one in outings)


def _is_outing_of(people: Sequence[str], word: CheckIn) -> bool:
    return word.volunteer in people


def _not_home(check_ins: Iterable[CheckIn]) -> Iterator[CheckIn]:
    """Yield the first word of everybody who went out and has not said that they are home."""
    first: dict[tuple[dt.date, str, str], CheckIn] = {}
    home = set()
    for word in check_ins:
        key = word.date, word.route, word.volunteer
        if word.stage is Stage.HOME:
            home.add(key)
        elif key not in first or word.when_utc < first[key].when_utc:
            first[key] = word
    return (word for key, word in first.items() if key not in home)


def _now(
    outing: EveningOuting, protocol: Protocol, records: EveningRecords, now: dt.datetime, grace: dt.timedelta
) -> OutingNow:
    known = conditions_at(records.conditions, outing.date, outing.key.route)
    done = outing.status is Status.DONE
    words = [word for word in records.check_ins if (word.date, word.route) == (outing.date, outing.key.route)]
    return OutingNow(
        outing,
        known,
        verdict(protocol, outing.key.number, known) if outing.counts and not done else None,
        tuple(_person(goer, [word for word in words if word.volunteer == goer.code], now, grace, done=done)
              for goer in outing.people),
    )  # fmt: skip


def _person(goer: Goer, words: Sequence[CheckIn], now: dt.datetime, grace: dt.timedelta, *, done: bool) -> PersonNow:
    """Return one person; of a done visit they are done, too, unless they left and are not home, or are overdue."""
    heard = {word.stage: word.when_utc for word in words}
    leave, due = goer.leave_utc, goer.due_utc
    if leave is None or due is None:
        leave = min(heard.values(), default=now)
        due = leave + _LONGEST
    where = whereabouts(words, leave, due, now, grace)
    return PersonNow(goer, Whereabouts.DONE if done and where in _NOT_AWAY else where, heard)


_NOT_AWAY = (Whereabouts.AT_HOME, Whereabouts.UNHEARD, Whereabouts.NOT_KEPT)
_LONGEST = dt.timedelta(hours=6)
"""How long after the first word somebody is waited for whose outing has no timetable: our own assumption."""
