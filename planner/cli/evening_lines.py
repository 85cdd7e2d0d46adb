"""An evening in lines for a person: who must be rung, who is out, go or no-go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from planner.domain.check_in import Stage
from planner.domain.verdict import Call, Verdict
from planner.usecases.evening.outings import EveningOuting
from planner.usecases.evening.tonight import Evening
from planner.usecases.evening.watch import OutingNow, PersonNow
from planner.usecases.wording import day_words

_CALLS = {Call.GO: "GO", Call.WAIT: "WAIT", Call.NO_GO: "NO-GO"}


def alarm_lines(evening: Evening) -> Iterator[str]:
    """Yield whom to ring, whatever evening is looked at; the longest overdue first. Nothing where all is well."""
    zone = evening.season.tzinfo
    for now, person in evening.overdue:
        goer = person.goer
        due = f"was due back {clock(goer.due_utc, zone)}" if goer.due_utc else "has not said that they are home"
        yield f"OVERDUE  {goer.code} {goer.name} {due} on {day_words(now.outing.date)}, {now.outing.title}"
        yield f"         Ring {_number(goer.telephone)}; {_heard(person, zone)}."
        others = [one for one in now.people if one is not person]
        yield from (f"         With them: {one.goer.name}, {one.goer.telephone or 'no number'}" for one in others)
    for stray in evening.strays:
        one = evening.season.volunteer(stray.volunteer)
        away = f"left for {stray.route} on {day_words(stray.date)}, which is off the plan now"
        yield f"OUT      {one.code} {one.name} {away}"
        yield f"         Ring {_number(one.telephone)}; left {clock(stray.since_utc, zone)}."
    for (date, reasons), codes in _together(evening.against_weather).items():
        stand = "stands" if len(codes) == 1 else "stand"
        yield f"NO-GO    {day_words(date)}: {', '.join(codes)} {stand} against the weather"
        yield from (f"         {reason}" for reason in reasons)


def outing_lines(now: OutingNow, zone: dt.tzinfo) -> Iterator[str]:
    """Yield one outing: what it is, go or no-go, then each of its people."""
    outing = now.outing
    held = f", reserve {day_words(outing.reserve)}" if outing.reserve else ""
    call = f"  {call_words(now.verdict)}" if now.verdict is not None else ""
    yield f"{outing.title}, {what(outing)} ({outing.status.value}{held}){call}"
    if outing.trouble:
        yield f"    No timetable: {outing.trouble}"
    yield from (f"    {_person_line(person, zone)}" for person in now.people)


def reason_lines(outings: Sequence[OutingNow]) -> Iterator[str]:
    """Yield why outings of a date are to wait or not to go, those of one reason together."""
    calls = {one.outing.key.route: call_words(one.verdict) for one in outings}
    held_back = [one for one in outings if one.verdict is not None and one.verdict.call is not Call.GO]
    for (_, reasons), codes in _together(held_back).items():
        yield f"{calls[codes[0]]}  {', '.join(codes)}: {'; '.join(reasons)}"


def _together(outings: Sequence[OutingNow]) -> dict[tuple[dt.date, tuple[str, ...]], list[str]]:
    found: dict[tuple[dt.date, tuple[str, ...]], list[str]] = {}
    for one in outings:
        found.setdefault((one.outing.date, tuple(_reasons(one.verdict))), []).append(one.outing.key.route)
    return found


def _person_line(person: PersonNow, zone: dt.tzinfo) -> str:
    goer = person.goer
    times = f"leaves {clock(goer.leave_utc, zone)}, due back {clock(goer.due_utc, zone)}"
    return f"{goer.code} {goer.name}, {goer.telephone or 'no number'}: {times}; {person.whereabouts.value}"


def verdict_lines(verdict: Verdict) -> Iterator[str]:
    """Yield every limit of the protocol with what it was held against."""
    for one in verdict.limits:
        yield f"{_CALLS[one.call] if one.call is not None else 'NOTE':5s}  {one.why}"


def call_words(verdict: Verdict | None) -> str:
    """Return go, wait or no-go; a dash where there is nothing to judge."""
    return _CALLS[verdict.call] if verdict is not None else "-"


def what(outing: EveningOuting) -> str:
    """Return what an outing is for."""
    if not outing.counts:
        return f"set-up for visit {outing.key.number}"
    return f"{'set-up and ' if outing.setup else ''}visit {outing.key.number}"


def clock(moment: dt.datetime | None, zone: dt.tzinfo) -> str:
    """Return a moment's time of day in the season's zone; a dash where there is none."""
    return f"{moment.astimezone(zone):%H:%M}" if moment is not None else "-"


def evening_data(evening: Evening) -> dict[str, object]:
    """Return an evening for JSON."""
    return {
        "date": evening.date,
        "now": evening.now,
        "due": evening.due,
        "overdue": [
            {"route": now.outing.key.route, "date": now.outing.date, **_person_data(person)}
            for now, person in evening.overdue
        ],
        "still_out": evening.strays,
        "against_weather": [now.outing.key for now in evening.against_weather],
        "outings": [_outing_data(now) for now in evening.outings],
        "before": evening.before,
        "after": evening.after,
    }


def _outing_data(now: OutingNow) -> dict[str, object]:
    outing = now.outing
    return {
        "route": outing.key.route,
        "visit": outing.key.number,
        "title": outing.title,
        "set_up": outing.setup,
        "counts": outing.counts,
        "status": outing.status,
        "reserve": outing.reserve,
        "trouble": outing.trouble,
        "call": now.verdict.call if now.verdict is not None else None,
        "reasons": list(_reasons(now.verdict)),
        "people": [_person_data(person) for person in now.people],
    }


def _person_data(person: PersonNow) -> dict[str, object]:
    goer = person.goer
    return {
        "volunteer": goer.code,
        "name": goer.name,
        "telephone": goer.telephone,
        "leave_utc": goer.leave_utc,
        "due_utc": goer.due_utc,
        "whereabouts": person.whereabouts,
        "heard": {stage.value: moment for stage, moment in person.heard.items()},
    }


def _reasons(verdict: Verdict | None) -> Iterator[str]:
    return (one.why for one in verdict.reasons) if verdict is not None else iter(())


def _number(telephone: str) -> str:
    return telephone or "them: no number is written down"


def _heard(person: PersonNow, zone: dt.tzinfo) -> str:
    said = [f"{stage.value} {clock(person.heard[stage], zone)}" for stage in Stage if stage in person.heard]
    return f"heard: {', '.join(said)}" if said else "nothing was heard of them"
