"""``dimpsy new``: an empty season under a protocol."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.usage import any_date, path, place, visit_dates
from planner.domain.calendar import DateRange
from planner.domain.season import Coordinator
from planner.exchange import protocol_names
from planner.usecases.season.new_season import SeasonWish, new_season

NAME = "new"
HELP = "make a new season file under a protocol"
EPILOG = (
    "shipped protocols:\n"
    + "\n".join(f"  {name}" for name in protocol_names())
    + "\n\na protocol of your own is a .toml file; copy a shipped one and change it:\n"
    "  dimpsy protocols --copy NAME --to MY_SURVEY.toml"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("file", metavar="FILE", type=path, help="the season file to make, NAME.dimpsy")
    parser.add_argument(
        "--protocol", metavar="NAME", required=True, help="a shipped protocol, or a .toml file of your own"
    )
    parser.add_argument(
        "--from", dest="first", metavar="DATE", type=any_date, required=True, help="first day, YYYY-MM-DD"
    )
    parser.add_argument("--to", dest="last", metavar="DATE", type=any_date, required=True, help="last day, YYYY-MM-DD")
    parser.add_argument(
        "--zone", metavar="ZONE", default="", help="time zone of the routes, such as Europe/London; needed"
    )
    parser.add_argument(
        "--at",
        metavar="LAT,LON",
        type=place,
        help="a place of the routes, by which the time zone is found offline; needs dimpsy[zones] (34 MB, ODbL);"
        " write --at=-33.9,151.2 where it begins with a minus",
    )
    parser.add_argument("--name", default="", help="name of the season; else the file's")
    parser.add_argument(
        "--visit",
        metavar="K=FIRST..LAST",
        action="append",
        type=visit_dates,
        default=[],
        help="dates of visit K where they differ from the protocol's usual ones; may be repeated",
    )
    parser.add_argument("--coordinator", metavar="NAME", default="", help="printed on every paper")
    parser.add_argument("--telephone", default="", help="the coordinator's number, printed on every paper")
    parser.add_argument("--email", default="", help="the coordinator's address, printed on every paper")


def run(arguments: argparse.Namespace) -> Report:
    """Make the file and say what it holds."""
    made = new_season(
        arguments.file,
        SeasonWish(
            protocol=arguments.protocol,
            dates=DateRange(arguments.first, arguments.last),
            zone=arguments.zone,
            at=arguments.at,
            name=arguments.name,
            visits=dict(arguments.visit),
            coordinator=Coordinator(arguments.coordinator, arguments.telephone, arguments.email),
        ),
    )
    season = made.season
    lines = [f"Made {file_word(made.path)}: {season.name}, {season.protocol.name}, {season.dates}, {season.zone}."]
    lines += [f"  Visit {number}: {dates}" for number, dates in enumerate(season.visits, start=1)]
    lines += made.notes
    lines.append(f"Next:  dimpsy import {file_word(made.path)} ROUTES.gpx VOLUNTEERS.csv AVAILABILITY.csv ROADS.osm")
    data = {
        "file": made.path,
        "season": season.name,
        "protocol": season.protocol.name,
        "zone": season.zone,
        "dates": season.dates,
        "visits": season.visits,
        "notes": made.notes,
    }
    return Report(data, tuple(lines))
