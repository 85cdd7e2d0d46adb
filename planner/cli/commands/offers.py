"""``dimpsy offers``: what would fill a visit, and making one of it true."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, whole
from planner.domain.plan import Explanation, VisitKey
from planner.store import SeasonFile
from planner.usecases.naming import visit_called
from planner.usecases.plan.placing import problem_of
from planner.usecases.plan.relaxing import Offer, explained, hindrance, relax
from planner.usecases.season.opening import open_season

NAME = "offers"
HELP = "what would fill a visit that is unfilled, or give it a reserve date; --choose makes one of it true"
EPILOG = """  dimpsy offers FILE                       every visit that lacks something
  dimpsy offers FILE R22 2                 one of them
  dimpsy offers FILE R22 2 --choose 1      make the first offer true: ask the people first

Each offer was tried: planned again with it, the visit is filled. Exit status 1: something is lacking."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", nargs="?", default="", help="code of the route")
    parser.add_argument("visit", metavar="VISIT", nargs="?", type=whole, help="number of the visit")
    parser.add_argument("--choose", metavar="N", type=whole, help="make offer N true; without it nothing is changed")
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Say the offers, or make one true."""
    choose: int | None = arguments.choose
    if (arguments.route and arguments.visit is None) or (choose is not None and not arguments.route):
        raise UsageError("name the visit by ROUTE and VISIT, such as: R22 2")
    with open_season(arguments.file) if choose is None else open_for_change(arguments.file) as file:
        season = file.season()
        key = visit_called(season, arguments.route, arguments.visit) if arguments.route else None
        problem = problem_of(file, today=today_of(arguments, season))
        offer = explained(problem, season, file.plan())
        if choose is not None and key is not None:
            return _chosen(relax(file, offer, key, choose, problem=problem).label, file)
    return _offered(offer, key, file_word(arguments.file))


def _chosen(label: str, file: SeasonFile) -> Report:
    name = file_word(file.path)
    lines = (
        f"Done: {label}.",
        f"Tell those it touches:  dimpsy notices {name} --to DIR --changed",
        f"To take it back:  dimpsy undo {name}",
    )
    return Report({"label": label}, lines)


def _offered(offer: Offer, key: VisitKey | None, file: str) -> Report:
    shown = [one for one in offer.explanations if key in (None, one.key)]
    lines = [line for one in shown for line in _lines(one, offer)]
    if not shown:
        lines.append("Nothing is lacking: it is filled, with a reserve date.")
    elif any(one.relaxations for one in shown):
        lines.append(f"To make one true:  dimpsy offers {file} ROUTE VISIT --choose N")
    data = {"lacking": shown}
    return Report(data, tuple(lines), FINDINGS if shown else DONE)


def _lines(one: Explanation, offer: Offer) -> Iterator[str]:
    yield f"{one.key} {'has no reserve date' if one.lacks_reserve_only else 'is unfilled'}:"
    yield from (f"  - {reason}" for reason in one.reasons)
    for number, relaxation in enumerate(one.relaxations, start=1):
        yield f"  {number}. {relaxation.what}"
        instead = hindrance(offer.season, relaxation)
        yield from ([f"     {instead}"] if instead else [])
    if one.tried:
        yield f"  {one.tried}"
