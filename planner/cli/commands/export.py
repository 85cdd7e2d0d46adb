"""``dimpsy export``: routes and points as files for other programs."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import path
from planner.usecases.exporting import ALL_FORMATS, ExportedFile, RouteFormat, export_routes
from planner.usecases.season.opening import open_season

NAME = "export"
HELP = "write routes and points as GPX, GeoJSON, CSV and KML for other programs"
EPILOG = """formats:
  gpx      each route as a route, its points as waypoints too: for receivers and for most map programs
  geojson  a feature for each point and a line for each route: for map programs and web maps
  csv      two tables, points and routes, as 'dimpsy import' takes them; text that a spreadsheet would
           calculate (it begins with = + - @) has an apostrophe before it, which an import takes away again
  kml      a folder for each route: for globes and web maps

No file holds a home, a name of a person or a telephone number. Places of sensitive wildlife go only to those
who must stand there."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", dest="folder", metavar="DIR", type=path, required=True, help="folder for the files")
    parser.add_argument(
        "--format",
        dest="formats",
        metavar="NAME[,NAME]",
        type=_formats,
        default=ALL_FORMATS,
        help=f"{', '.join(ALL_FORMATS)}, parted by commas (default: all of them)",
    )
    parser.add_argument(
        "--route",
        dest="routes",
        metavar="CODE",
        action="append",
        default=[],
        help="only this route; may be given several times",
    )
    parser.add_argument("--force", action="store_true", help="replace files of other content that stand there")


def run(arguments: argparse.Namespace) -> Report:
    """Export and list what was written."""
    with open_season(arguments.file) as file:
        exported = export_routes(file, arguments.folder, arguments.formats, arguments.routes, force=arguments.force)
    routes = "1 route" if exported.routes == 1 else f"{exported.routes} routes"
    points = "1 point" if exported.points == 1 else f"{exported.points} points"
    lines = [f"{routes} with {points}, in {file_word(arguments.folder)}:"]
    lines += [f"  {_file_line(one)}" for one in exported.files]
    lines += exported.notes
    return Report({"exported": exported}, tuple(lines))


def _file_line(one: ExportedFile) -> str:
    return one.path.name if one.changed else f"{one.path.name} (stood there already)"


def _formats(text: str) -> tuple[RouteFormat, ...]:
    """Read names of formats, for argparse."""
    names = [name.strip().lower() for name in text.split(",")]
    unknown = [name for name in names if name not in set(RouteFormat)]
    if unknown:
        raise argparse.ArgumentTypeError(f"write {', '.join(ALL_FORMATS)}, parted by commas, found {text!r}")
    return tuple(RouteFormat(name) for name in names)
