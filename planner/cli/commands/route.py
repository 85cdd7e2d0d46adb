"""``dimpsy route``: the routes, and one of them: its figures, what is wrong with it, and mending it."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from planner.cli.commands.points import point_lines
from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report, file_word, findings_status
from planner.cli.route_lines import mendable_data, mendable_lines, route_line
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, visit_dates, whole
from planner.domain.plan import Plan
from planner.domain.route import Route
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.naming import route_called, volunteer_called
from planner.usecases.route_fixes.mending import mend, mendable
from planner.usecases.routes.editing import RouteWish, add_route, change_route, drop_route, free_route_code
from planner.usecases.season.opening import open_season

NAME = "route"
HELP = "list the routes; show one with its figures and what could mend it; change, add or drop one"
EPILOG = """  dimpsy route FILE                               all routes
  dimpsy route FILE R04                           one: points, figures, findings
  dimpsy route FILE R04 --mend                    what could be done about each finding; --mend N does it
  dimpsy route FILE R04 --lead V07 --people 2     what it is called and asks for
  dimpsy route FILE R25 --new --name "Long Lane"
  dimpsy route FILE R04 --drop                    what would go with it; with --yes it is done

Points are changed with 'dimpsy points', or laid out with 'dimpsy layout'."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", nargs="?", default="", help="code of the route")
    doing = parser.add_mutually_exclusive_group()
    doing.add_argument("--new", action="store_true", help="add the route, without points")
    doing.add_argument("--drop", action="store_true", help="drop the route, and its visits from the plan")
    doing.add_argument("--mend", metavar="N", nargs="?", type=whole, const=0, help="what could mend it; with N do it")
    parser.add_argument("--yes", action="store_true", help="really drop it")
    parser.add_argument("--code", metavar="TEXT", help="call it by another code")
    parser.add_argument("--name", metavar="TEXT", help="its name")
    parser.add_argument("--area", metavar="TEXT", help="the area that it is counted to; empty: none")
    parser.add_argument("--people", metavar="N", type=whole, help="how many must go, 1 or 2")
    parser.add_argument("--needs", metavar="TEXT", help="vehicle or training that it asks for, parted by semicolons")
    parser.add_argument("--lead", metavar="WHO", help="who has agreed to lead all its visits; empty: nobody")
    parser.add_argument(
        "--visit", metavar="K=FIRST..LAST", type=visit_dates, action="append", help="dates of its own for visit K"
    )
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Do what is asked, and show what stands."""
    wishes = [arguments.code, arguments.name, arguments.area, arguments.people, arguments.needs, arguments.lead]
    changes = any(one is not None for one in (*wishes, arguments.visit))
    _refuse_mixed(arguments, changes=changes)
    if not arguments.route and not arguments.new:
        return _all(arguments)
    if arguments.drop:
        return _drop(arguments)
    writes = changes or arguments.new or bool(arguments.mend)
    with open_for_change(arguments.file) if writes else open_season(arguments.file) as file:
        code, labels = _changed(file, arguments, changes=changes)
        today = today_of(arguments, file.season())
        if arguments.mend:
            labels.append(mend(file, mendable(file, code, today), arguments.mend).label)
        return _shown(file, code, labels, today, offers=arguments.mend == 0)


def _refuse_mixed(arguments: argparse.Namespace, *, changes: bool) -> None:
    if not arguments.route and (changes or arguments.drop or arguments.mend is not None) and not arguments.new:
        raise UsageError("name the route by its code")
    if changes and (arguments.drop or arguments.mend is not None):
        raise UsageError("--drop and --mend do not go with changes of the route")
    if arguments.yes and not arguments.drop:
        raise UsageError("--yes goes with --drop")


def _all(arguments: argparse.Namespace) -> Report:
    with open_season(arguments.file) as file:
        season, plan = file.season(), file.plan()
    lines = [route_line(route, season, plan) for route in season.routes]
    if not lines:
        lines.append("No routes yet: import a file, or lay one out with 'dimpsy layout'.")
    return Report({"routes": season.routes}, tuple(lines))


def _drop(arguments: argparse.Namespace) -> Report:
    name = file_word(arguments.file)
    if arguments.yes:
        with open_for_change(arguments.file) as file:
            dropped = drop_route(file, route_called(file.season(), arguments.route).code)
        data = {"label": dropped.label, "unplanned": dropped.unplanned}
        return Report(data, (f"Done: {dropped.label}.", f"To take it back:  dimpsy undo {name}"))
    with open_season(arguments.file) as file:
        route = route_called(file.season(), arguments.route)
        visits = file.plan().of_route(route.code)
    lines = (
        f"{route.title} has {len(route.points)} points and {len(visits)} visits in the plan; they would go with it.",
        f"To do it:  dimpsy route {name} {route.code} --drop --yes",
    )
    return Report({"label": "", "unplanned": visits}, lines, FINDINGS if visits else DONE)


def _changed(file: SeasonFile, arguments: argparse.Namespace, *, changes: bool) -> tuple[str, list[str]]:
    """Return the code that the route has then, and the steps that were done."""
    code, labels = arguments.route, []
    if arguments.new:
        code = code or free_route_code(file.season())
        labels.append(add_route(file, code, arguments.name or "").label)
    else:
        code = route_called(file.season(), code).code
    if changes:
        season = file.season()
        wish = _wish(season.route(code), arguments, season)
        changed = change_route(file, code, wish)
        if changed.before != changed.after:
            labels.append(changed.label)
        code = wish.code
    return code, labels


def _wish(route: Route, arguments: argparse.Namespace, season: Season) -> RouteWish:
    wish = RouteWish.of(route)
    for name in ("code", "name", "area", "people"):
        if (said := getattr(arguments, name)) is not None:
            wish = replace(wish, **{name: said})
    if arguments.needs is not None:
        wish = replace(wish, needs=frozenset(word.strip() for word in arguments.needs.split(";") if word.strip()))
    if arguments.lead is not None:
        wish = replace(wish, lead=volunteer_called(season, arguments.lead).code if arguments.lead else "")
    if arguments.visit is not None:
        wish = replace(wish, visit_dates=tuple(sorted({**dict(wish.visit_dates), **dict(arguments.visit)}.items())))
    return wish


def _shown(file: SeasonFile, code: str, labels: list[str], today: dt.date, *, offers: bool) -> Report:
    season, plan = file.season(), file.plan()
    found = mendable(file, code, today, offers=offers)
    lines = (
        *(f"Done: {label}." for label in labels),
        *_lines(season.route(code), season, plan),
        *mendable_lines(found, f"dimpsy route {file_word(file.path)} {code} --mend"),
    )
    return Report({"changed": labels, **mendable_data(found)}, lines, findings_status(found.weighed.findings))


def _lines(route: Route, season: Season, plan: Plan) -> Iterator[str]:
    yield route_line(route, season, plan)
    yield from point_lines(route)
