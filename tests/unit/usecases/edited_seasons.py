"""A small season file with a plan made by hand, for the tests of what changes its routes."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from planner.domain.calendar import DateRange
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.shipped import demo_routes
from planner.store import SeasonFile
from planner.usecases.importing.import_files import import_sources
from planner.usecases.season.new_season import SeasonWish, new_season
from tests.unit.usecases.checked_seasons import Checked, june

SEASON = Checked().season
"""Routes R1 and R2 of four points each, volunteers V1 to V3, two visits."""


def visit(route: str, number: int, day: dt.date, *, status: Status = Status.PLANNED) -> PlannedVisit:
    """A visit that V1 leads at dusk."""
    return PlannedVisit(VisitKey(route, number), "V1", day, "dusk", status=status)


PLAN = Plan((visit("R1", 1, june(2)), visit("R1", 2, june(12)), visit("R2", 1, june(4))))


def season_file(folder: Path, season: Season = SEASON, plan: Plan = PLAN) -> SeasonFile:
    """Make a season file in a folder, with the plan as its first step."""
    file = SeasonFile.create(folder / "season.dimpsy", season)
    with file.step("Plan by hand"):
        file.save_plan(plan)
    return file


def made(plan: Plan, key: VisitKey) -> Plan:
    """Return the plan in which that visit has been made."""
    return plan.with_visit(replace(plan.by_key[key], status=Status.DONE))


def heath_file(folder: Path) -> SeasonFile:
    """Make the dusk demo without planning it: routes with their planted troubles, volunteers and roads."""
    source = demo_routes() / "heath"
    path = folder / "heath.dimpsy"
    new_season(
        path,
        SeasonWish(
            protocol="heath_nightjars",
            dates=DateRange(dt.date(2027, 5, 3), dt.date(2027, 7, 2)),
            zone="Europe/London",
            visits={1: DateRange(dt.date(2027, 5, 10), june(3)), 2: DateRange(june(4), dt.date(2027, 7, 2))},
        ),
    )
    file = SeasonFile.open(path)
    tables = ("routes.csv", "points.csv", "volunteers.csv", "availability.csv", "roads.osm")
    import_sources(file, [source / "routes", *(source / name for name in tables)])
    return file
