"""The program's door: ``dimpsy`` and ``python -m planner``."""

from __future__ import annotations

import importlib
import sys


def main() -> None:
    """Run the command line and leave with its exit status."""
    try:
        # Loaded here, because it takes a second in which Ctrl-C may be pressed already.
        command_line = importlib.import_module("planner.cli.main")
        command_line.tolerant_output()
        status = command_line.run(sys.argv[1:])
    except KeyboardInterrupt:
        sys.stderr.write("dimpsy: stopped before it began; nothing was changed\n")
        status = 2
    sys.exit(status)


if __name__ == "__main__":
    main()
