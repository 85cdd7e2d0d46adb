"""``dimpsy settle``: visits that are agreed, that must stay, or that go out of the plan."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Callable, Mapping
from functools import partial

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.visit_arguments import add_visits_argument, visits_of
from planner.usecases.plan.placing import Placed, confirm, pin, take_out, unconfirm, unpin

NAME = "settle"
HELP = "write down that people have agreed to visits, let visits stay as they are, or take them out of the plan"
EPILOG = """  dimpsy settle FILE R04 1 R07 2 --confirm         their people have agreed: planning leaves them alone
  dimpsy settle FILE R04 1 --unconfirm
  dimpsy settle FILE R04 1 --pin                   it stays as it is, whatever is planned
  dimpsy settle FILE R04 1 --unpin
  dimpsy settle FILE R04 1 --take-out              it is unfilled

Several visits are one step, which 'dimpsy undo' takes back."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    add_visits_argument(parser)
    what = parser.add_mutually_exclusive_group(required=True)
    for name, words in _WORDS.items():
        what.add_argument(f"--{name}", dest="what", action="store_const", const=name, help=words)
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Do it for every visit that is named, as one step."""
    with open_for_change(arguments.file) as file:
        season = file.season()
        keys = visits_of(arguments.visits, season)
        placed = _does(arguments.what, today_of(arguments, season))(file, *keys)
    done = (f"Done: {placed.label}.", f"To take it back:  dimpsy undo {file_word(arguments.file)}")
    data = {"label": placed.label if placed.changed else "", "changed": placed.changed}
    return Report(data, done if placed.changed else ("It stands so already.",))


def _does(what: str, today: dt.date) -> Callable[..., Placed]:
    return partial(take_out, today=today) if what == "take-out" else _DOES[what]


_DOES: Mapping[str, Callable[..., Placed]] = {"confirm": confirm, "unconfirm": unconfirm, "pin": pin, "unpin": unpin}
_WORDS = {
    "confirm": "its people have agreed",
    "unconfirm": "they have not, after all",
    "pin": "it stays as it is, whatever is planned",
    "unpin": "planning may change it again",
    "take-out": "it is unfilled",
}
