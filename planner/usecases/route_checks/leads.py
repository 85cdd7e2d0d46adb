"""Visits that nobody can lead, and what everybody fails by."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from enum import IntEnum
from typing import TypeAlias

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.route_checks.length import VisitLight
from planner.usecases.wording import day_words, listed, some_of, visits_words

Evenings: TypeAlias = frozenset[tuple[dt.date, PartOfDay]]


class _Fails(IntEnum):
    """What keeps a volunteer from leading: the first that applies, those hardest to mend first."""

    OFFER = 0
    TRAINING = 1
    NEEDS = 2
    DRIVE = 3
    DATES = 4


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A volunteer held against one visit."""

    volunteer: Volunteer
    one_way_minutes: float
    evenings: Evenings
    """Dates given that have a window long enough."""
    fails: _Fails | None


def lead_findings(
    season: Season,
    routes: Sequence[Route],
    facts: Mapping[str, RouteFacts],
    lights: Mapping[tuple[str, int], VisitLight],
    told: AbstractSet[str],
) -> Iterator[Finding]:
    """Yield a finding for the visits of the given routes that no volunteer can lead.

    Args:
        season: volunteers and rules.
        routes: the routes to judge.
        facts: the drives, by route code.
        lights: the light of every visit, by route code and number.
        told: volunteers of whom a finding says already why they cannot go; where these are all who could be
            asked, nothing new is said.
    """
    if not season.volunteers:
        return
    codes = {volunteer.code for volunteer in season.volunteers}
    untrained = _nobody_trained(season)
    if untrained is not None:
        yield untrained
    for route in routes:
        if route.lead and route.lead not in codes:
            what = f"{route.lead} has agreed to lead, but the season has no such volunteer."
            todo = "Import this person, or take the agreement off the route."
            yield Finding(Rule.ROUTE_LEAD, Severity.TROUBLE, Subject(route=route.code), what, todo)
        elif untrained is None:
            visits = [lights[route.code, number] for number in range(1, len(season.visits) + 1)]
            asked = {route.lead} if route.lead else codes
            if not asked <= told:
                yield from _on_route(season, route, facts[route.code], [one for one in visits if one.fits])


def _nobody_trained(season: Season) -> Finding | None:
    wanted = set(season.protocol.people.lead_training)
    if any(wanted <= volunteer.training for volunteer in season.volunteers):
        return None
    what = f"None of {len(season.volunteers)} volunteers has the training {listed(sorted(wanted))}, so nobody can lead."
    todo = "Enter it for those who have it, or train some."
    return Finding(Rule.VISIT_NOBODY, Severity.TROUBLE, Subject(), what, todo)


def _on_route(season: Season, route: Route, facts: RouteFacts, visits: Sequence[VisitLight]) -> Iterator[Finding]:
    """Yield the findings of one route, visits that fail alike in one."""
    alike: dict[tuple[str, str], list[int]] = defaultdict(list)
    for light in visits:
        trouble = _trouble(season, route, facts, light)
        if trouble is not None:
            alike[trouble].append(light.number)
    for (why, todo), numbers in alike.items():
        subject = Subject(route=route.code, visit=numbers[0] if len(numbers) == 1 else None)
        what = f"Nobody can lead {visits_words(numbers)} of route {route.code}. {why}"
        yield Finding(Rule.VISIT_NOBODY, Severity.TROUBLE, subject, what, todo)


def _trouble(season: Season, route: Route, facts: RouteFacts, light: VisitLight) -> tuple[str, str] | None:
    """Return why nobody can lead a visit, and what to do; None where somebody can."""
    everyone = [
        _candidate(season, route, volunteer, float(minutes), light.fitting)
        for volunteer, minutes in zip(season.volunteers, facts.one_way_minutes, strict=True)
    ]
    asked = [one for one in everyone if route.lead in ("", one.volunteer.code)]
    able = [one for one in asked if one.fails is None]
    if not able:
        return _tally(season, route, asked), _what_to_do(asked, light.fitting)
    if season.people_for(route) == 1 or any(_team(route, one, other) for one in able for other in everyone):
        return None
    leads = some_of([one.volunteer.code for one in able])
    needs = f" and together they bring {listed(sorted(route.needs))}" if route.needs else ""
    why = f"{leads} could, but no second person lives near enough and is free on one of the same dates{needs}."
    return why, "Ask the others for dates on which a lead is free."


def _candidate(
    season: Season, route: Route, volunteer: Volunteer, one_way_minutes: float, fitting: Evenings
) -> _Candidate:
    evenings = frozenset((day, part) for day, part in fitting if part in volunteer.parts_on(day))
    alone = season.people_for(route) == 1
    failures = {
        _Fails.OFFER: volunteer.visits_limit == 0,
        _Fails.TRAINING: not set(season.protocol.people.lead_training) <= volunteer.training,
        _Fails.NEEDS: alone and not route.needs <= volunteer.abilities,
        _Fails.DRIVE: one_way_minutes > volunteer.drive_limit_minutes,
        _Fails.DATES: not evenings,
    }
    fails = next((failure for failure, applies in failures.items() if applies), None)
    return _Candidate(volunteer, one_way_minutes, evenings, fails)


def _team(route: Route, lead: _Candidate, other: _Candidate) -> bool:
    """Whether the two could go together."""
    near = other.one_way_minutes <= other.volunteer.drive_limit_minutes
    willing = other.volunteer.visits_limit > 0 and other.volunteer is not lead.volunteer
    equipped = route.needs <= lead.volunteer.abilities | other.volunteer.abilities
    return near and willing and equipped and bool(lead.evenings & other.evenings)


def _tally(season: Season, route: Route, asked: Sequence[_Candidate]) -> str:
    """Say how many fail by what; of one alone, what that person lacks."""
    failing = _by_failure(asked)
    training, needs = listed(sorted(season.protocol.people.lead_training)), listed(sorted(route.needs))
    one_many = {
        _Fails.OFFER: ("offers no visits", "offer no visits"),
        _Fails.TRAINING: (f"lacks the training {training}", f"lack the training {training}"),
        _Fails.NEEDS: (f"cannot bring {needs}", f"cannot bring {needs}"),
        _Fails.DRIVE: ("would drive too far", "would drive too far"),
        _Fails.DATES: ("has given no date with a window long enough", "have given no date with a window long enough"),
    }
    nearest = min(failing.get(_Fails.DRIVE, ()), key=_excess_minutes, default=None)
    if len(asked) == 1:
        agreed = ", who has agreed to lead," if route.lead else ""
        lacks = one_many[min(failing)][0] if nearest is None else _drive(nearest)
        return f"{asked[0].volunteer.code}{agreed} {lacks}."
    counts = listed(f"{len(ones)} {one_many[kind][len(ones) > 1]}" for kind, ones in sorted(failing.items()))
    closest = f" {nearest.volunteer.code} {_drive(nearest)}." if nearest is not None else ""
    return f"Of {len(asked)} volunteers {counts}.{closest}"


def _by_failure(asked: Sequence[_Candidate]) -> dict[_Fails, list[_Candidate]]:
    failing: dict[_Fails, list[_Candidate]] = defaultdict(list)
    for one in asked:
        if one.fails is not None:
            failing[one.fails].append(one)
    return failing


def _excess_minutes(one: _Candidate) -> float:
    return one.one_way_minutes - one.volunteer.drive_limit_minutes


def _drive(one: _Candidate) -> str:
    """Say that somebody drives too far, in whole minutes rounded up."""
    if math.isinf(one.one_way_minutes):
        return "has no road there"
    return f"drives {math.ceil(one.one_way_minutes)} min one way, limit {one.volunteer.drive_limit_minutes:g}"


def _what_to_do(asked: Sequence[_Candidate], fitting: Evenings) -> str:
    """Ask those who fail by what is easiest to mend."""
    failing = _by_failure(asked)
    easiest = max(failing)
    ones = sorted(failing[easiest], key=_excess_minutes)
    codes = some_of([one.volunteer.code for one in ones])
    first, *later = sorted({day for day, _ in fitting})
    dates = (
        f"one of {len(later) + 1} dates, {day_words(first)} to {day_words(later[-1])}" if later else day_words(first)
    )
    return {
        _Fails.OFFER: f"Ask {codes} whether they would go out.",
        _Fails.TRAINING: f"Train {codes}, or enter the training for those who have it.",
        _Fails.NEEDS: "Find somebody who can bring it, or take the need off the route.",
        _Fails.DRIVE: f"Ask {codes} to drive farther, or find somebody nearer.",
        _Fails.DATES: f"Ask {codes} for {dates}.",
    }[easiest]
