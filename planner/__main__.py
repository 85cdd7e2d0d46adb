"""The program's door: ``dimpsy`` and ``python -m planner``."""

from __future__ import annotations

import sys

from planner.cli.main import run


def main() -> None:
    """Run the command line and leave with its exit status."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
