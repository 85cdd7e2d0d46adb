"""The smallest changes that would mend a visit, each verified by planning its route anew with that change alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

import numpy as np

from planner.domain.plan import Relaxation
from planner.scheduling.engine.cases import Ease
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.words import counted, date_words, listed, outing_words

MOST_EXTRA_DRIVE_MINUTES = 30
"""A longer detour beyond somebody's limit is not asked for."""

MOST_OFFERED = 8
_OF_A_KIND = 3
_NEAREST = 40
"""People looked at one by one, nearest first."""

_GAP_DAYS = 3
_SETUP_DAYS = 7
_RANGE_DAYS = (3, 7)


def relaxations_for(lack: Lack) -> tuple[Relaxation, ...]:
    """Return changes that would mend what a visit lacks, the smallest first; none where no single change does."""
    if lack.mended():
        return (Relaxation("Plan again: everybody and everything needed is free as things stand.", 0.0),)
    found: list[Relaxation] = []
    for kind in (_more_days, _another_visit, _longer_drive, _learning, _bringing, _dates, _rules):
        found += sorted(kind(lack), key=_rank)[:_OF_A_KIND]
    return tuple(sorted(found, key=_rank)[:MOST_OFFERED])


def _rank(relaxation: Relaxation) -> tuple[float, str]:
    return relaxation.cost, relaxation.what


def _one_by_one(lack: Lack, people: list[int], ease: Callable[[frozenset[int]], Ease]) -> Iterator[tuple[int, Ease]]:
    """Yield who alone mends it; nobody is looked at if all of them together do not."""
    if not people or not lack.mended(ease(frozenset(people))):
        return
    drive = lack.arrays.drive(lack.route)
    for volunteer in sorted(people, key=lambda v: (float(drive[v]), v))[:_NEAREST]:
        one = ease(frozenset({volunteer}))
        if lack.mended(one):
            yield volunteer, one


def _code(lack: Lack, volunteer: int) -> str:
    return lack.arrays.season.volunteers[volunteer].code


def _near(lack: Lack) -> list[int]:
    drive = lack.arrays.drive(lack.route)
    return [v for v, one in enumerate(lack.arrays.season.volunteers) if drive[v] <= one.drive_limit_minutes]


def _more_days(lack: Lack) -> Iterator[Relaxation]:
    for volunteer, ease in _one_by_one(lack, _near(lack), lambda people: Ease(any_day=people)):
        column = lack.mended(ease)
        assert column is not None, "it was just found"
        opened = lack.opened_days(column, volunteer)
        first = lack.arrays.problem.days.first
        dates = list(dict.fromkeys(date_words(first + dt.timedelta(days=day)) for day, _ in opened))
        kind = outing_words(opened[0][1]) if len({part for _, part in opened}) == 1 else "date"
        more = counted(len(dates), kind, f"{kind}s")
        yield Relaxation(f"{_code(lack, volunteer)} gives {more} more: {listed(dates)}.", float(len(opened)))


def _another_visit(lack: Lack) -> Iterator[Relaxation]:
    for volunteer, _ in _one_by_one(lack, _near(lack), lambda people: Ease(another_visit=people)):
        limit = lack.arrays.season.volunteers[volunteer].visits_limit
        yield Relaxation(f"{_code(lack, volunteer)} takes one visit more than the {limit} offered.", 2.0)


def _longer_drive(lack: Lack) -> Iterator[Relaxation]:
    drive = lack.arrays.drive(lack.route)
    limits = np.array([one.drive_limit_minutes for one in lack.arrays.season.volunteers])
    beyond = np.flatnonzero((drive > limits) & (drive <= limits + MOST_EXTRA_DRIVE_MINUTES)).tolist()
    for volunteer, _ in _one_by_one(lack, beyond, lambda people: Ease(drive=people)):
        extra = float(drive[volunteer] - limits[volunteer])
        what = (
            f"{_code(lack, volunteer)} drives {drive[volunteer]:.0f} minutes one way,"
            f" {np.ceil(extra):.0f} more than their limit."
        )
        yield Relaxation(what, 1.0 + extra / 10)


def _learning(lack: Lack) -> Iterator[Relaxation]:
    asked = set(lack.arrays.protocol.people.lead_training)
    people = [v for v in _near(lack) if not asked <= lack.arrays.season.volunteers[v].training]
    for volunteer, _ in _one_by_one(lack, people, lambda some: Ease(trained=some)):
        missing = sorted(asked - lack.arrays.season.volunteers[volunteer].training)
        yield Relaxation(f"{_code(lack, volunteer)} learns {listed(missing)}.", 6.0)


def _bringing(lack: Lack) -> Iterator[Relaxation]:
    needs = lack.route.needs
    people = [v for v in _near(lack) if not needs <= lack.arrays.season.volunteers[v].abilities]
    for volunteer, _ in _one_by_one(lack, people, lambda some: Ease(equipped=some)):
        missing = sorted(needs - lack.arrays.season.volunteers[volunteer].abilities)
        yield Relaxation(f"{_code(lack, volunteer)} comes with {listed(missing)}.", 5.0)


def _dates(lack: Lack) -> Iterator[Relaxation]:
    number = lack.key.number
    for days in _RANGE_DAYS:
        if lack.mended(Ease(later_days=days)):
            yield Relaxation(f"The dates of the route's visits end {days} days later.", 0.5 + days / 2)
            break
    for days in _RANGE_DAYS:
        if lack.mended(Ease(earlier_days=days)):
            yield Relaxation(f"The dates of the route's visits begin {days} days earlier.", 0.5 + days / 2)
            break
    if number > 1 and lack.mended(Ease(gap_days=_GAP_DAYS)):
        yield Relaxation(f"The gap between the route's visits is {_GAP_DAYS} days shorter.", 3.0)


def _rules(lack: Lack) -> Iterator[Relaxation]:
    protocol = lack.arrays.protocol
    if protocol.setup is not None and lack.mended(Ease(setup_days=_SETUP_DAYS)):
        days = protocol.setup.days_before_at_most + _SETUP_DAYS
        yield Relaxation(f"The set-up may be up to {days} days before visit 1.", 1.5)
    if lack.arrays.season.people_for(lack.route) == 2 and lack.mended(Ease(one_person=True)):
        yield Relaxation("One person goes instead of two.", 5.0)
    if lack.route.lead and lack.mended(Ease(any_lead=True)):
        yield Relaxation(f"Somebody other than {lack.route.lead} may lead.", 4.0)
