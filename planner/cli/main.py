"""The command line: find the command, run it, say what it came to."""

from __future__ import annotations

import argparse
import io
import os
import shutil
import sys
import textwrap
from collections.abc import Sequence
from typing import NoReturn

from planner.cli import output
from planner.cli.commands import COMMANDS, GROUPS, command
from planner.cli.usage import UsageError
from planner.domain.errors import DimpsyError

_LAST = """exit status:
  0 done   1 done, but findings need a person   2 wrong usage or unreadable input   3 impossible as asked

Every command takes --json: one JSON object on standard output and nothing else there.
Start with:  dimpsy demo"""


class _Parser(argparse.ArgumentParser):
    """An argument parser that raises instead of leaving, so that --json holds for usage errors too."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}\n{self.format_usage().strip()}")


def build_parser(first: str = "") -> argparse.ArgumentParser:
    """Return the parser of the command line.

    Args:
        first: the first word that was typed; where it is a command, the parser knows that command only.
    """
    asked = (first,) if first in COMMANDS else ()
    parser = _Parser(
        prog="dimpsy",
        usage="dimpsy COMMAND ...      (dimpsy COMMAND --help says more of each)",
        description="Plan volunteer roadside wildlife surveys that must happen in twilight.",
        epilog="" if asked else f"{_listed()}\n\n{_LAST}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    subparsers = parser.add_subparsers(
        prog="dimpsy", dest="command", metavar="COMMAND", help=argparse.SUPPRESS, parser_class=_Parser
    )
    for name in asked or COMMANDS:
        module = command(name)
        sub = subparsers.add_parser(
            name,
            usage=getattr(module, "USAGE", None),
            description=module.HELP,
            epilog=getattr(module, "EPILOG", ""),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        sub.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
        module.add_arguments(sub)
        sub.set_defaults(run=module.run)
    return parser


def _listed() -> str:
    """Return the commands under what a coordinator is doing, each with what it is for."""
    width = max(map(len, COMMANDS))
    room = shutil.get_terminal_size().columns - 2
    lines = []
    for doing, group in GROUPS:
        lines.append(f"{doing}:")
        for name in group:
            first, rest = f"    {name:{width}}  ", " " * (width + 6)
            lines += textwrap.wrap(command(name).HELP, max(room, 60), initial_indent=first, subsequent_indent=rest)
    return "\n".join(lines)


def tolerant_output() -> None:
    """Let a terminal that cannot show a letter show its number instead of ending the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status; never a traceback for what a user can cause."""
    as_json = "--json" in arguments
    try:
        return _answered(arguments, as_json=as_json)
    except BrokenPipeError:
        _let_go_of_output()
        return output.DONE
    except OSError as error:
        _let_go_of_output()
        sys.stderr.write(f"dimpsy: the answer could not be written out ({error.strerror}).\n")
        return output.UNREADABLE


def _let_go_of_output() -> None:
    """Send what is still to be written nowhere: the interpreter's own last flush must not fail on it once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _answered(arguments: Sequence[str], *, as_json: bool) -> int:
    """Do what was asked and write the answer out; OSError where nobody takes the answer."""
    try:
        report = _report(arguments)
    except DimpsyError as error:
        return output.show_error(error, as_json=as_json)
    except OSError as error:
        return output.show_error(_failed(error), as_json=as_json)
    except KeyboardInterrupt:
        stopped = DimpsyError("stopped; nothing was changed by the unfinished step")
        return output.show_error(stopped, as_json=as_json)
    output.show(report, as_json=as_json)
    return report.status


def _report(arguments: Sequence[str]) -> output.Report:
    for argument in arguments:
        if not argument.isprintable() and any("\ud800" <= letter <= "\udfff" for letter in argument):
            raise UsageError(f"write every argument in the terminal's own letters, found {argument!a}")
    parser = build_parser(next(iter(arguments), ""))
    parsed = parser.parse_args(arguments)
    if parsed.command is None:
        return output.Report({"help": parser.format_help()}, (parser.format_help().rstrip(),))
    report: output.Report = parsed.run(parsed)
    return report


def _failed(error: OSError) -> DimpsyError:
    """Return, in words, a file that could not be read or written in a place where nobody looked for that."""
    name = f"{error.filename}: " if error.filename else ""
    return DimpsyError(
        f"{name}cannot be read or written ({error.strerror or error})."
        " Look whether it may be, and whether the disk is full; then do it again."
    )
