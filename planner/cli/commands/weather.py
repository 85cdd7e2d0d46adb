"""``dimpsy weather``: what is seen or forecast of an evening, and what the protocol says of it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.evening_lines import call_words, evening_data, verdict_lines
from planner.cli.moment_argument import add_now_argument, now_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import codes, date
from planner.domain.conditions import Condition
from planner.domain.weather import Quantity
from planner.store import SeasonFile
from planner.usecases.evening.conditions import forget_conditions, keep_conditions, read_conditions, unverified_limits
from planner.usecases.evening.tonight import Evening, evening_of
from planner.usecases.naming import route_called
from planner.usecases.season.opening import open_season
from planner.usecases.wording import day_words

NAME = "weather"
HELP = "write down what is forecast or seen of an evening, and judge it: go, wait or no-go"
EPILOG = """  dimpsy weather FILE 2027-05-10                         what the protocol says as far as it is known
  dimpsy weather FILE 2027-05-10 --wind "12 km/h" --rain none
  dimpsy weather FILE 2027-05-10 --wind "16 mph" --routes R03,R07    these routes only
  dimpsy weather FILE 2027-05-10 --forget

A figure has its unit; a word is none, some (nobody has judged it yet), within (it keeps to the protocol's words) or
beyond. A table of forecasts comes in with 'dimpsy import'. Exit status 1: an outing stands against the weather."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("date", metavar="DATE", type=date, help="the evening, YYYY-MM-DD")
    for quantity in Quantity:
        parser.add_argument(
            f"--{quantity.value.replace('_', '-')}",
            metavar="VALUE",
            dest=quantity.value,
            default="",
            help=_HELP[quantity],
        )
    parser.add_argument(
        "--routes", metavar="CODES", type=codes, default=(), help="for these routes only, parted by commas"
    )
    parser.add_argument("--forget", action="store_true", help="first take away what is written down")
    add_now_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Write down what is given and say what the protocol says."""
    known = read_conditions({quantity: getattr(arguments, quantity.value) for quantity in Quantity})
    change = bool(known or arguments.forget)
    with open_for_change(arguments.file) if change else open_season(arguments.file) as file:
        labels = list(_change(file, arguments, known))
        evening = evening_of(file, now_of(arguments, file.season()), arguments.date)
    lines = (*(f"{label}." for label in labels), *_lines(evening, file_word(arguments.file)))
    against = any(now.stands_against_weather for now in evening.outings)
    return Report({"changed": labels, **evening_data(evening)}, lines, FINDINGS if against else DONE)


def _change(file: SeasonFile, arguments: argparse.Namespace, known: list[Condition]) -> Iterator[str]:
    routes = [route_called(file.season(), code).code for code in arguments.routes]
    if arguments.forget:
        yield forget_conditions(file, arguments.date, routes).label
    if known:
        yield keep_conditions(file, arguments.date, known, routes).label


def _lines(evening: Evening, file: str) -> Iterator[str]:
    counting = [now for now in evening.outings if now.outing.counts]
    if not counting:
        yield f"No visit is on {day_words(evening.date)}."
    told: dict[tuple[str, ...], list[str]] = {}
    for now in counting:
        assert now.verdict is not None, "every outing that counts is judged"
        said = (call_words(now.verdict), *verdict_lines(now.verdict))
        told.setdefault(said, []).append(now.outing.key.route)
    for said, outings in told.items():
        yield f"{said[0]}: {', '.join(outings)}"
        yield from (f"    {line}" for line in said[1:])
    if counting and unverified_limits(evening.season.protocol):
        yield "Some of the protocol's limits are from memory: check them in the survey's own rules."
    if any(now.stands_against_weather for now in evening.outings):
        yield f"To cancel them:  dimpsy cancel {file} --evening {evening.date} --no-go --because weather"


_FIGURE = "a figure with its unit, or a word"
_WORD = "a word: none, some, within, beyond"
_HELP = {
    Quantity.WIND: f"{_FIGURE}, such as '12 km/h', '8 mph' or '3 m/s'",
    Quantity.RAIN: _WORD,
    Quantity.FOG: _WORD,
    Quantity.SNOW: _WORD,
    Quantity.CLOUD: f"{_FIGURE}, such as '60 %%'",
    Quantity.AIR_TEMPERATURE: f"{_FIGURE}, such as '9 C' or '48 F'",
    Quantity.WATER_TEMPERATURE: f"{_FIGURE}, such as '9 C' or '48 F'",
    Quantity.NOISE: _WORD,
}
