"""``dimpsy people``: who goes out, how often and how far."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument
from planner.domain.season import Season
from planner.usecases.people.load import PersonRow, people_rows
from planner.usecases.season.opening import open_season

NAME = "people"
HELP = "list the volunteers: how to reach them, how many visits they have and offered"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """List everybody, in the season's order."""
    with open_season(arguments.file) as file:
        season, plan = file.season(), file.plan()
    rows = people_rows(season, plan)
    data = {"people": [{"volunteer": row.person.code, "name": row.person.name, "load": row.load} for row in rows]}
    return Report(data, tuple(_lines(rows, season)))


def _lines(rows: tuple[PersonRow, ...], season: Season) -> Iterator[str]:
    if not rows:
        yield "Nobody yet: import a table of volunteers, or enter one with 'dimpsy person FILE --new'."
    width = max((len(one.name) for one in season.volunteers), default=0)
    for row in rows:
        person, load = row.person, row.load
        yield (
            f"{person.code:6} {person.name:{width}}  {person.telephone or 'no number':14}"
            f"  {load.planned} of {load.limit} visits, {load.word.value}"
        )
