"""How far the visits and their habitat sheets have come."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.reports.progress import Progress, SheetCount, Tally, VisitStanding, VisitState
from planner.domain.route import Route
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.usecases.records import judge_record
from planner.usecases.records.lacking import lacking_words
from planner.usecases.reports.report_areas import report_areas

GONE_OUT = (VisitState.PARTLY, VisitState.DONE)


def progress_of(
    season: Season,
    plan: Plan,
    sheets: Iterable[HabitatSheet],
    records: Iterable[VisitRecord],
    today: dt.date,
    standing: Mapping[VisitKey, int] | None = None,
) -> Progress:
    """Return how far a season has come.

    Args:
        season: whose visits are told of, filled or not.
        plan: the plan as it stands.
        sheets: drafts and finals; empty ones count for nothing.
        records: drafts and finals; only finals count.
        today: the day of the report.
        standing: points that stand by the protocol, of visits that have records; None: all that were counted.
    """
    areas, words = report_areas(season.routes)
    some = tuple(records)
    came_back = _CameBack(season, plan, final_records(some), _drafts(some), _sheet_points(sheets), today, standing)
    standings = tuple(
        came_back.standing(route, number, areas[route.code])
        for route in season.routes
        for number in range(1, len(season.visits) + 1)
    )
    numbers = range(1, len(season.visits) + 1)
    return Progress(
        standings=standings,
        whole=Tally.of("all visits", standings),
        by_visit=tuple(
            Tally.of(f"visit {number}", (one for one in standings if one.key.number == number)) for number in numbers
        ),
        by_area=tuple(
            Tally.of(area, (one for one in standings if one.area == area)) for area in dict.fromkeys(areas.values())
        ),
        area_words=words,
    )


def points_standing(problem: SeasonProblem, plan: Plan, records: Sequence[VisitRecord]) -> dict[VisitKey, int]:
    """Return how many points stand by the protocol, by visit that has final records: the judgement of its latest one.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        records: drafts and finals, of visits that the season may no longer have.
    """
    latest = {key: max(some, key=lambda one: one.key) for key, some in final_records(records).items()}
    return {key: len(judge_record(problem, plan, one, records).points_that_count) for key, one in latest.items()}


def final_records(records: Iterable[VisitRecord]) -> dict[VisitKey, list[VisitRecord]]:
    """Return the records that are final, by visit, in their order."""
    found: defaultdict[VisitKey, list[VisitRecord]] = defaultdict(list)
    for record in records:
        if record.state is RecordState.FINAL:
            found[record.key.visit_key].append(record)
    return dict(found)


def _drafts(records: Iterable[VisitRecord]) -> dict[VisitKey, VisitRecord]:
    """Return the latest draft of each visit that has one."""
    drafts = (record for record in records if record.state is RecordState.DRAFT)
    return {record.key.visit_key: record for record in sorted(drafts, key=lambda one: one.key)}


def _sheet_points(sheets: Iterable[HabitatSheet]) -> dict[VisitKey, dict[int, SheetState]]:
    """Return the points with a sheet, by visit: final where one of their sheets is."""
    found: defaultdict[VisitKey, dict[int, SheetState]] = defaultdict(dict)
    for sheet in sheets:
        points = found[VisitKey(sheet.key.route, sheet.key.visit)]
        if sheet.state is SheetState.FINAL:
            points[sheet.key.point] = SheetState.FINAL
        elif not sheet.empty:
            points.setdefault(sheet.key.point, SheetState.DRAFT)
    return dict(found)


@dataclass(frozen=True, slots=True)
class _CameBack:
    """The plan, and what has come back from it."""

    season: Season
    plan: Plan
    final: Mapping[VisitKey, Sequence[VisitRecord]]
    drafts: Mapping[VisitKey, VisitRecord]
    written: Mapping[VisitKey, Mapping[int, SheetState]]
    today: dt.date
    stands: Mapping[VisitKey, int] | None

    def standing(self, route: Route, number: int, area: str) -> VisitStanding:
        """Return where one visit stands."""
        key = VisitKey(route.code, number)
        visit, records = self.plan.by_key.get(key), self.final.get(key, ())
        state = _state(visit, bool(records), self.today)
        points = {point.number for point in route.points}
        draft = self.drafts.get(key) if state is VisitState.UNRECORDED else None
        counted = points & {count.point for record in records for count in record.done}
        return VisitStanding(
            key=key,
            title=route.title,
            area=area,
            state=state,
            date=visit.date if visit is not None else max((record.key.date for record in records), default=None),
            reserve=visit.reserve if visit is not None and state is not VisitState.DONE else None,
            points=len(points),
            counted=len(counted),
            standing=len(counted) if self.stands is None else self.stands.get(key, 0),
            evenings=len(records),
            sheets=_sheets(self.season, number, points, self.written.get(key, {}), state),
            draft_lacks=lacking_words(draft, sorted(points)) if draft is not None else "",
        )


def _state(visit: PlannedVisit | None, recorded: bool, today: dt.date) -> VisitState:
    if visit is not None and visit.status is Status.DONE:
        return VisitState.DONE
    if recorded:
        return VisitState.PARTLY
    if visit is None:
        return VisitState.UNFILLED
    if visit.date < today:
        return VisitState.UNRECORDED
    return VisitState.CONFIRMED if visit.status is Status.CONFIRMED else VisitState.PLANNED


def _sheets(
    season: Season, number: int, points: set[int], written: Mapping[int, SheetState], state: VisitState
) -> SheetCount:
    if season.protocol.habitat is None or not season.protocol.visit(number).habitat:
        return SheetCount()
    final = sum(written.get(point) is SheetState.FINAL for point in points)
    draft = sum(written.get(point) is SheetState.DRAFT for point in points)
    missing = len(points) - final - draft if state in GONE_OUT else 0
    return SheetCount(len(points), final, draft, missing)
