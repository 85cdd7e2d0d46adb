"""``dimpsy season``: what the season is called, when it runs, and what is expected of the weather."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, visit_dates
from planner.domain.calendar import DateRange
from planner.domain.lost_evenings import USUAL_PERSISTENCE, half_month_name
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.season.form import (
    chances_of,
    expect_no_weather,
    expect_weather,
    half_months_called,
    note_on_season,
    rename_season,
    set_season_dates,
)
from planner.usecases.season.opening import open_season

NAME = "season"
HELP = "show or change what the season is called, its dates, your notes, and how often weather takes an evening"
EPILOG = """  dimpsy season FILE
  dimpsy season FILE --name "Heath 2027" --notes "gate code in the blue folder"
  dimpsy season FILE --to 2027-07-10 --visit 2=2027-06-04..2027-07-08
  dimpsy season FILE --lost 25                           a quarter of all evenings
  dimpsy season FILE --lost "early May=30" --lost "late May=20"
  dimpsy season FILE --no-weather                        say nothing of the weather any more

With --lost, 'dimpsy check' says how likely each route completes its visits."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--name", metavar="TEXT", help="what it is called, on every paper")
    parser.add_argument("--notes", metavar="TEXT", help="your own notes")
    parser.add_argument("--from", dest="first", metavar="DATE", type=date, help="its first date")
    parser.add_argument("--to", dest="last", metavar="DATE", type=date, help="its last date")
    parser.add_argument(
        "--visit", metavar="K=FIRST..LAST", type=visit_dates, action="append", default=[], help="dates of visit K"
    )
    parser.add_argument(
        "--lost", metavar="PERCENT", type=_lost, action="append", default=[], help="evenings that weather takes, in 100"
    )
    parser.add_argument("--persistence", metavar="PERCENT", type=_share, help="how long bad weather stays, in 100")
    parser.add_argument("--no-weather", action="store_true", help="say nothing of the weather")


def run(arguments: argparse.Namespace) -> Report:
    """Change what is given, and show what stands."""
    if arguments.no_weather and (arguments.lost or arguments.persistence is not None):
        raise UsageError("--no-weather does not go with --lost or --persistence")
    changes = [
        arguments.name is not None,
        arguments.notes is not None,
        arguments.first or arguments.last or arguments.visit,
        arguments.lost or arguments.persistence is not None or arguments.no_weather,
    ]
    with open_for_change(arguments.file) if any(changes) else open_season(arguments.file) as file:
        labels = [label for label in _changes(file, arguments) if label]
        season = file.season()
    lines = [f"{label}." for label in labels]
    if any(changes) and not labels:
        lines.append("Nothing to change: it is so already.")
    data = {
        "changed": labels,
        "name": season.name,
        "protocol": season.protocol.name,
        "zone": season.zone,
        "dates": season.dates,
        "visits": season.visits,
        "notes": season.notes,
        "lost_evenings": season.lost_evenings,
    }
    return Report(data, (*lines, *_lines(season)))


def _changes(file: SeasonFile, arguments: argparse.Namespace) -> Iterator[str]:
    if arguments.name is not None:
        yield rename_season(file, arguments.name).label
    if arguments.notes is not None:
        yield note_on_season(file, arguments.notes).label
    if arguments.first or arguments.last or arguments.visit:
        stands = file.season().dates
        dates = DateRange(arguments.first or stands.first, arguments.last or stands.last)
        yield set_season_dates(file, dates, dict(arguments.visit)).label
    if arguments.no_weather:
        yield expect_no_weather(file).label
    if arguments.lost or arguments.persistence is not None:
        yield expect_weather(
            file, _chances(file.season(), arguments.lost), _persistence(file.season(), arguments)
        ).label


def _chances(season: Season, lost: list[tuple[str, float]]) -> Mapping[int, float]:
    return {number: share for name, share in lost for number in half_months_called(season, name)}


def _persistence(season: Season, arguments: argparse.Namespace) -> float:
    if arguments.persistence is not None:
        return float(arguments.persistence)
    return season.lost_evenings.persistence if season.lost_evenings is not None else USUAL_PERSISTENCE


def _lines(season: Season) -> Iterator[str]:
    yield f"{season.name}, {season.protocol.name}, {season.dates}, {season.zone}"
    yield from (f"  Visit {number}: {dates}" for number, dates in enumerate(season.visits, start=1))
    yield f"  {len(season.routes)} routes, {len(season.volunteers)} volunteers"
    for number, chance in chances_of(season):
        if chance is not None:
            yield f"  {half_month_name(number)}: {100 * chance:.0f} % of the evenings lost to weather"
    if season.lost_evenings is not None:
        yield f"  persistence of the weather {100 * season.lost_evenings.persistence:.0f} %"
    if season.notes:
        yield f"  Notes: {season.notes}"


def _lost(text: str) -> tuple[str, float]:
    name, equals, percent = text.rpartition("=")
    return (name.strip() if equals else ""), _share(percent)


def _share(text: str) -> float:
    try:
        percent = float(text.replace("%", "").replace(",", ".").strip())
    except ValueError:
        percent = -1.0
    if not 0.0 <= percent <= 100.0:
        raise argparse.ArgumentTypeError(f"write percent from 0 to 100, such as 25 or 'early May=30', found {text!r}")
    return percent / 100
