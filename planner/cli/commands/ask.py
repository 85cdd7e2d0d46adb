"""``dimpsy ask``: whom one could ask to go on a visit."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import date, whole
from planner.cli.visit_arguments import add_visit_argument
from planner.cli.visit_lines import figures, verdict_data, visit_line
from planner.domain.season import Season
from planner.usecases.naming import visit_called
from planner.usecases.plan.giving_visits import Asked, whom_to_ask
from planner.usecases.plan.proposing import Candidate, Role
from planner.usecases.season.opening import open_season

NAME = "ask"
HELP = "whom to ask for a visit: who could go, who is nearest, and what stands in the way"
EPILOG = """  dimpsy ask FILE R04 1                        as lead, on the date that it has
  dimpsy ask FILE R04 1 --as second
  dimpsy ask FILE R22 2 --date 2027-06-10      where it is unfilled, or on another date

Those who break no rule come first. Exit status 1: nobody could go as things stand."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    add_visit_argument(parser)
    parser.add_argument(
        "--as", dest="role", choices=[role.value for role in Role], default=Role.LEAD.value, help="as what they go"
    )
    parser.add_argument("--date", metavar="DATE", type=date, help="on this date in place of its own")
    parser.add_argument("--most", metavar="N", type=whole, default=12, help="so many people (default %(default)s)")
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """List people, best first."""
    with open_season(arguments.file) as file:
        season = file.season()
        key = visit_called(season, arguments.route, arguments.visit)
        asked = whom_to_ask(file, key, Role(arguments.role), arguments.date, today_of(arguments, season))
    shown = asked.candidates[: arguments.most]
    possible = any(one.verdict.allowed for one in asked.candidates)
    data = {"visit": asked.visit, "role": asked.role, "fixed": asked.fixed, "people": [_data(one) for one in shown]}
    lines = tuple(_lines(asked, shown, season, file_word(arguments.file)))
    return Report(data, lines, DONE if possible else FINDINGS)


def _lines(asked: Asked, shown: tuple[Candidate, ...], season: Season, file: str) -> Iterator[str]:
    yield visit_line(asked.visit, season).strip()
    if asked.fixed:
        yield asked.fixed
    yield f"As {asked.role.value}:"
    for one in shown:
        person = season.volunteer(one.code)
        now = " (goes now)" if one.code in asked.visit.people else ""
        verdict = one.verdict
        wrong = [finding.what for finding in (*verdict.broken, *verdict.still_broken)]
        yield (
            f"  {'could go' if not wrong else 'cannot'}: {one.code} {person.name}{now},"
            f" {person.telephone or 'no number'}, {one.one_way_minutes:.0f} min away, {figures(verdict)}"
        )
        yield from (f"      {reason}" for reason in wrong)
    if len(asked.candidates) > len(shown):
        yield f"  and {len(asked.candidates) - len(shown)} more: --most {len(asked.candidates)} lists them all."
    named = f"{asked.visit.key.route} {asked.visit.key.number} --date {asked.visit.date}"
    yield f"To give it:  dimpsy give {file} {named} --{asked.role.value} WHO"


def _data(one: Candidate) -> dict[str, object]:
    return {"volunteer": one.code, "one_way_minutes": round(one.one_way_minutes, 1), **verdict_data(one.verdict)}
