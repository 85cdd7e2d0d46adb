"""The program's door: ``dimpsy`` and ``python -m planner``."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence


def main() -> None:
    """Open the window, or run the command line, and leave with the exit status."""
    try:
        status = run(sys.argv[1:])
    except KeyboardInterrupt:
        sys.stderr.write("dimpsy: stopped before it began; nothing was changed\n")
        status = 2
    sys.exit(status)


def run(arguments: Sequence[str]) -> int:
    """Run what was asked for and return the exit status.

    ``dimpsy``, ``dimpsy FILE.dimpsy`` and ``dimpsy desktop [FILE]`` open the window; all else is a command.
    """
    # Loaded here, because it takes a second in which Ctrl-C may be pressed already, and a command needs no window.
    if wants_window(arguments):
        window = importlib.import_module("planner.desktop.application")
        return int(window.run([argument for argument in arguments if argument != "desktop"]))
    command_line = importlib.import_module("planner.cli.main")
    command_line.tolerant_output()
    return int(command_line.run(arguments))


def wants_window(arguments: Sequence[str]) -> bool:
    """Whether a command line asks for the window."""
    if arguments[:1] == ["desktop"]:
        return len(arguments) <= 2 and not any(argument.startswith("-") for argument in arguments)
    return not arguments or (len(arguments) == 1 and arguments[0].endswith(".dimpsy"))


if __name__ == "__main__":
    main()
