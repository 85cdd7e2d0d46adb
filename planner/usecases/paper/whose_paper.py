"""How the papers that people hold stand to the plan, and calling some back: for a season file as it lies there."""

from __future__ import annotations

import datetime as dt

from planner.domain.errors import ImpossibleError
from planner.store import PrintRun, SeasonFile
from planner.usecases.paper.papers import Papers, paper_log, papers
from planner.usecases.paper.print_facts import facts_of
from planner.usecases.paper.runs import withdraw_papers


def whose_paper(file: SeasonFile, now: dt.datetime) -> Papers:
    """Return how everybody's paper stands to the plan; the file is not changed.

    Raises:
        ImpossibleError: the road map is gone.
    """
    return papers(facts_of(file, now), paper_log(file))


def call_back(file: SeasonFile, code: str) -> PrintRun:
    """Write down that somebody was told to throw their paper away.

    Raises:
        ImpossibleError: they hold none.
    """
    had = withdraw_papers(file, [code])
    if not had:
        raise ImpossibleError(f"{code} holds no paper, so there is none to call back.")
    return had[0]
