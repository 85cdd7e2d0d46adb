"""A print run: who gets paper, the papers themselves, and writing down what went out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Severity
from planner.domain.itinerary import Itinerary
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.volunteer import Volunteer
from planner.printing import PageCount, Paper, write_itinerary
from planner.scheduling import SeasonProblem, audit
from planner.store import PrintRun, SeasonFile
from planner.usecases.paper.content import content_hash
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.paper.names import file_names
from planner.usecases.plan.planning import is_past
from planner.usecases.season.opening import make_folder

WITHDRAWN = "withdrawn"
"""Stands in the print log in place of a hash: the paper printed before was called back."""


@dataclass(frozen=True, slots=True)
class PrintJob:
    """Itineraries that may go out; made by :func:`print_job` only, which asks the audit first."""

    facts: PrintFacts
    people: tuple[Volunteer, ...]
    """Those whose papers are printed, in the season's order."""

    def itineraries(self) -> Iterator[Itinerary]:
        """Yield the itinerary of each, one after the other."""
        return (itinerary_for(self.facts, person.code) for person in self.people)


@dataclass(frozen=True, slots=True)
class PaperOut:
    """One itinerary that was put on paper or into a file."""

    volunteer: str
    content_hash: str
    pages: PageCount
    outings: int
    path: Path | None = None
    """The PDF file; None where it went to a printer."""

    @classmethod
    def of(cls, itinerary: Itinerary, pages: PageCount, path: Path | None = None) -> PaperOut:
        """Return what is to be written down of an itinerary that was printed."""
        return cls(itinerary.volunteer.code, content_hash(itinerary), pages, len(itinerary.days), path)


def print_bars(problem: SeasonProblem, plan: Plan) -> tuple[Finding, ...]:
    """Return the broken rules that keep all paper in: those in visits that can still be changed."""
    past = {visit.key for visit in plan if visit.status is Status.DONE or is_past(visit, problem.today)}
    return tuple(finding for finding in audit(problem, plan) if _bars(finding, past))


def print_job(facts: PrintFacts, volunteers: Sequence[str] | None = None) -> PrintJob:
    """Return the print run of some volunteers, by their codes; None: of everyone who goes out.

    Raises:
        ImpossibleError: nothing is planned for them, or the audit finds a broken rule.
    """
    broken = print_bars(facts.problem, facts.plan)
    if broken:
        raise ImpossibleError("The plan breaks these rules, so nothing was printed:", *(str(one) for one in broken))
    going = tuple(person for person in facts.season.volunteers if facts.plan.of_volunteer(person.code))
    if not going:
        raise ImpossibleError(
            "Nothing is planned yet, so there is nothing to print.",
            "Plan the season first, on the Board or by dimpsy plan FILE.",
        )
    if volunteers is None:
        return PrintJob(facts, going)
    wanted = tuple(person for person in going if person.code in volunteers)
    if not wanted:
        raise ImpossibleError("None of them has an outing in the plan.", "Nothing was printed.")
    return PrintJob(facts, wanted)


def write_papers(
    job: PrintJob,
    folder: Path,
    *,
    paper: Paper = Paper.A4,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[PaperOut, ...]:
    """Write the itineraries as PDF files in a folder; the season file is neither read nor written.

    Args:
        job: what is printed.
        folder: made if missing.
        paper: size of the sheets.
        on_done: told how many papers are done, and of how many.
        stop: asked before each paper whether to leave it and the others.

    Returns:
        The papers that were written: where it was stopped, those done by then.

    Raises:
        InputError: the folder or a file in it cannot be written.
    """
    make_folder(folder)
    names = file_names(job.facts.season.volunteers)
    out: list[PaperOut] = []
    for itinerary in job.itineraries():
        if stop():
            break
        path = folder / names[itinerary.volunteer.code]
        out.append(PaperOut.of(itinerary, write_itinerary(itinerary, path, paper=paper), path))
        on_done(len(out), len(job.people))
    return tuple(out)


def record_papers(file: SeasonFile, out: Sequence[PaperOut], revision: int) -> None:
    """Write down what went out on paper, so that later changes can be told to those they touch.

    A file that is open for reading only is left as it is.

    Args:
        file: the season file.
        out: the papers.
        revision: the step whose state of the season they show.
    """
    if file.read_only_reason:
        return
    now = dt.datetime.now(dt.UTC)
    with file.step("Print itineraries"):
        for one in out:
            file.record_print(one.volunteer, one.content_hash, now, revision)


def withdraw_papers(file: SeasonFile, volunteers: Sequence[str]) -> tuple[PrintRun, ...]:
    """Write down that the papers of some volunteers were called back: they are told to throw them away.

    Like everything about paper it stays out of the history; :func:`restore_papers` takes it back.

    Returns:
        The newest entries in the print log before, for those who had paper.
    """
    newest = {run.volunteer: run for run in file.print_runs()}
    had = tuple(newest[code] for code in volunteers if code in newest and newest[code].content_hash != WITHDRAWN)
    now = dt.datetime.now(dt.UTC)
    with file.step("Withdraw itineraries"):
        for run in had:
            file.record_print(run.volunteer, WITHDRAWN, now)
    return had


def restore_papers(file: SeasonFile, runs: Sequence[PrintRun]) -> None:
    """Write down that papers called back by mistake are still out, as those entries of the print log tell."""
    with file.step("Withdraw no itineraries"):
        for run in runs:
            file.record_print(run.volunteer, run.content_hash, run.when_utc, run.revision)


def _bars(finding: Finding, past: set[VisitKey]) -> bool:
    subject = finding.subject
    key = VisitKey(subject.route, subject.visit) if subject.visit is not None else None
    return finding.severity is Severity.BROKEN and key not in past
