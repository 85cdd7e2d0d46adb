"""``dimpsy roads``: what the season's road map holds, and how fast its roads are driven."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.usecases.roads.road_maps import RoadClass, RoadMapFacts, reset_road_speeds, road_map_facts, set_road_speeds
from planner.usecases.season.opening import LOST_WORDS, open_season

NAME = "roads"
HELP = "show what the road map holds and the speed on each class of road; change speeds for this season"
EPILOG = """examples:
  dimpsy roads FILE                                     every class, its length and its speed
  dimpsy roads FILE --speed tertiary=40 --speed track=15
  dimpsy roads FILE --factor 0.9                        every drive a ninth longer
  dimpsy roads FILE --reset                             back to the table of speeds

Never plan to drive faster than the law, the road and the dark allow."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument(
        "--speed", metavar="CLASS=KMH", type=_speed, action="append", default=[], help="km/h on one class of road"
    )
    parser.add_argument("--factor", metavar="F", type=float, help="what every speed is multiplied by, such as 0.9")
    parser.add_argument("--reset", action="store_true", help="first go back to the table of speeds")


def run(arguments: argparse.Namespace) -> Report:
    """Change what is given, and show what stands."""
    labels = list(_changes(arguments))
    with open_season(arguments.file) as file:
        facts = road_map_facts(file)
    return Report({"changed": labels, "roads": facts}, (*(f"{label}." for label in labels), *_lines(facts)))


def _changes(arguments: argparse.Namespace) -> Iterator[str]:
    if not (arguments.reset or arguments.speed or arguments.factor is not None):
        return
    with open_for_change(arguments.file) as file:
        if arguments.reset:
            yield reset_road_speeds(file).label or "Nothing to change: the speeds are those of the table"
        if arguments.speed or arguments.factor is not None:
            changed = set_road_speeds(file, dict(arguments.speed), factor=arguments.factor)
            yield changed.label or "Nothing to change: it is so already"


def _lines(facts: RoadMapFacts) -> Iterator[str]:
    if facts.road_map is None:
        yield "No road map: every drive is an estimate. Import an OpenStreetMap extract of the area."
    else:
        yield f"Road map: {facts.road_map.source_name}, {facts.road_map.attribution}."
        if not facts.found:
            yield f"It {LOST_WORDS}: import {facts.road_map.source_name} again."
    yield from (f"  {note}" for note in facts.notes)
    if facts.recorded:
        yield facts.recorded
    yield ""
    yield f"{'class':16s} {'km':>8s} {'free km/h':>10s} {'driven km/h':>12s}  source"
    shown = [one for one in facts.classes if one.km or not facts.found]
    yield from (_line(one) for one in shown)
    yield "free: where the map has no speed limit; driven: on the whole, with its limits and surfaces, and as recorded"


def _line(one: RoadClass) -> str:
    driven = "-" if one.driven_kmh is None else f"{one.driven_kmh:.0f}"
    return f"{one.kind:16s} {one.km:8.1f} {one.typical_kmh:10.0f} {driven:>12s}  {one.source}"


def _speed(text: str) -> tuple[str, float]:
    kind, _, kmh = text.partition("=")
    try:
        return kind.strip(), float(kmh.replace(",", "."))
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a class and its km/h, such as tertiary=40, found {text!r}") from None
