"""Visits as they are named on the command line: route and number, one after the other."""

from __future__ import annotations

import argparse

from planner.cli.usage import UsageError, whole
from planner.domain.plan import VisitKey
from planner.domain.season import Season
from planner.usecases.naming import visit_called


def add_visit_argument(parser: argparse.ArgumentParser) -> None:
    """Add one visit, ROUTE VISIT."""
    parser.add_argument("route", metavar="ROUTE", help="code of the route")
    parser.add_argument("visit", metavar="VISIT", type=whole, help="number of the visit")


def add_visits_argument(parser: argparse.ArgumentParser) -> None:
    """Add one visit or several, each by ROUTE and VISIT."""
    parser.add_argument("visits", metavar="ROUTE VISIT", nargs="+", help="one visit or several, such as R04 1 R07 2")


def visits_of(words: list[str], season: Season) -> tuple[VisitKey, ...]:
    """Return the visits that are named.

    Raises:
        UsageError: a number is missing, or is none.
        RuleError: the season has no such route or visit.
    """
    if len(words) % 2:
        raise UsageError(f"name each visit by route and number, such as R04 1, found {' '.join(words)!r}")
    keys = []
    for route, number in zip(words[::2], words[1::2], strict=True):
        try:
            keys.append(visit_called(season, route, whole(number)))
        except argparse.ArgumentTypeError as error:
            raise UsageError(f"after {route} comes the number of its visit: {error}") from error
    return tuple(dict.fromkeys(keys))
