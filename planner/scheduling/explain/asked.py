"""What a plan of a route asks for beyond what people offer and the rules allow: its exact list of changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from planner.domain.change import Change, ChangeKind
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling.engine.cases import Ease
from planner.scheduling.engine.column import Choice, Column
from planner.scheduling.explain.case import Lack


def changes_of(lack: Lack, column: Column, ease: Ease) -> tuple[Change, ...]:
    """Return the changes without which a plan of the route would not stand.

    Args:
        lack: the visit in question.
        column: a plan of its route.
        ease: what was eased to find it; rules that were eased count as asked for by as much as they were.
    """
    people = sorted({person for choice in column.choices if choice is not None for person in choice.people})
    asked = [change for person in people for change in _of_person(lack, column, person, ease)]
    return (*asked, *_of_rules(lack, column, ease))


def _of_person(lack: Lack, column: Column, person: int, ease: Ease) -> Iterator[Change]:
    if person == lack.newcomer:
        limit = lack.arrays.season.volunteers[person].drive_limit_minutes
        yield Change(ChangeKind.NEWCOMER, amount=int(limit), skills=_needed_of(lack, column, person))
        return
    one, minutes = lack.people[person], float(lack.arrays.drive(lack.route)[person])
    first = lack.arrays.problem.days.first
    given = [(first + dt.timedelta(days=day), PartOfDay(part)) for day, part in lack.days_not_given(column, person)]
    if given:
        yield Change(ChangeKind.GIVES, one.code, given=tuple(sorted(set(given))))
    more = dict(column.loads)[person] - int(lack.room.limit[person])
    if more > 0:
        yield Change(ChangeKind.VISITS, one.code, more)
    if minutes > one.drive_limit_minutes:
        yield Change(ChangeKind.DRIVES, one.code, int(np.ceil(minutes - one.drive_limit_minutes)))
    leads = any(choice is not None and choice.lead == person for choice in column.choices)
    missing = set(lack.arrays.protocol.people.lead_training) - one.training
    if leads and missing:
        yield Change(ChangeKind.LEARNS, one.code, skills=tuple(sorted(missing)))
    brought = _brought(lack, column, person, ease)
    if brought:
        yield Change(ChangeKind.BRINGS, one.code, skills=brought)


def _brought(lack: Lack, column: Column, person: int, ease: Ease) -> tuple[str, ...]:
    """Return what of the route's needs nobody on some visit has, if this is the person to bring it there."""
    volunteers = lack.arrays.season.volunteers
    found: set[str] = set()
    for choice in column.choices:
        if choice is None or person not in choice.people:
            continue
        bringing = next((one for one in choice.people if one in ease.equipped), None)
        if bringing == person:
            found |= lack.route.needs - _abilities(choice, volunteers)
    return tuple(sorted(found))


def _abilities(choice: Choice, volunteers: tuple[Volunteer, ...]) -> frozenset[str]:
    return frozenset[str]().union(*(volunteers[one].abilities for one in choice.people))


def _needed_of(lack: Lack, column: Column, person: int) -> tuple[str, ...]:
    """Return what somebody new must know or have for the visits they are on."""
    found: set[str] = set()
    for choice in column.choices:
        if choice is None or person not in choice.people:
            continue
        if choice.lead == person:
            found |= set(lack.arrays.protocol.people.lead_training)
        others = [lack.arrays.season.volunteers[one].abilities for one in choice.people if one != person]
        found |= lack.route.needs - frozenset[str]().union(*others)
    return tuple(sorted(found))


def _of_rules(lack: Lack, column: Column, ease: Ease) -> Iterator[Change]:
    by_days = (
        (ChangeKind.LATER, ease.later_days),
        (ChangeKind.EARLIER, ease.earlier_days),
        (ChangeKind.GAP, ease.gap_days),
        (ChangeKind.SETUP, ease.setup_days),
    )
    for kind, days in by_days:
        if days:
            yield Change(kind, amount=days)
    if ease.one_person:
        yield Change(ChangeKind.ONE_PERSON)
    leads = {lack.arrays.season.volunteers[choice.lead].code for choice in column.choices if choice is not None}
    if lack.route.lead and leads != {lack.route.lead}:
        yield Change(ChangeKind.ANY_LEAD)
