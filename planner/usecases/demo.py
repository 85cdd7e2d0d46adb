"""Make a demo season from the shipped, invented routes: imported, checked, planned and printed."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from planner.domain.calendar import DateRange
from planner.domain.errors import Fault, InputError
from planner.domain.finding import Finding
from planner.domain.season import Coordinator, Season
from planner.exchange import write_plan_table
from planner.printing import Paper
from planner.scheduling import OnEvent
from planner.shipped import demo_routes
from planner.store import SeasonFile
from planner.usecases.checking import check
from planner.usecases.importing.import_files import import_sources
from planner.usecases.paper.printing import Printed, print_itineraries
from planner.usecases.plan.planning import Planned, plan
from planner.usecases.plan.risk import PlanRisk
from planner.usecases.season.new_season import SeasonWish, new_season
from planner.usecases.season.opening import make_folder

DEMO_FOLDER = "dimpsy-demo"
INVENTED_MAP = "Invented map, no real place"


class Scenario(StrEnum):
    """The invented seasons that are shipped."""

    HEATH = "heath"
    """Nightjars at dusk, with troubles planted on purpose."""
    REEDHAVEN = "reedhaven"
    """Marsh birds at dawn, in the south, across the change to summer time."""


@dataclass(frozen=True, slots=True)
class DemoMade:
    """A demo season and what the program said of it."""

    path: Path
    season: Season
    findings: tuple[Finding, ...]
    risk: PlanRisk | None
    """What the weather leaves of the plan; None for a scenario without weather."""
    planned: Planned
    printed: tuple[Printed, ...]


def make_demo(
    scenario: Scenario,
    folder: Path | None,
    *,
    paper: Paper = Paper.A4,
    on_event: OnEvent = lambda _event: None,
    say: Callable[[str], None] = lambda _words: None,
) -> DemoMade:
    """Make the season file, import, check, plan and print, and write the plan as a table, all in one folder.

    Args:
        scenario: which invented season.
        folder: a folder that holds no such season yet; None: the next free ``dimpsy-demo`` here.
        paper: size of the sheets.
        on_event: told how planning goes.
        say: told in words what is being done.

    Raises:
        InputError: the folder holds a demo season already, or cannot be made.
    """
    path = _season_path(scenario, folder)
    say("reading routes, volunteers, roads and weather")
    _make_season(scenario, path)
    with SeasonFile.open(path) as file:
        say("planning")
        planned = plan(file, on_event=on_event)
        say("checking")
        checked = check(file)
        printed = print_itineraries(
            file,
            path.parent / "itineraries",
            paper=paper,
            on_done=lambda done, of: say(f"{done} of {of} itineraries written"),
        )
        write_plan_table(path.parent / "plan.csv", file.season(), file.plan())
        return DemoMade(path, file.season(), checked.findings, checked.risk, planned, printed)


def make_demo_season(scenario: Scenario, folder: Path | None) -> Path:
    """Make the season file of a demo with all that is imported, and leave planning and printing to a person.

    Args:
        scenario: which invented season.
        folder: as for ``make_demo``.

    Raises:
        InputError: the folder holds a demo season already, or cannot be made.
    """
    path = _season_path(scenario, folder)
    _make_season(scenario, path)
    return path


def _season_path(scenario: Scenario, folder: Path | None) -> Path:
    folder = folder if folder is not None else free_demo_folder(Path())
    path = folder / f"{scenario.value}.dimpsy"
    if path.exists():
        raise InputError(
            Fault(str(path), "", "a folder without a demo season", "one", "Name another folder: dimpsy demo DIR.")
        )
    make_folder(folder)
    return path


def _make_season(scenario: Scenario, path: Path) -> None:
    source = demo_routes() / scenario.value
    new_season(path, _wish(source / "season.toml"))
    with SeasonFile.open(path) as file:
        import_sources(file, _sources(source), attribution=INVENTED_MAP)


def free_demo_folder(inside: Path) -> Path:
    """Return a folder for a demo, inside another, that is not there yet."""
    folder, number = inside / DEMO_FOLDER, 1
    while folder.exists():
        number += 1
        folder = inside / f"{DEMO_FOLDER}-{number}"
    return folder


def _sources(source: Path) -> list[Path]:
    names = ("routes.csv", "points.csv", "volunteers.csv", "availability.csv", "roads.osm")
    weather = source / "evenings.csv"
    return [source / "routes", *(source / name for name in names), *([weather] if weather.exists() else [])]


def _wish(path: Path) -> SeasonWish:
    """Read the shipped scenario: name, protocol, zone, dates, coordinator."""
    data: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    visits: dict[int, DateRange] = {visit["visit"]: _dates(visit) for visit in data["visits"]}
    return SeasonWish(
        protocol=data["protocol"],
        dates=_dates(data),
        zone=data["zone"],
        name=data["name"],
        visits=visits,
        coordinator=Coordinator(**data["coordinator"]),
    )


def _dates(data: dict[str, dt.date]) -> DateRange:
    return DateRange(data["from"], data["to"])
