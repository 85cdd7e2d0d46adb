"""What a person may choose about a file that is imported: as options of the command line, both ways."""

from __future__ import annotations

import argparse
import shlex

from planner.exchange import Choices


def add_choices(parser: argparse.ArgumentParser) -> None:
    """Add an option for each choice."""
    group = parser.add_argument_group("how to read one file, where the preview offers it")
    group.add_argument("--swap", action="store_true", help="swap latitude and longitude of the whole file")
    group.add_argument(
        "--swap-at", metavar="ROW", action="append", default=[], help="swap them in one row, such as 'line 3'; repeat"
    )
    group.add_argument(
        "--leave-out",
        metavar="ROW",
        action="append",
        default=[],
        help="leave one row of a table out, such as 'row 14'; repeat",
    )
    group.add_argument(
        "--column",
        metavar="MEANING=HEADING",
        type=_column,
        action="append",
        default=[],
        help="which column holds what, such as latitude=Y; latitude= for none; may be repeated",
    )
    group.add_argument("--utm-zone", metavar="ZONE", default="", help="zone of UTM metres and its side, such as 30N")
    group.add_argument(
        "--route",
        metavar="CODE",
        default="",
        help="the route of points that name none, or the code for the one route of a map file",
    )
    group.add_argument("--by-order", action="store_true", help="number the points of each route as they stand")
    group.add_argument("--stops", action="store_true", help="take the stops of a track for the points")
    group.add_argument("--sheet", metavar="NAME", default="", help="the sheet of a workbook to read")
    group.add_argument("--letters", metavar="CODE", default="", help="how the letters of a text are coded, as cp1252")


def choices_of(arguments: argparse.Namespace) -> Choices:
    """Return what was chosen."""
    return Choices(
        swap=arguments.swap,
        swap_at=frozenset(arguments.swap_at),
        leave_out=frozenset(arguments.leave_out),
        columns=dict(arguments.column),
        utm_zone=arguments.utm_zone,
        route=arguments.route,
        number_by_order=arguments.by_order,
        stops=arguments.stops,
        sheet=arguments.sheet,
        encoding=arguments.letters,
    )


def option_words(choices: Choices) -> str:
    """Return choices as they are typed."""
    flags = (
        ("--swap", choices.swap),
        ("--by-order", choices.number_by_order),
        ("--stops", choices.stops),
    )
    values = (
        *(("--swap-at", where) for where in sorted(choices.swap_at)),
        *(("--leave-out", where) for where in sorted(choices.leave_out)),
        *(("--column", f"{meaning}={text}") for meaning, text in choices.columns.items()),
        ("--utm-zone", choices.utm_zone),
        ("--route", choices.route),
        ("--sheet", choices.sheet),
        ("--letters", choices.encoding),
    )
    words = [flag for flag, chosen in flags if chosen]
    words += [f"{option} {shlex.quote(value)}" for option, value in values if value]
    return " ".join(words) or "without any choice"


def _column(text: str) -> tuple[str, str]:
    meaning, equals, column = text.partition("=")
    if not equals or not meaning.strip():
        raise argparse.ArgumentTypeError(f"write MEANING=HEADING, such as latitude=Y, found {text!r}")
    return meaning.strip(), column.strip()
