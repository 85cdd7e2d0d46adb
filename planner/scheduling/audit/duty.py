"""What one person is asked for: one outing a day, and no more visits than they offered."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.season import Season
from planner.scheduling.audit.words import day_words, listed


def _duties(visit: PlannedVisit) -> Iterator[tuple[str, dt.date, str]]:
    """Yield who is bound on which date by a visit, and by which part of it."""
    for code in visit.people:
        yield code, visit.date, "date"
        if visit.reserve is not None and visit.status is not Status.DONE:
            yield code, visit.reserve, "reserve date"
    if visit.setup is not None:
        yield visit.lead, visit.setup, "set-up day"


def days_twice(season: Season, plan: Plan) -> Iterator[Finding]:
    """Yield a finding for each date on which a person is bound by two visits.

    A set-up on the date of its own survey is one outing with it.
    """
    known = {volunteer.code for volunteer in season.volunteers}
    bound: dict[tuple[str, dt.date], dict[PlannedVisit, str]] = defaultdict(dict)
    for visit in plan:
        for code, day, part in _duties(visit):
            bound[code, day].setdefault(visit, part)
    for (code, day), visits in sorted(bound.items(), key=lambda item: (item[0][1], item[0][0])):
        if code in known and len(visits) > 1:
            parts = listed(f"the {part} of {visit.key}" for visit, part in visits.items())
            what = f"{code} is wanted twice on {day_words(day)}: {parts}."
            subject = _to_change(list(visits), code, day)
            yield Finding(Rule.DAY_TWICE, Severity.BROKEN, subject, what, "Move one of them, or give it to another.")


def overloaded(season: Season, plan: Plan) -> Iterator[Finding]:
    """Yield a finding for each person who goes out on more visits than they offered."""
    for volunteer in season.volunteers:
        visits = plan.of_volunteer(volunteer.code)
        if len(visits) > volunteer.visits_limit:
            what = f"{volunteer.code} goes out on {len(visits)} visits, limit {volunteer.visits_limit}."
            todo = f"Give {len(visits) - volunteer.visits_limit} of them to others, or ask {volunteer.code} for more."
            subject = _to_change(visits, volunteer.code, None)
            yield Finding(Rule.LOAD_LIMIT, Severity.BROKEN, subject, what, todo)


def _to_change(visits: Sequence[PlannedVisit], code: str, day: dt.date | None) -> Subject:
    """Return the last of the visits that planning may still change; the last of all where it may change none."""
    open_ones = [visit for visit in visits if not visit.fixed]
    key = (open_ones or visits)[-1].key
    return Subject(route=key.route, visit=key.number, volunteer=code, date=day)
