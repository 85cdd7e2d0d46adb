"""Who goes out how often and how far, against what they offered and against the others."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.finding import Finding, Severity
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.usecases.people.usable_dates import UsefulDates

_FAR_FROM_SHARE = 1.0
"""So many visits more or fewer than one's share are worth a word: fewer cannot be shared out evenly anyhow.
Our assumption, no published source."""


class LoadWord(StrEnum):
    """How somebody's visits stand to what they offered and to the others."""

    STAYS = "stays at home"
    """They offered no visits, and have none."""
    IDLE = "not used"
    """They offered visits and have none."""
    LESS = "less than their share"
    FAIR = "a fair share"
    MORE = "more than their share"
    FULL = "all they offered"
    BEYOND = "beyond their limit"


@dataclass(frozen=True, slots=True)
class PersonLoad:
    """The visits of one volunteer."""

    planned: int
    """Visits as lead or second."""
    limit: int
    share: float
    """What they would have if the visits were shared out by what everybody offered."""
    word: LoadWord


@dataclass(frozen=True, slots=True)
class PersonDriving:
    """The driving of one volunteer in the plan, by expected minutes."""

    longest_minutes: float | None
    """The longest one-way drive; None without an outing."""
    in_all_minutes: float
    """Out and back of all visits, and of set-ups on a day of their own."""


@dataclass(frozen=True, slots=True)
class PersonRow:
    """All that a table says of one volunteer; None where it is not computed yet."""

    person: Volunteer
    load: PersonLoad
    usable: int | None
    """Usable evenings (or mornings) that they gave."""
    driving: PersonDriving | None
    worst: Severity | None
    """Of the findings that are about them; None where there is none."""
    findings: int


def loads_of(season: Season, plan: Plan) -> dict[str, PersonLoad]:
    """Return the load of every volunteer by code."""
    planned = Counter(code for visit in plan for code in visit.people)
    offered = sum(person.visits_limit for person in season.volunteers)
    a_visit_offered = planned.total() / offered if offered else 0.0
    loads = {}
    for person in season.volunteers:
        share = a_visit_offered * person.visits_limit
        word = _word(planned[person.code], person.visits_limit, share)
        loads[person.code] = PersonLoad(planned[person.code], person.visits_limit, share, word)
    return loads


def driving_of(problem: SeasonProblem, plan: Plan) -> dict[str, PersonDriving]:
    """Return the driving of every volunteer of the problem by code; ways that no road leads are left out."""
    legs: dict[str, list[float]] = {person.code: [] for person in problem.season.volunteers}
    setups: dict[str, float] = dict.fromkeys(legs, 0.0)
    row = {person.code: number for number, person in enumerate(problem.season.volunteers)}
    one_way = {code: drive_one_way_minutes(drives) for code, drives in problem.drives.items()}
    for visit in plan:
        there = one_way.get(visit.key.route)
        if there is None:
            continue
        for code in visit.people:
            if code in row and math.isfinite(there[row[code]]):
                legs[code].append(float(there[row[code]]))
        if visit.setup not in (None, visit.date) and visit.lead in row and math.isfinite(there[row[visit.lead]]):
            setups[visit.lead] += float(there[row[visit.lead]])
    return {
        code: PersonDriving(max(minutes, default=None), 2.0 * (sum(minutes) + setups[code]))
        for code, minutes in legs.items()
    }


def people_rows(
    season: Season,
    plan: Plan,
    findings: Iterable[Finding] = (),
    useful: UsefulDates | None = None,
    problem: SeasonProblem | None = None,
) -> tuple[PersonRow, ...]:
    """Return one row for each volunteer, in the season's order.

    Args:
        season: whose volunteers they are.
        plan: the plan as it stands.
        findings: of the checks; those about a volunteer are counted.
        useful: what the dates are good for; None: not computed yet, and so for somebody who is not in it.
        problem: the drives; None: not computed yet.
    """
    loads = loads_of(season, plan)
    usable: Mapping[str, int] = useful.usable_counts(season.volunteers) if useful is not None else {}
    driving = driving_of(problem, plan) if problem is not None else {}
    about: dict[str, list[Severity]] = {}
    for finding in findings:
        about.setdefault(finding.subject.volunteer, []).append(finding.severity)
    return tuple(
        PersonRow(
            person=person,
            load=loads[person.code],
            usable=usable.get(person.code),
            driving=driving.get(person.code),
            worst=min(about.get(person.code, ()), default=None),
            findings=len(about.get(person.code, ())),
        )
        for person in season.volunteers
    )


def _word(planned: int, limit: int, share: float) -> LoadWord:
    if planned > limit:
        return LoadWord.BEYOND
    if limit == 0:
        return LoadWord.STAYS
    if planned == 0:
        return LoadWord.IDLE
    if planned == limit:
        return LoadWord.FULL
    if planned - share > _FAR_FROM_SHARE:
        return LoadWord.MORE
    return LoadWord.LESS if share - planned > _FAR_FROM_SHARE else LoadWord.FAIR
