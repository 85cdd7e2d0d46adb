"""Writes the demo surveys: ``python demo_routes/make_demo.py [DIR]``; beside this script if no folder is named."""

from __future__ import annotations

import sys
from pathlib import Path

from heath import draw_heath
from reedhaven import draw_reedhaven
from write import write_survey


def main(arguments: list[str]) -> int:
    """Write every survey into the folder named, and say where."""
    into = Path(arguments[0]) if arguments else Path(__file__).resolve().parent
    for draw in (draw_heath, draw_reedhaven):
        survey = draw()
        write_survey(survey, into)
        print(into / survey.folder)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
