"""Dates: inside the visit's range, the reserve date after the visit, and the gaps between visits."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.domain.finding import Finding, Rule, Severity
from planner.domain.protocol import Gap
from planner.domain.window import Strength
from planner.scheduling.audit.case import Case
from planner.scheduling.audit.words import day_words, days_words


def date_findings(case: Case) -> Iterator[Finding]:
    """Judge the date and the reserve date of one visit."""
    if not case.date_stands:
        yield case.finding(
            Rule.VISIT_DATE,
            f"{day_words(case.visit.date)} lies outside the dates of visit {case.number} ({_allowed(case)}).",
            "Choose a date inside them.",
            date=case.visit.date,
        )
    reserve = case.reserve
    if reserve is None or case.reserve_stands:
        return
    if reserve <= case.visit.date:
        what = f"The reserve date {day_words(reserve)} does not come after the visit on {day_words(case.visit.date)}."
    else:
        what = (
            f"The reserve date {day_words(reserve)} lies outside the dates of visit {case.number} ({_allowed(case)})."
        )
    todo = "Choose a later date inside the range, or hold none back."
    yield case.finding(Rule.RESERVE_DATE, what, todo, date=reserve)


def _allowed(case: Case) -> str:
    inside_season = case.dates.first in case.season.dates and case.dates.last in case.season.dates
    return str(case.dates) if inside_season else f"{case.dates}, the season {case.season.dates}"


@dataclass(frozen=True, slots=True)
class _Bounds:
    """Fewest and most days that may lie between two visits of a route."""

    least: int
    most: int | None

    @classmethod
    def between(cls, gaps: Iterable[Gap], *, required_only: bool) -> _Bounds:
        """Add up the gaps from one visit to a later one; visits in between that are not made still need theirs."""
        least, most = 0, 0
        endless = False
        for gap in gaps:
            counts = gap.strength is Strength.REQUIRED or not required_only
            least += gap.least_days if counts else 0
            endless = endless or not counts or gap.most_days is None
            most += gap.most_days or 0
        return cls(least, None if endless else most)


@dataclass(frozen=True, slots=True)
class _Moment:
    """A date on which a visit may come to be made."""

    day: dt.date
    words: str


def gap_findings(cases: Iterable[Case]) -> Iterator[Finding]:
    """Judge the days between the visits of each route, whichever of them fall to their reserve dates."""
    ordered = sorted(cases, key=lambda case: case.visit.key)
    for _, group in itertools.groupby(ordered, key=lambda case: case.route.code):
        judged = [case for case in group if case.date_stands]
        for earlier, later in itertools.pairwise(judged):
            yield from _between(earlier, later)


def _between(earlier: Case, later: Case) -> Iterator[Finding]:
    gaps = [later.protocol.gap_before(number) for number in range(earlier.number + 1, later.number + 1)]
    required = _Bounds.between(gaps, required_only=True)
    wanted = _Bounds.between(gaps, required_only=False)
    for find in (_too_close, _too_far):
        finding = find(earlier, later, required, Severity.BROKEN) or find(earlier, later, wanted, Severity.DOUBT)
        if finding is not None:
            yield finding


def _moments(case: Case) -> list[_Moment]:
    """The date, then the reserve date where one stands."""
    return [_Moment(day, f"the {words} of visit {case.number}") for day, words in case.evenings]


def _too_close(earlier: Case, later: Case, bounds: _Bounds, severity: Severity) -> Finding | None:
    """Find the first date of the later visit that follows too soon on the earlier one or on its reserve date."""
    after = _moments(later)[0]
    for before in _moments(earlier):
        days = (after.day - before.day).days
        if days < bounds.least:
            what = (
                f"{_apart(before, after, days)}; at least {days_words(bounds.least)} must lie between"
                f" visits {earlier.number} and {later.number}."
            )
            return _gap_finding(earlier, later, what, severity)
    return None


def _too_far(earlier: Case, later: Case, bounds: _Bounds, severity: Severity) -> Finding | None:
    """Find a date or reserve date of the later visit that comes too long after the date of the earlier one."""
    before = _moments(earlier)[0]
    for after in _moments(later):
        days = (after.day - before.day).days
        if bounds.most is not None and days > bounds.most:
            what = (
                f"{_apart(before, after, days)}; at most {days_words(bounds.most)} may lie between"
                f" visits {earlier.number} and {later.number}."
            )
            return _gap_finding(earlier, later, what, severity)
    return None


def _apart(before: _Moment, after: _Moment, days: int) -> str:
    where = f"{days_words(days)} after" if days >= 0 else f"{days_words(-days)} before"
    first = after.words[0].upper() + after.words[1:]
    return f"{first} ({day_words(after.day)}) is {where} {before.words} ({day_words(before.day)})"


def _gap_finding(earlier: Case, later: Case, what: str, severity: Severity) -> Finding:
    """Put the finding to the visit that can still be moved; to the later one where either can."""
    movable = earlier if later.visit.fixed and not earlier.visit.fixed else later
    return movable.finding(
        Rule.VISIT_GAP, what, "Move one of the two dates.", severity=severity, date=movable.visit.date
    )
