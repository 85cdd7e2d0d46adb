"""``dimpsy layout``: propose points along a road or a track, and take them into the season."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, path, whole
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.usecases.laying_out import (
    Along,
    AlongRoad,
    Laid,
    LayoutRequest,
    ThroughPlaces,
    accept_layout,
    lay_out,
    track_line,
)
from planner.usecases.routes.placing_points import read_place
from planner.usecases.season.opening import open_season, whole_road_network
from planner.usecases.season.problem import roads_from_homes

NAME = "layout"
HELP = "lay out a route's points along a road or a track; --yes takes them, as one step"
EPILOG = """along what:
  dimpsy layout FILE --route R25 --from 54.77,2.20 --to 54.81,2.13        the quickest way, --via for places between
  dimpsy layout FILE --route R25 --road "Furze Lane" --from 54.77,2.20    along that road, --to says which way
  dimpsy layout FILE --route R25 --along drive.gpx                        a track or line of a GPX, KML or GeoJSON file

Points stand as far apart as the protocol wants; bridges, tunnels, motorways, junctions, private roads and stretches
too near to busy roads are left out, as far as the map tells. Look at every place in daylight first.
A place south of the equator is written --from=-36.85,174.76, so that it is not taken for an option.
Without --yes nothing is changed and the exit status is 1; at a terminal you are asked."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--route", metavar="CODE", required=True, help="a new route, or one that gets these points")
    parser.add_argument("--name", metavar="NAME", default="", help="name of the route")
    parser.add_argument("--from", dest="start", metavar="LAT,LON", type=_place, help="where the line begins")
    parser.add_argument("--via", metavar="LAT,LON", type=_place, action="append", default=[], help="a place on the way")
    parser.add_argument("--to", dest="end", metavar="LAT,LON", type=_place, help="where it ends")
    parser.add_argument("--road", metavar="NAME", default="", help="along the road of that name")
    parser.add_argument("--along", metavar="TRACKFILE", type=path, help="along a track or line of a file")
    parser.add_argument("--track", metavar="NAME", default="", help="which track of the file; the longest if not said")
    parser.add_argument(
        "--points", metavar="N", type=whole, help="how many; as many as the protocol allows if not said"
    )
    parser.add_argument(
        "--start-after", metavar="METRES", type=_metres, default=0.0, help="metres before the first point"
    )
    parser.add_argument(
        "--avoid", metavar="FROM-TO", type=_stretch, action="append", default=[], help="no point from metre to metre"
    )
    parser.add_argument("--yes", action="store_true", help="take the points into the season")


def run(arguments: argparse.Namespace) -> Report:
    """Propose points; take them where that is said or answered."""
    request = LayoutRequest(_along(arguments), arguments.points, arguments.start_after, tuple(arguments.avoid))
    with open_season(arguments.file) as file:
        season = file.season()
        network = roads_from_homes(season, whole_road_network(file.path, season.roads))
        laid = lay_out(season.protocol, network, request)
    lines = laid_lines(laid)
    if not laid.points:
        return Report({"laid": laid, "accepted": None}, (*lines, "", "Nothing is changed."), FINDINGS)
    if arguments.yes:
        return _accepted(arguments, laid, (*lines, ""))
    if arguments.json or not (sys.stdin.isatty() and sys.stdout.isatty()):
        todo = ("", "Nothing is changed yet. Add --yes to take these points.")
        return Report({"laid": laid, "accepted": None}, (*lines, *todo), FINDINGS)
    if _answered_yes(lines, arguments.route):
        return _accepted(arguments, laid, ())
    return Report({"laid": laid, "accepted": None}, ("Nothing is changed.",), FINDINGS)


def _accepted(arguments: argparse.Namespace, laid: Laid, lines: tuple[str, ...]) -> Report:
    with open_for_change(arguments.file) as file:
        done = accept_layout(file, arguments.route, arguments.name, laid)
    name = file_word(arguments.file)
    after = (f"Done: {done.label}.", f"Next:  dimpsy check {name}", f"To take it back:  dimpsy undo {name}")
    return Report({"laid": laid, "accepted": done.label}, (*lines, *after), DONE)


def _answered_yes(lines: tuple[str, ...], route: str) -> bool:
    """Show a proposal to the person at the terminal, and ask for it."""
    sys.stdout.write("\n".join(lines) + f"\n\nTake these points as route {route}? [y/N] ")
    sys.stdout.flush()
    return sys.stdin.readline().strip().casefold() in ("y", "yes")


def laid_lines(laid: Laid) -> tuple[str, ...]:
    """Return a proposal as a table, with what was left out and what to know."""
    lines = [
        f"{len(laid.points)} of {laid.wanted} points along {laid.length_m / 1000:.1f} km, {laid.rule}:",
        "point  latitude    longitude    along (m)  from the last (m)",
    ]
    for point in laid.points:
        apart = "" if point.apart_m is None else f"{point.apart_m:,.0f}"
        row = f"{point.number:5d}  {point.place.latitude:9.5f}  {point.place.longitude:10.5f}  {point.along_m:11,.0f}"
        lines.append(f"{row}  {apart:>17}  {point.note}".rstrip())
    if laid.skipped:
        lines += ["", "Left out:", *(f"  {one.words}" for one in laid.skipped)]
    said = [words for words in (laid.why_fewer, *laid.notes) if words]
    return (*lines, "", *said) if said else tuple(lines)


def _along(arguments: argparse.Namespace) -> Along:
    if arguments.along is not None:
        if arguments.start or arguments.end or arguments.via or arguments.road:
            raise UsageError("--along goes without --from, --via, --to and --road: the file says where the line runs")
        return track_line(Path(arguments.along), arguments.track)
    if arguments.road and arguments.start is None:
        raise UsageError("say where on the road the line begins, near enough: --from LAT,LON (and --to for which way)")
    if arguments.start is None or (arguments.end is None and not arguments.road):
        raise UsageError("say where: --from LAT,LON --to LAT,LON, or --road NAME --from LAT,LON, or --along TRACKFILE")
    if arguments.road:
        if arguments.via:
            raise UsageError("--via goes without --road: a road is followed by its name")
        return AlongRoad(arguments.road, arguments.start, arguments.end)
    return ThroughPlaces((arguments.start, *arguments.via, arguments.end))


def _place(text: str) -> Place:
    try:
        return read_place(text)
    except RuleError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _metres(text: str) -> float:
    try:
        metres = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write metres as a number, found {text!r}") from error
    if not 0 <= metres < float("inf"):
        raise argparse.ArgumentTypeError(f"metres must be 0 or more, found {text!r}")
    return metres


def _stretch(text: str) -> tuple[float, float]:
    first, dash, last = text.partition("-")
    if not dash:
        raise argparse.ArgumentTypeError(f"write a stretch as FROM-TO in metres, such as 1200-1500, found {text!r}")
    span = _metres(first), _metres(last)
    if span[0] >= span[1]:
        raise argparse.ArgumentTypeError(f"a stretch goes from fewer metres to more, found {text!r}")
    return span
