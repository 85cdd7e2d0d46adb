"""``dimpsy calibrate``: what recorded drives came to, before and after, and planning with it."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.calibration_lines import calibrated_data, calibrated_lines
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import path as file_path
from planner.domain.errors import ImpossibleError
from planner.store import SeasonFile
from planner.usecases.calibrating import (
    Calibrated,
    calibration,
    forget_calibration,
    read_figure,
    take_over_figure,
    use_calibration,
    write_figure,
)
from planner.usecases.season.opening import open_season, whole_road_network
from planner.usecases.season.problem import season_problem

NAME = "calibrate"
HELP = "show what recorded drives came to beside what was expected, and plan with it"
EPILOG = """examples:
  dimpsy calibrate FILE                          before and after, nothing is changed
  dimpsy calibrate FILE --yes                    plan with it from now on; dimpsy undo takes it back
  dimpsy calibrate FILE --to drives_2027.toml    hand the season's figure on to the next season
  dimpsy calibrate FILE --from drives_2026.toml  begin with last year's figure
  dimpsy calibrate FILE --forget                 back to drives without them

Recorded drives are from the end of one count to the arrival at the next point, of records that are finished.
Never plan to drive faster than the law, the road and the dark allow."""

_UNCHANGED = "Nothing to change: drives are planned so already."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    change = parser.add_mutually_exclusive_group()
    change.add_argument("--yes", action="store_true", help="plan with what recorded drives came to")
    change.add_argument(
        "--from", dest="source", metavar="FIGURE", type=file_path, help="plan with another season's figure (TOML)"
    )
    change.add_argument("--forget", action="store_true", help="plan with drives as if none had been recorded")
    parser.add_argument("--to", metavar="FIGURE", type=file_path, help="write the season's figure for the next (TOML)")


def run(arguments: argparse.Namespace) -> Report:
    """Show what recorded drives came to, and do what is asked with it."""
    if arguments.forget:
        return _forget(arguments)
    if arguments.source is not None:
        return _take_over(arguments)
    opener = open_for_change if arguments.yes else open_season
    with opener(arguments.file) as file:
        found = _calibrated(file)
        if found.season is None and (arguments.yes or arguments.to is None):
            raise _nothing(found)
        handed_on = _handed_on(arguments, file, found) if arguments.to is not None else ()
        label = use_calibration(file, found.factors).label if arguments.yes else ""
        lines = calibrated_lines(found) if found.season is not None else ()
        lines += (*_said(arguments, found, label), *handed_on)
    status = FINDINGS if found.broken else DONE
    return Report({"changed": label, **calibrated_data(found), "to": arguments.to}, lines, status)


def _calibrated(file: SeasonFile) -> Calibrated:
    season = file.season()
    network = whole_road_network(file.path, season.roads)
    problem = season_problem(season, network, dt.datetime.now(tz=season.tzinfo).date())
    return calibration(problem, file.plan(), network, file.records())


def _nothing(found: Calibrated) -> ImpossibleError:
    why = [f"{one.what}: {one.why}" for one in found.left_out] or ["there are no visit records yet"]
    return ImpossibleError("Too little is recorded to say what drives come to: it takes three drives.", *why)


def _said(arguments: argparse.Namespace, found: Calibrated, label: str) -> tuple[str, ...]:
    file = file_word(arguments.file)
    if label:
        return (f"{label}.", f"Next:  dimpsy check {file}, then dimpsy plan {file}; dimpsy undo {file} takes it back.")
    if arguments.yes or (found.season is not None and not found.changes):
        return (_UNCHANGED,)
    return (f"Nothing is changed yet. To plan with it:  dimpsy calibrate {file} --yes",) if found.changes else ()


def _handed_on(arguments: argparse.Namespace, file: SeasonFile, found: Calibrated) -> tuple[str, ...]:
    """Write the figure: what is recorded, else what is planned with."""
    season = file.season()
    figure = write_figure(arguments.to, season, found.factors if found.season is not None else season.drive_factors)
    return (f"{file_word(arguments.to)}: drives x {figure.factor:.2f}, {len(figure.classes)} road classes.",)


def _take_over(arguments: argparse.Namespace) -> Report:
    with open_for_change(arguments.file) as file:
        if arguments.to is not None:
            write_figure(arguments.to, file.season(), read_figure(arguments.source).factors())
        taken = take_over_figure(file, arguments.source)
        changed = taken.changed
        lines = (f"{changed.label}." if changed.label else _UNCHANGED, *([taken.note] if taken.note else []))
    return Report({"changed": changed.label, "factors": changed.factors, "note": taken.note, "to": arguments.to}, lines)


def _forget(arguments: argparse.Namespace) -> Report:
    with open_for_change(arguments.file) as file:
        if arguments.to is not None:
            write_figure(arguments.to, file.season(), file.season().drive_factors)
        changed = forget_calibration(file)
    line = f"{changed.label}." if changed.label else _UNCHANGED
    return Report({"changed": changed.label, "factors": changed.factors, "to": arguments.to}, (line,))
