"""``dimpsy points``: the points of a route by hand."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, place, whole
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.store import SeasonFile
from planner.usecases.naming import route_called
from planner.usecases.routes.editing import RouteChanged, add_point, change_point, drop_points, shift_point

NAME = "points"
HELP = "add a point to a route, move one, note how it is found, change the order, or drop points"
EPILOG = """  dimpsy points FILE R04 --add 51.62,-1.31 --after 3 --note "by the oak"
  dimpsy points FILE R04 --move 3 --at 51.62,-1.31
  dimpsy points FILE R04 --move 3 --earlier            counted before the one before it
  dimpsy points FILE R04 --move 3 --note "beyond the gate"
  dimpsy points FILE R04 --drop 3 7

'dimpsy layout' lays out all points of a route along a road; 'dimpsy route' shows what comes of them. Write
--at=-33.9,151.2 where a place begins with a minus. Only points where one may lawfully and safely stand: pull fully off
the road."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", help="code of the route")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--add", metavar="LAT,LON", type=place, help="a new point")
    what.add_argument("--move", metavar="N", type=whole, help="change point N")
    what.add_argument("--drop", metavar="N", type=whole, nargs="+", help="drop these points; the others keep numbers")
    parser.add_argument("--after", metavar="N", type=int, help="with --add: behind point N; 0: the first")
    parser.add_argument("--at", metavar="LAT,LON", type=place, help="with --move: where it stands now")
    parser.add_argument("--number", metavar="N", type=whole, help="with --move: its new number")
    parser.add_argument("--earlier", action="store_true", help="with --move: changes places with the one before")
    parser.add_argument("--later", action="store_true", help="with --move: changes places with the one behind")
    parser.add_argument("--note", metavar="TEXT", help="with --add or --move: how it is found")


def run(arguments: argparse.Namespace) -> Report:
    """Change the points, and show them."""
    _refuse_strange(arguments)
    with open_for_change(arguments.file) as file:
        changed = _changed(file, arguments)
    route = changed.after
    assert route is not None, "no route is dropped here"
    lines = (
        f"Done: {changed.label}.",
        *point_lines(route),
        f"To take it back:  dimpsy undo {file_word(arguments.file)}",
    )
    return Report({"label": changed.label, "route": route}, lines)


def point_lines(route: Route) -> Iterator[str]:
    """Yield the points of a route in their order."""
    for point in route.points:
        yield f"  {point.number:3d}  {_words(point.place)}{'  ' if point.note else ''}{point.note}"


def _words(where: Place) -> str:
    return f"{where.latitude:.5f}, {where.longitude:.5f}"


def _changed(file: SeasonFile, arguments: argparse.Namespace) -> RouteChanged:
    code = route_called(file.season(), arguments.route).code
    if arguments.add is not None:
        return add_point(file, code, arguments.add, after=arguments.after, note=arguments.note or "")
    if arguments.drop:
        return drop_points(file, code, arguments.drop)
    if arguments.earlier or arguments.later:
        return shift_point(file, code, arguments.move, -1 if arguments.earlier else 1)
    return change_point(
        file,
        code,
        arguments.move,
        new_number=arguments.number,
        place=arguments.at,
        note=arguments.note,
    )


_GOES_WITH = {
    "add": ("after", "note"),
    "drop": (),
    "move": ("at", "number", "earlier", "later", "note"),
}


def _refuse_strange(arguments: argparse.Namespace) -> None:
    """Refuse what would be ignored."""
    doing = "add" if arguments.add is not None else "drop" if arguments.drop else "move"
    given = [name for name in ("after", "at", "number", "earlier", "later", "note") if _is_given(arguments, name)]
    strange = [f"--{name}" for name in given if name not in _GOES_WITH[doing]]
    if strange:
        raise UsageError(f"--{doing} does not go with {' and '.join(strange)}")
    if doing == "move" and not given:
        raise UsageError("--move needs --at, --number, --earlier, --later or --note")
    if (arguments.earlier or arguments.later) and len(given) > 1:
        raise UsageError("--earlier and --later go alone with --move")


def _is_given(arguments: argparse.Namespace, name: str) -> bool:
    return getattr(arguments, name) not in (None, False)
