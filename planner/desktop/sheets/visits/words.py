"""What is said of visit records on the screen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.desktop.sheets.words import tr
from planner.domain.disruption import Remains
from planner.domain.field.visit_record import RecordState, Stopped, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.season import Season
from planner.usecases.records import Judged
from planner.usecases.records.standing import RecordStanding


def standing_word(standing: RecordStanding) -> str:
    """Return where a record stands, in a word or two."""
    return {
        RecordStanding.OVERDUE: tr("overdue"),
        RecordStanding.AWAITED: tr("no record yet"),
        RecordStanding.DRAFT: tr("draft"),
        RecordStanding.PARTLY: tr("partly done"),
        RecordStanding.DONE: tr("done"),
        RecordStanding.TO_COME: tr("to come"),
    }[standing]


def standing_mark(standing: RecordStanding) -> Severity | None:
    """Return the mark beside that word; None: the tick of what is done."""
    return {
        RecordStanding.OVERDUE: Severity.TROUBLE,
        RecordStanding.AWAITED: Severity.NOTE,
        RecordStanding.DRAFT: Severity.DOUBT,
        RecordStanding.PARTLY: Severity.TROUBLE,
        RecordStanding.TO_COME: Severity.NOTE,
    }.get(standing)


def stopped_word(stopped: Stopped | None) -> str:
    """Return why a team stopped, as it is chosen from a list."""
    if stopped is None:
        return tr("not stopped early")
    return {
        Stopped.WEATHER: tr("the weather"),
        Stopped.LIGHT: tr("the light was gone"),
        Stopped.SAFETY: tr("it was not safe"),
        Stopped.ROAD: tr("the road was closed"),
        Stopped.VEHICLE: tr("the vehicle"),
        Stopped.ILLNESS: tr("somebody was ill"),
        Stopped.DISTURBANCE: tr("the team was disturbed"),
        Stopped.OTHER: tr("another reason"),
    }[stopped]


def clock_word(moment: dt.datetime | None, season: Season) -> str:
    """Return a time as the clock at the route shows it; empty where none is written."""
    return f"{moment.astimezone(season.tzinfo):%H:%M}" if moment is not None else ""


def person_words(season: Season, code: str) -> str:
    """Return code and name of somebody; the code alone where the season does not have them."""
    found = next((one.name for one in season.volunteers if one.code == code), "")
    return f"{code} {found}".strip()


def is_blank(record: VisitRecord) -> bool:
    """Whether nothing came back on a record yet but who is to go."""
    said = (record.counts, record.weather_first, record.weather_last, record.stopped, record.note)
    return (
        not any(said)
        and record.left_utc is None
        and record.home_utc is None
        and record.distance_km is None
        and record.second_km is None
    )


def follows_words(record: VisitRecord, judged: Judged) -> tuple[str, Severity | None]:
    """Return what the protocol says follows from a record, and the mark beside it; None: the tick."""
    if is_blank(record) and record.state is RecordState.DRAFT:
        return tr(
            "Nothing is written yet. Type a time such as 2143 and Tab; Enter goes to the next point."
        ), Severity.NOTE
    if not judged.known:
        worst = min(judged.findings, key=lambda one: one.severity)
        return f"{worst.what} {worst.todo}", Severity.TROUBLE
    told = next((one for one in judged.findings if one.rule is Rule.RECORD_FOLLOWS), None)
    mark = None if judged.follows is Remains.NOTHING else Severity.TROUBLE
    if told is None:
        words = _left_words(judged)
    elif told.severity is Severity.NOTE:
        words, mark = f"{told.what} {told.todo}".strip(), mark and Severity.NOTE
    else:
        words = told.what
    return (tr("Once handed in: %1", words) if record.state is RecordState.DRAFT else words), mark


def _left_words(judged: Judged) -> str:
    if judged.follows is Remains.NOTHING:
        return tr("%1 points count: nothing more is asked of this visit.", len(judged.points_that_count))
    counted = tr("%1 points count.", len(judged.points_that_count))
    if judged.follows is Remains.REST:
        points = ", ".join(map(str, judged.left))
        return f"{counted} " + tr("The rest may be counted on another day: points %1.", points)
    return f"{counted} " + tr("The whole visit is to be made again.")


def finding_lines(findings: Sequence[Finding]) -> str:
    """Return findings in full, a line for each."""
    return "\n".join(f"{one.what} {one.todo}".strip() for one in findings)
