"""``dimpsy board``: the plan, by date."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator

from planner.cli.output import DONE, FINDINGS, Report
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import date
from planner.cli.visit_lines import visit_line
from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.usecases.naming import route_called, volunteer_called
from planner.usecases.plan.relaxing import Lacking, lacking_visits
from planner.usecases.season.opening import open_season

NAME = "board"
HELP = "show the plan: every visit by date, who goes, what is held back, and what is unfilled"
EPILOG = """  dimpsy board FILE                                          the whole season
  dimpsy board FILE --who V07
  dimpsy board FILE --route R04
  dimpsy board FILE --from 2027-05-10 --to 2027-05-16

Exit status 1: visits are unfilled. 'dimpsy offers' says what would fill them."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--who", metavar="WHO", default="", help="visits of this volunteer only, by code or name")
    parser.add_argument("--route", metavar="CODE", default="", help="visits of this route only")
    parser.add_argument("--from", dest="first", metavar="DATE", type=date, help="visits from this date on")
    parser.add_argument("--to", dest="last", metavar="DATE", type=date, help="visits up to this date")


def run(arguments: argparse.Namespace) -> Report:
    """List visits, and those that are unfilled."""
    with open_season(arguments.file) as file:
        season, plan = file.season(), file.plan()
    who = volunteer_called(season, arguments.who).code if arguments.who else ""
    route = route_called(season, arguments.route).code if arguments.route else ""
    visits = sorted(_meant(arguments, who, route, plan), key=lambda visit: (visit.date, visit.key))
    lacking = [one for one in lacking_visits(season, plan) if not one.reserve_only and not who]
    lacking = [one for one in lacking if route in ("", one.key.route)]
    data = {"visits": visits, "unfilled": [one.key for one in lacking]}
    return Report(data, tuple(_lines(visits, lacking, season)), FINDINGS if lacking else DONE)


def _meant(arguments: argparse.Namespace, who: str, route: str, plan: Iterable[PlannedVisit]) -> Iterator[PlannedVisit]:
    for visit in plan:
        of_person = not who or who in visit.people
        of_route = route in ("", visit.key.route)
        early = arguments.first is not None and visit.date < arguments.first
        late = arguments.last is not None and visit.date > arguments.last
        if of_person and of_route and not early and not late:
            yield visit


def _lines(visits: list[PlannedVisit], lacking: list[Lacking], season: Season) -> Iterator[str]:
    yield from (visit_line(visit, season) for visit in visits)
    yield f"{len(visits)} visits." if len(visits) != 1 else "1 visit."
    if lacking:
        yield f"Unfilled: {', '.join(str(one.key) for one in lacking)}."
