"""How a season stands in figures, and the one thing to do next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.season import Season

if TYPE_CHECKING:  # the window says what is next before it has loaded what plans and prints
    from planner.usecases.checking import Checked
    from planner.usecases.paper.papers import Papers


class Next(StrEnum):
    """What there is to do."""

    IMPORT_ROUTES = "import routes"
    IMPORT_PEOPLE = "import people"
    LOOK = "look"
    """Nothing can be said before the findings are there."""
    MEND = "mend"
    """A rule is broken: nothing is printed before it is mended."""
    TODAY = "today"
    """Somebody is out today."""
    PLAN = "plan"
    TROUBLES = "troubles"
    """Something keeps visits from being filled."""
    FILL = "fill"
    """Visits are unfilled."""
    PRINT = "print"
    REPRINT = "reprint"
    """People hold papers that are no longer true."""
    WAIT = "wait"
    """All is done up to the next evening on which somebody is out."""
    OVER = "over"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do next."""

    what: Next
    count: int = 0
    """How many routes, visits, findings, papers or teams it is about."""
    date: dt.date | None = None
    finding: Finding | None = None
    """The finding to look at first."""


@dataclass(frozen=True, slots=True)
class WhatNext:
    """The thing to do next, and another that could be done in its place."""

    first: Step
    instead: Step | None = None


@dataclass(frozen=True, slots=True)
class SeasonFigures:
    """A season in figures."""

    routes: int
    volunteers: int
    going: int
    """Volunteers with an outing."""
    visits: int
    filled: int
    reserved: int
    done: int
    drive_minutes: float | None
    """All driving out and back; None until the drives are computed."""


def season_figures(season: Season, plan: Plan, drive_minutes: float | None) -> SeasonFigures:
    """Count what a season has and what its plan fills.

    Args:
        season: as it stands.
        plan: as it stands.
        drive_minutes: all driving out and back; None where it is not known yet.
    """
    return SeasonFigures(
        routes=len(season.routes),
        volunteers=len(season.volunteers),
        going=len({code for visit in plan for code in visit.people}),
        visits=len(season.routes) * len(season.visits),
        filled=len(plan),
        reserved=sum(visit.reserve is not None for visit in plan),
        done=sum(visit.status is Status.DONE for visit in plan),
        drive_minutes=drive_minutes,
    )


def what_next(season: Season, plan: Plan, checked: Checked | None, papers: Papers | None, today: dt.date) -> WhatNext:
    """Return what to do next: first what keeps everything else back, then who is out, then what people hold.

    Args:
        season: as it stands.
        plan: as it stands.
        checked: its findings; None until they are computed.
        papers: how the papers stand; None until that is computed, and nothing is then said of them.
        today: the date in the season's zone.
    """
    steps = list(_steps(season, plan, checked, papers, today))
    others = [] if steps[0].what in _ALONE else [step for step in steps[1:] if step.what not in _ALONE]
    return WhatNext(steps[0], next(iter(others), None))


_ALONE = (Next.IMPORT_ROUTES, Next.IMPORT_PEOPLE, Next.LOOK, Next.WAIT, Next.OVER)
"""Steps that nothing can be done in place of, and that are done in place of nothing."""


def _steps(
    season: Season, plan: Plan, checked: Checked | None, papers: Papers | None, today: dt.date
) -> Iterator[Step]:
    if not season.routes:
        yield Step(Next.IMPORT_ROUTES)
    if not season.volunteers:
        yield Step(Next.IMPORT_PEOPLE)
    if checked is None:
        yield Step(Next.LOOK)
        return
    yield from _about_findings(checked.findings, plan, today)
    out = [visit for visit in plan if today in (visit.date, visit.setup)]
    if out:
        yield Step(Next.TODAY, len({visit.key.route for visit in out}), today)
    planning = list(_about_planning(season, plan, checked.findings)) if today <= season.dates.last else []
    wrong_papers = list(_about_wrong_papers(papers))
    # Who holds a wrong paper is told at once, except where there is no plan to tell.
    yield from [*wrong_papers, *planning] if len(plan) else [*planning, *wrong_papers]
    yield from _about_new_papers(papers)
    coming = [visit for visit in plan if _next_date(visit, today) is not None]
    if coming:
        day = min(day for visit in coming if (day := _next_date(visit, today)) is not None)
        yield Step(Next.WAIT, sum(_next_date(visit, today) == day for visit in coming), day)
    yield Step(Next.OVER)


def _about_findings(findings: Sequence[Finding], plan: Plan, today: dt.date) -> Iterator[Step]:
    past = {(visit.key.route, visit.key.number) for visit in plan if visit.date < today}
    broken = [
        finding
        for finding in findings
        if finding.severity is Severity.BROKEN and (finding.subject.route, finding.subject.visit) not in past
    ]
    if broken:
        yield Step(Next.MEND, len(broken), finding=broken[0])


def _about_wrong_papers(papers: Papers | None) -> Iterator[Step]:
    if papers is None or papers.bars:
        return
    if papers.wrong:
        yield Step(Next.REPRINT, len(papers.wrong))


def _about_planning(season: Season, plan: Plan, findings: Sequence[Finding]) -> Iterator[Step]:
    unfilled = len(season.routes) * len(season.visits) - len(plan)
    troubles = [one for one in findings if one.severity is Severity.TROUBLE and one.rule not in _OF_THE_PLAN]
    if not len(plan):
        if troubles:
            yield Step(Next.TROUBLES, len(troubles), finding=troubles[0])
        yield Step(Next.PLAN, unfilled)
    elif unfilled > 0:
        yield Step(Next.FILL, unfilled)


_OF_THE_PLAN = (Rule.VISIT_UNFILLED, Rule.VISIT_NO_RESERVE)
"""Troubles that planning itself may mend."""


def _about_new_papers(papers: Papers | None) -> Iterator[Step]:
    if papers is not None and not papers.bars and papers.wanting:
        yield Step(Next.PRINT, len(papers.wanting))


def _next_date(visit: PlannedVisit, today: dt.date) -> dt.date | None:
    """Return the next date after today on which somebody is out for a visit."""
    days = (day for day in (visit.setup, visit.date) if day is not None and day > today)
    return None if visit.status is Status.DONE else min(days, default=None)
