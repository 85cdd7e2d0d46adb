"""The command line: find the command, run it, say what it came to."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import NoReturn

from planner.cli import output
from planner.cli.commands import COMMANDS
from planner.cli.usage import UsageError
from planner.domain.errors import DimpsyError

_EPILOG = """exit status:
  0 done   1 done, but findings need a person   2 wrong usage or unreadable input   3 impossible as asked

Every command takes --json: one JSON object on standard output and nothing else there.
Start with:  dimpsy demo"""


class _Parser(argparse.ArgumentParser):
    """An argument parser that raises instead of leaving, so that --json holds for usage errors too."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}\n{self.format_usage().strip()}")


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    parser = _Parser(
        prog="dimpsy",
        description="Plan volunteer roadside wildlife surveys that must happen in twilight.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    subparsers = parser.add_subparsers(title="commands", dest="command", metavar="COMMAND", parser_class=_Parser)
    for command in COMMANDS:
        sub = subparsers.add_parser(command.NAME, help=command.HELP, description=command.HELP)
        sub.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
        command.add_arguments(sub)
        sub.set_defaults(run=command.run)
    return parser


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status; never a traceback for what a user can cause."""
    as_json = "--json" in arguments
    parser = build_parser()
    try:
        parsed = parser.parse_args(arguments)
        if parsed.command is None:
            parser.print_help(sys.stdout)
            return output.DONE
        report: output.Report = parsed.run(parsed)
    except DimpsyError as error:
        return output.show_error(error, as_json=as_json)
    except KeyboardInterrupt:
        sys.stderr.write("dimpsy: stopped; nothing was changed by the unfinished step\n")
        return output.UNREADABLE
    output.show(report, as_json=as_json)
    return report.status
