"""The present moment, or one in its place: to look at an evening as it will be."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.usage import date, moment
from planner.domain.season import Season


def add_now_argument(parser: argparse.ArgumentParser) -> None:
    """Add the moment that is taken in place of now."""
    parser.add_argument(
        "--now",
        metavar="MOMENT",
        type=moment,
        help="in place of this moment: YYYY-MM-DDTHH:MM in the season's time zone",
    )


def add_today_argument(parser: argparse.ArgumentParser) -> None:
    """Add the date that is taken in place of today."""
    parser.add_argument("--today", metavar="DATE", type=date, help="in place of today: visits before it are past")


def now_of(arguments: argparse.Namespace, season: Season) -> dt.datetime:
    """Return the moment that is meant, in the season's zone."""
    given: dt.datetime | None = arguments.now
    return dt.datetime.now(tz=season.tzinfo) if given is None else given.replace(tzinfo=season.tzinfo)


def today_of(arguments: argparse.Namespace, season: Season) -> dt.date:
    """Return the date that is meant by today."""
    given: dt.date | None = arguments.today
    return dt.datetime.now(tz=season.tzinfo).date() if given is None else given
