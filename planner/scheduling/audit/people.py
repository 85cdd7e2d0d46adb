"""Who goes: how many, what they have learnt and bring, when they are free, and how far they drive."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

import numpy as np

from planner.domain.finding import Finding, Rule
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling.audit.case import Case
from planner.scheduling.audit.words import day_words, listed, minutes_over

_ROUNDING_MINUTES = 1e-6
_PART_WORDS = {PartOfDay.DAYLIGHT: "daytime", PartOfDay.DUSK: "evening", PartOfDay.DAWN: "morning"}


def people_findings(case: Case) -> Iterator[Finding]:
    """Judge the team of one visit."""
    yield from _enough(case)
    yield from _agreed_lead(case)
    yield from _trained(case)
    yield from _equipped(case)
    for person in case.people:
        yield from _near(case, person)
        yield from _free(case, person)


def _enough(case: Case) -> Iterator[Finding]:
    needed, going = case.season.people_for(case.route), len(case.visit.people)
    if going < needed:
        yield case.finding(
            Rule.VISIT_PEOPLE, f"{going} person goes, route {case.route.code} needs {needed}.", "Name a second person."
        )


def _agreed_lead(case: Case) -> Iterator[Finding]:
    agreed = case.route.lead
    if agreed and case.visit.lead != agreed:
        yield case.finding(
            Rule.ROUTE_LEAD,
            f"{case.visit.lead} leads, but {agreed} has agreed to lead all visits of route {case.route.code}.",
            f"Let {agreed} lead, or take the agreement off the route.",
            volunteer=case.visit.lead,
        )


def _trained(case: Case) -> Iterator[Finding]:
    for person in case.people:
        missing = set(case.protocol.people.lead_training) - person.training
        if person.code == case.visit.lead and missing:
            yield case.finding(
                Rule.VISIT_TRAINING,
                f"{person.code} leads without the training {listed(sorted(missing))}.",
                "Choose a lead who has it, or enter it for this person once it is done.",
                volunteer=person.code,
            )


def _equipped(case: Case) -> Iterator[Finding]:
    """Judge what the route asks for against the team together; a person unknown may bring anything."""
    abilities: set[str] = set()
    for person in case.people:
        abilities |= person.abilities
    missing = case.route.needs - abilities
    if missing and len(case.people) == len(case.visit.people):
        yield case.finding(
            Rule.VISIT_VEHICLE,
            f"Route {case.route.code} needs {listed(sorted(missing))}; {listed(case.visit.people)} cannot offer that.",
            "Choose somebody who can.",
        )


def _near(case: Case, person: Volunteer) -> Iterator[Finding]:
    minutes = _one_way_minutes(case, person)
    if math.isinf(minutes):
        what = f"No road leads from the home of {person.code} to route {case.route.code}."
        todo = "Choose somebody else, or look at the road map and at where the home and the points stand."
    elif minutes > person.drive_limit_minutes + _ROUNDING_MINUTES:
        limit = person.drive_limit_minutes
        what = f"{person.code} drives {minutes_over(minutes, limit)} min one way, limit {limit:g}."
        todo = f"Choose somebody nearer, or ask {person.code} to drive farther."
    else:
        return
    yield case.finding(Rule.VISIT_DRIVE, what, todo, volunteer=person.code)


def _one_way_minutes(case: Case, person: Volunteer) -> float:
    """Return the expected drive: out and back averaged, at whichever end of the route is nearer."""
    row = case.row(person)
    out = case.drives.out.expected[row]
    back = case.drives.back.expected[:, row]
    both_ways = np.add(out, back) / 2
    return min(float(both_ways[0]), float(both_ways[-1]))


def _free(case: Case, person: Volunteer) -> Iterator[Finding]:
    if case.window is not None:
        for day, words in case.evenings:
            yield from given(case, person, day, words, case.window.part)


def given(case: Case, person: Volunteer, day: dt.date, words: str, part: PartOfDay) -> Iterator[Finding]:
    """Judge whether a person has given that part of that date; what is past cannot be asked for any more."""
    today = case.problem.today
    past = case.done or (today is not None and day < today)
    if past or part in person.parts_on(day):
        return
    yield case.finding(
        Rule.VISIT_AVAILABLE,
        f"{person.code} has not given the {_PART_WORDS[part]} of {day_words(day)}, the {words} of visit {case.number}.",
        f"Ask {person.code} for it, or choose another date or person.",
        volunteer=person.code,
        date=day,
    )
