"""Rules on who went and when: the planned people and date, the protocol's training, two places at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from planner.domain.field.record_ground import READING, record_finding
from planner.domain.field.visit_record import RecordKey, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import PlannedVisit
from planner.domain.route import Route
from planner.domain.season import Season


def unknown_visit(record: VisitRecord, season: Season) -> Iterator[Finding]:
    """Yield why a record can belong to no visit of the season: nothing else of it can be judged then."""
    key = record.key
    if key.route not in {route.code for route in season.routes}:
        what = f"The season has no route {key.route!r} with points."
        yield record_finding(record, Rule.RECORD_UNPLANNED, Severity.TROUBLE, what, "Look at the code of the route.")
    elif key.visit > len(season.protocol.visits):
        what = f"The protocol has visits 1 to {len(season.protocol.visits)}, not {key.visit}."
        yield record_finding(record, Rule.RECORD_UNPLANNED, Severity.TROUBLE, what, "Look at the number of the visit.")


def wrong_date(
    record: VisitRecord, season: Season, route: Route, planned: PlannedVisit | None, today: dt.date | None
) -> Iterator[Finding]:
    """Yield what is wrong with the date of a record: to come, outside the visit's range, not the plan's.

    Args:
        record: of a route and visit that the season has.
        season: the season.
        route: the route.
        planned: the visit as it was planned when the team went; None: it was not.
        today: None: no date is to come.
    """
    date, dates = record.key.date, season.visit_dates(route, record.key.visit)
    if today is not None and date > today:
        what, todo = "The record is of a date that is still to come.", "Look at the date: its counts do not stand."
        yield record_finding(record, Rule.RECORD_UNPLANNED, Severity.TROUBLE, what, todo)
    if date not in dates:
        what = f"Visit {record.key.visit} runs from {_day(dates.first)} to {_day(dates.last)}."
        todo = "Look at the date and at the number of the visit; decide whether the counts stand."
        yield record_finding(record, Rule.RECORD_UNPLANNED, Severity.TROUBLE, what, todo)
    settled = record.stood is not None
    severity = Severity.NOTE if settled else Severity.DOUBT
    if planned is None:
        what = "The visit was never planned."
        todo = "" if settled else "Look at route, visit and date; a complete final record makes it a visit done."
        yield record_finding(record, Rule.RECORD_UNPLANNED, severity, what, todo)
    elif date == planned.reserve:
        what = f"Done on the reserve date; it was planned for {_day(planned.date)}."
        yield record_finding(record, Rule.RECORD_UNPLANNED, Severity.NOTE, what, "")
    elif date != planned.date:
        what = f"It was planned for {_day(planned.date)}."
        todo = "" if settled else "Look whether the date is right."
        yield record_finding(record, Rule.RECORD_UNPLANNED, severity, what, todo)


def wrong_people(record: VisitRecord, season: Season, route: Route, planned: PlannedVisit | None) -> Iterator[Finding]:
    """Yield what is wrong with who went: nobody named, strangers, too few, an untrained lead, not the planned ones."""
    if not record.team:
        what, todo = "Nobody is named who went.", "Write down who did."
        yield record_finding(record, Rule.RECORD_PEOPLE, Severity.DOUBT, what, todo)
        return
    known = {one.code: one for one in season.volunteers}
    for code in record.team:
        if code not in known:
            what, todo = f"The season has no volunteer {code!r}.", "Look at the code, or bring this person in."
            yield record_finding(record, Rule.RECORD_PEOPLE, Severity.TROUBLE, what, todo, volunteer=code)
    needed = season.people_for(route)
    if len(record.team) < needed:
        what = f"{len(record.team)} person went, route {route.code} needs {needed}."
        todo = "Decide whether the counts stand, and remind the team: two go for safety or by the protocol."
        yield record_finding(record, Rule.RECORD_PEOPLE, Severity.TROUBLE, what, todo)
    lead = known.get(record.team[0])
    missing = sorted(set(season.protocol.people.lead_training) - lead.training) if lead is not None else []
    if missing:
        what = f"{record.team[0]} led without the training {', '.join(missing)}."
        todo = "Enter the training if it was done; else decide whether the counts stand."
        yield record_finding(record, Rule.RECORD_PEOPLE, Severity.TROUBLE, what, todo, volunteer=record.team[0])
    if planned is not None and set(record.team) != set(planned.people):
        what = f"{' and '.join(record.team)} went; {' and '.join(planned.people)} was planned."
        yield record_finding(record, Rule.RECORD_PEOPLE, Severity.NOTE, what, "")


Spans = Mapping[RecordKey, tuple[dt.datetime, dt.datetime]]
"""From when to when the team of each record was out; a record without times is not here."""


def two_places(record: VisitRecord, other: VisitRecord, spans: Spans) -> Iterator[Finding]:
    """Yield where somebody would have been out for two records at one time."""
    both = sorted(set(record.team) & set(other.team))
    if not both or record.key not in spans or other.key not in spans:
        return
    (began, ended), (other_began, other_ended) = spans[record.key], spans[other.key]
    if min(ended, other_ended) - max(began, other_began) > READING:
        what = f"{' and '.join(both)} would have been on {other.key} at the same time."
        todo = "Look who was on which route, and at the times."
        yield record_finding(record, Rule.RECORD_TIMES, Severity.TROUBLE, what, todo, volunteer=both[0])


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
