"""What the protocol says of what came back: the findings on those sheets and records alone."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.domain.finding import Finding, Rule, Severity, worst_first
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.field_files.keeping import problem_of
from planner.usecases.field_files.reading import Back
from planner.usecases.records import judge_record
from planner.usecases.sheets import sheet_findings

_TOLD_BY_CELLS = frozenset({Rule.SHEET_UNREAD})
"""Told cell by cell already."""


def back_findings(
    file: SeasonFile, back: Back, today: dt.date, problem: SeasonProblem | None = None
) -> tuple[Finding, ...]:
    """Return the findings on what came back, worst first, once it is kept; notes are left out.

    Args:
        file: the season as it stands after keeping.
        back: what came back.
        today: as it was read with.
        problem: the season with its light and drives, where somebody has it.
    """
    season, plan, records = file.season(), file.plan(), file.records()
    visits = {(sheet.key.route, sheet.key.visit) for sheet in back.sheets}
    found = [
        finding
        for finding in (sheet_findings(season, plan, file.sheets(), records, today) if visits else ())
        if (finding.subject.route, finding.subject.visit) in visits and finding.rule not in _TOLD_BY_CELLS
    ]
    if back.records:
        routes = {one.key.route for one in back.records}
        light = replace(problem_of(season, file.path, records, routes, problem), today=today)
        stand = {one.key: one for one in records}
        for one in back.records:
            found += judge_record(light, plan, stand[one.key], records).findings
    return worst_first([finding for finding in dict.fromkeys(found) if finding.severity <= Severity.DOUBT])
