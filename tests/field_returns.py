"""Lets the demo's first weeks come back from the field: records and sheets made up by rule, the same each time."""

from __future__ import annotations

import datetime as dt
import random
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.conditions import Condition, Seen
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Photo, SheetKey, SheetState, Side
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stopped, VisitRecord
from planner.domain.measures import Speed
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.weather import Quantity
from planner.store import SeasonFile

REPORT_DAY = dt.date(2027, 6, 5)
"""In the middle of visit 2."""
_SILENT = frozenset({"R03"})
"""Routes that nothing comes back from."""
_CUT_SHORT = {"R05": Stopped.WEATHER, "R09": Stopped.LIGHT}


@pytest.fixture(scope="session")
def returned_path(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the planned demo season that things have come back to: only read it."""
    folder = tmp_path_factory.mktemp("returned")
    for source in demo_folder.glob("heath.*"):
        if source.suffix in (".dimpsy", ".npz"):
            shutil.copy2(source, folder / source.name)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        bring_back(file)
    return folder / "heath.dimpsy"


def bring_back(file: SeasonFile, today: dt.date = REPORT_DAY) -> None:
    """Keep a record and sheets of every visit of the plan before today, as one step; some are cut short or missing."""
    season, plan = file.season(), file.plan()
    gone = [visit for visit in plan if visit.date < today and visit.key.route not in _SILENT]
    records = [_record(season, visit) for visit in gone]
    sheets = [sheet for visit in gone for sheet in _sheets(season, visit)]
    done = {record.key.visit_key for record in records if record.stopped is None}
    after = Plan(tuple(replace(one, status=Status.DONE) if one.key in done else one for one in plan))
    with file.step("What came back is kept"):
        file.save_records(tuple(sorted(records, key=lambda one: one.key)))
        file.save_sheets(tuple(sorted(sheets, key=lambda one: one.key)))
        file.save_plan(after)


def _record(season: Season, visit: PlannedVisit) -> VisitRecord:
    route = season.route(visit.key.route)
    chance = random.Random(f"{visit.key} record")
    began = dt.datetime.combine(visit.date, dt.time(20, 40), tzinfo=dt.UTC)
    stopped = _CUT_SHORT.get(route.code) if visit.key.number == 1 else None
    numbers = [point.number for point in route.points][: 4 if stopped else None]
    counts = tuple(_count(number, began + dt.timedelta(minutes=9 * place)) for place, number in enumerate(numbers))
    wrote_times = chance.random() < 0.8
    return VisitRecord(
        key=RecordKey(route.code, visit.key.number, visit.date),
        team=visit.people,
        counts=counts,
        weather_first=(Condition(Quantity.WIND, Speed(8.0, "km/h")), Condition(Quantity.RAIN, seen=Seen.NONE)),
        stopped=stopped,
        left_utc=began - dt.timedelta(minutes=chance.randrange(60, 120)) if wrote_times else None,
        home_utc=began + dt.timedelta(minutes=9 * len(counts) + 25) if wrote_times else None,
        distance_km=float(chance.randrange(15, 60)) if wrote_times else None,
        state=RecordState.FINAL,
    )


def _count(number: int, arrived: dt.datetime) -> PointRecord:
    begins = arrived + dt.timedelta(minutes=1)
    return PointRecord(number, 1, arrived, begins, begins + dt.timedelta(minutes=5))


def _sheets(season: Season, visit: PlannedVisit) -> Iterator[HabitatSheet]:
    route = season.route(visit.key.route)
    for place, point in enumerate(route.points):
        if visit.key.number == 1 or place != 2:
            yield _sheet(route, visit, point.number, draft=visit.key.number == 1 and place == 3 and route.code == "R02")


def _sheet(route: Route, visit: PlannedVisit, point: int, *, draft: bool) -> HabitatSheet:
    """Heath first, the rest grass, trees and bare ground; a little more grass on the second visit."""
    chance = random.Random(f"{route.code} {point}")
    tall = chance.randrange(1, 6) * 10
    short = chance.randrange(0, (100 - tall) // 10) * 10
    trees = min(100 - tall - short, chance.randrange(0, 3) * 10)
    if visit.key.number == 2 and tall >= 20 and chance.random() < 0.3:
        tall -= 10
    rest = 100 - tall - short - trees
    cover = Cover.of(Side.CIRCLE, [("TH", tall), ("SH", short), ("TR", trees), ("GR", rest)])
    return HabitatSheet(
        key=SheetKey(route.code, visit.key.number, point, visit.lead),
        covers=(replace(cover, percents=cover.percents[:2]) if draft else cover,),
        date=visit.date,
        grazed_percent=chance.randrange(0, 6) * 10,
        livestock=chance.randrange(0, 12),
        note="=SUM(A1) is no formula" if point == 1 else "",
        photos=(Photo("0" * 64, f"{route.code}-{point}.jpg"),) if point == 5 else (),
        state=SheetState.DRAFT if draft else SheetState.FINAL,
    )
