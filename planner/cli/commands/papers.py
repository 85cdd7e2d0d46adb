"""``dimpsy papers``: who needs paper, and whose is no longer true."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.moment_argument import add_now_argument, now_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.domain.season import Season
from planner.usecases.naming import volunteer_called
from planner.usecases.paper.papers import Papers, PaperState
from planner.usecases.paper.whose_paper import call_back, whose_paper
from planner.usecases.season.opening import open_season

NAME = "papers"
HELP = "who needs an itinerary on paper, whose is no longer true and why; write down that one was called back"
EPILOG = """  dimpsy papers FILE
  dimpsy papers FILE --called-back V07        they were told to throw theirs away

'dimpsy print' writes new ones. Exit status 1: somebody holds a paper that is no longer true, or needs one."""

_TOLD = (PaperState.WITHDRAW, PaperState.BARRED)
"""States that are told although no new paper is due."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--called-back", metavar="WHO", default="", help="they were told to throw theirs away")
    parser.add_argument("--all", dest="everybody", action="store_true", help="list those whose paper is true as well")
    add_now_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Say whose paper stands how."""
    back = bool(arguments.called_back)
    with open_for_change(arguments.file) if back else open_season(arguments.file) as file:
        season = file.season()
        lines = []
        if back:
            person = volunteer_called(season, arguments.called_back)
            call_back(file, person.code)
            lines.append(f"Written down: the paper of {person.code} {person.name} is called back.")
        found = whose_paper(file, now_of(arguments, season))
    lines += _lines(found, season, file_word(arguments.file), everybody=arguments.everybody)
    wrong = bool(found.wrong or found.wanting)
    return Report({"people": found.people, "bars": found.bars}, tuple(lines), FINDINGS if wrong else DONE)


def _lines(found: Papers, season: Season, file: str, *, everybody: bool) -> Iterator[str]:
    yield from (f"Nothing is printed while a rule is broken: {bar.what}" for bar in found.bars)
    shown = [one for one in found.people if everybody or one.state.wants_paper or one.state in _TOLD]
    for one in shown:
        when = f", printed {one.printed_utc.astimezone(season.tzinfo):%d %b %H:%M}" if one.printed_utc else ""
        yield f"{one.code} {one.name}: {one.state.value}{when}"
        yield from (f"    {change}" for change in one.changes)
    true = len(found.in_state(PaperState.CURRENT))
    yield f"{true} papers are as the plan is." if true != 1 else "1 paper is as the plan is."
    yield from (f"  dimpsy print {file} --to DIR --volunteer {code}" for code in found.wanting)
