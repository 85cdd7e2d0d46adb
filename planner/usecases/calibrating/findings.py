"""What a check says of recorded drives: what is planned with them, or that nothing is yet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.travel import LEAST_LEGS
from planner.usecases.calibrating.changes import is_over
from planner.usecases.calibrating.recorded import drives_written


def broken_to_come(findings: Iterable[Finding], plan: Plan, today: dt.date | None) -> tuple[Finding, ...]:
    """Return the rules that are broken, but for those of visits that have been made or whose date is past."""
    over = {(visit.key.route, visit.key.number) for visit in plan if is_over(visit, today)}
    return tuple(
        finding
        for finding in findings
        if finding.severity is Severity.BROKEN and (finding.subject.route, finding.subject.visit) not in over
    )


def drive_findings(season: Season, records: Sequence[VisitRecord]) -> Iterator[Finding]:
    """Yield what recorded drives are planned with, or that finished records tell of drives and nothing is."""
    if season.drive_factors.season is not None:
        todo = "Calibrate again when more records are finished; planning without them again is one step."
        what = season.drive_factors.said(mapped=season.roads is not None)
        yield Finding(Rule.ROADS_RECORDED, Severity.NOTE, Subject(), what, todo)
        return
    finished = [record for record in records if record.state is RecordState.FINAL]
    if sum(map(drives_written, finished)) >= LEAST_LEGS:
        visits = "a finished record" if len(finished) == 1 else f"{len(finished)} finished records"
        alone = "the map" if season.roads is not None else "estimates"
        what = f"Times of {visits} say how long drives take, and plans go by {alone} alone."
        todo = "See before and after with dimpsy calibrate FILE, and plan with it."
        yield Finding(Rule.ROADS_RECORDED, Severity.NOTE, Subject(), what, todo)
