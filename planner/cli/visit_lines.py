"""A planned visit, and the verdict on one, in the coordinator's words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.domain.finding import Severity
from planner.domain.plan import PlannedVisit, Status
from planner.domain.season import Season
from planner.usecases.plan.judging import Verdict
from planner.usecases.wording import day_words


def visit_line(visit: PlannedVisit, season: Season) -> str:
    """Return one visit by date: what, who, what is held in reserve, and whether it is fixed."""
    people = " and ".join(season.volunteer(code).name for code in visit.people)
    held = [f"set-up {day_words(visit.setup)}"] if visit.setup and visit.setup != visit.date else []
    held += ["set-up that day"] if visit.setup == visit.date else []
    held += [f"reserve {day_words(visit.reserve)}" if visit.reserve else "no reserve"]
    held += [visit.status.value] if visit.status is not Status.PLANNED else []
    held += ["pinned"] if visit.pinned else []
    title = season.route(visit.key.route).title
    return f"  {day_words(visit.date):10}  {title}, visit {visit.key.number}: {people} ({', '.join(held)})"


def verdict_lines(verdict: Verdict, season: Season) -> Iterator[str]:
    """Yield what a verdict rests on: what would break, what is worth a word, then margin, driving and dates."""
    yield visit_line(verdict.visit, season).strip()
    for finding in (*verdict.broken, *verdict.still_broken):
        yield f"  breaks a rule: {finding.what}"
        yield from ([f"    What to do: {finding.todo}"] if finding.todo else [])
    yield from (f"  {one.severity.words}: {one.what}" for one in verdict.lesser if one.severity < Severity.NOTE)
    yield from (f"  mended: {one.what}" for one in verdict.mended)
    yield f"  {figures(verdict)}."


def figures(verdict: Verdict) -> str:
    """Return margin and driving in a few words."""
    margin = verdict.margin_minutes
    parts = [margin_words(margin)] if margin is not None else ["no margin can be told"]
    parts += [f"{verdict.points_missed} points do not fit"] if verdict.points_missed else []
    change = round(verdict.drive_change_minutes)
    parts.append(f"{abs(change)} minutes {'more' if change > 0 else 'less'} driving" if change else "same driving")
    return ", ".join(parts)


def margin_words(minutes: float) -> str:
    """Return a margin as it is said, whole minutes and never more than there are: '11 min to spare'."""
    whole = math.floor(minutes + 1e-6)
    return f"{whole} min to spare" if whole >= 0 else f"{-whole} min too late"


def verdict_data(verdict: Verdict) -> dict[str, object]:
    """Return a verdict for JSON."""
    return {
        "allowed": verdict.allowed,
        "visit": verdict.visit,
        "before": verdict.before,
        "broken": verdict.broken,
        "still_broken": verdict.still_broken,
        "lesser": verdict.lesser,
        "mended": verdict.mended,
        "drive_change_minutes": round(verdict.drive_change_minutes, 1),
        "margin_minutes": None if verdict.margin_minutes is None else round(verdict.margin_minutes, 1),
        "points_missed": verdict.points_missed,
    }
