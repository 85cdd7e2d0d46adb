"""``dimpsy plan``: plan the season, or finish its plan."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.interrupt import stop_on_interrupt
from planner.cli.output import DONE, FINDINGS, Report, file_word, finding_lines, findings_status
from planner.cli.progress import ProgressLine
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import codes, date, from_nought, positive
from planner.cli.visit_lines import visit_line
from planner.domain.finding import Finding, Rule
from planner.domain.plan import Explanation, Relaxation
from planner.domain.season import Season
from planner.scheduling import after_seconds, any_of, never, when_set
from planner.usecases.plan.planning import Planned, Scope, plan

NAME = "plan"
HELP = "plan the season, or finish its plan"

_SHOWN = 5
"""Relaxations shown for each unfilled visit."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--missing", action="store_true", help="fill what is unfilled; what is filled stays as it is")
    which.add_argument(
        "--routes", metavar="CODES", type=codes, default=(), help="plan these routes only, parted by commas"
    )
    parser.add_argument("--seconds", metavar="N", type=positive, help="stop after N seconds with the best plan so far")
    parser.add_argument(
        "--today", metavar="DATE", type=date, default=None, help="visits before this date stay as they are"
    )
    parser.add_argument(
        "--seed", metavar="N", type=from_nought, default=0, help="another number may find another plan as good"
    )


def run(arguments: argparse.Namespace) -> Report:
    """Plan and say what was reached and what was not."""
    limit = never if arguments.seconds is None else after_seconds(arguments.seconds)
    with open_for_change(arguments.file) as file, ProgressLine() as progress, stop_on_interrupt() as asked:
        stop = any_of(limit, when_set(asked))
        season = file.season()
        today = arguments.today or dt.datetime.now(tz=season.tzinfo).date()
        scope = Scope.MISSING if arguments.missing else Scope.SELECTED if arguments.routes else Scope.ALL
        planned = plan(
            file,
            scope=scope,
            routes=arguments.routes,
            stop=stop,
            seed=arguments.seed,
            today=today,
            on_event=progress.show,
        )
    status = FINDINGS if planned.unfilled or findings_status(_unsaid(planned)) else DONE
    lines = (*plan_lines(planned), *_visit_lines(planned, season))
    if len(planned.result.plan):
        lines += (f"Next:  dimpsy print {file_word(arguments.file)} --to DIR",)
    return Report(plan_data(planned), lines, status)


def plan_lines(planned: Planned) -> tuple[str, ...]:
    """Return what a plan came to, in words."""
    result = planned.result
    visits = result.plan.visits
    reserved = sum(visit.reserve is not None for visit in visits)
    filled = f"{len(visits)} of {planned.visits} visits filled, {reserved} with a reserve date."
    lines = [f"{filled} {_sentence(result.why)}"]
    for item in planned.unfilled:
        lines += _explained(item, "is unfilled")
    for item in planned.without_reserve:
        lines += _explained(item, "has no reserve date")
    if planned.drives_said:
        lines.append(planned.drives_said)
    if result.shortages:
        lines += ["Where people are short:", *(f"  - {shortage.words}" for shortage in result.shortages)]
    lines += finding_lines(_unsaid(planned))
    if not planned.saved and visits:
        lines.append("The plan stood already; the file is unchanged.")
    elif not planned.saved:
        lines.append("Nothing could be planned; the file is unchanged. 'dimpsy check' says what stands in the way.")
    return tuple(lines)


def _unsaid(planned: Planned) -> tuple[Finding, ...]:
    """Return what the audit found beside the visits that are explained already."""
    said = (Rule.VISIT_UNFILLED, Rule.VISIT_NO_RESERVE)
    return tuple(finding for finding in planned.findings if finding.rule not in said)


def _visit_lines(planned: Planned, season: Season) -> list[str]:
    """Return the plan itself, by date: what, who, and what is held in reserve."""
    visits = sorted(planned.result.plan, key=lambda visit: (visit.date, visit.key))
    return ["", *(visit_line(visit, season) for visit in visits), ""] if visits else []


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _explained(item: Explanation, what: str) -> list[str]:
    lines = [f"  {item.key} {what}:"]
    lines += [f"    - {reason}" for reason in item.reasons]
    lines += [f"    would help: {relaxation.what}" for relaxation in _shown(item)]
    return [*lines, f"    {item.tried}"] if item.tried else lines


def _shown(item: Explanation) -> tuple[Relaxation, ...]:
    """Return the first of what would help, and the last: somebody new, where they would."""
    every = item.relaxations
    return every if len(every) <= _SHOWN else (*every[: _SHOWN - 1], every[-1])


def plan_data(planned: Planned) -> dict[str, object]:
    """Return what a plan came to, for JSON."""
    result = planned.result
    return {
        "visits": planned.visits,
        "filled": len(result.plan),
        "reserved": sum(visit.reserve is not None for visit in result.plan),
        "outcome": result.outcome,
        "why": result.why,
        "seconds": round(result.seconds, 3),
        "tiers": result.tiers,
        "plan": result.plan.visits,
        "unfilled": planned.unfilled,
        "without_reserve": planned.without_reserve,
        "shortages": result.shortages,
        "findings": planned.findings,
        "saved": planned.saved,
        "drives": planned.drives_said,
    }
