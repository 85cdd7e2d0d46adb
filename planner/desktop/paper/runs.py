"""Puts itineraries out, into files or onto a printer, and writes down what went out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtPrintSupport import QPrinter

from planner.desktop.paper.one_run import OneRun
from planner.desktop.paper.printer import on_both_sides, print_on
from planner.printing import Paper
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.runs import PaperOut, PrintJob, print_job, record_papers, write_papers

Work = Callable[[PrintJob, Callable[[int, int], None], Callable[[], bool]], tuple[PaperOut, ...]]
"""Puts the papers of a job out, tells how far it is, and asks whether to stop."""


@dataclass(frozen=True, slots=True)
class RunEnd:
    """What came of a print run."""

    out: tuple[PaperOut, ...]
    wanted: int
    """How many papers were asked for."""
    stopped: bool
    folder: Path | None = None
    """Where the files lie; None where it went to a printer."""

    @property
    def pages(self) -> int:
        """How many pages went out."""
        return sum(one.pages for one in self.out)


class PrintRuns(OneRun):
    """One print run at a time; it ends with a RunEnd."""

    def write(self, facts: PrintFacts, volunteers: Sequence[str], folder: Path, paper: Paper) -> None:
        """Write PDF files into a folder."""

        def work(job: PrintJob, on_done: Callable[[int, int], None], stop: Callable[[], bool]) -> tuple[PaperOut, ...]:
            return write_papers(job, folder, paper=paper, on_done=on_done, stop=stop)

        self._run(facts, volunteers, work, folder)

    def send(self, facts: PrintFacts, volunteers: Sequence[str], printer: QPrinter, paper: Paper) -> None:
        """Print on a printer that a person has set up."""

        def work(job: PrintJob, on_done: Callable[[int, int], None], stop: Callable[[], bool]) -> tuple[PaperOut, ...]:
            both = on_both_sides(printer)
            return print_on(printer, job, paper, both_sides=both, on_done=on_done, stop=stop)

        self._run(facts, volunteers, work, None)

    def _run(self, facts: PrintFacts, volunteers: Sequence[str], work: Work, folder: Path | None) -> None:
        if self._stop is not None:
            return
        stop = self._begin()

        def put_out() -> tuple[PaperOut, ...]:
            return work(print_job(facts, volunteers), self.progressed.emit, stop.is_set)

        def put(out: tuple[PaperOut, ...]) -> None:
            end = RunEnd(out, len(volunteers), stop.is_set() and len(out) < len(volunteers), folder)
            if not out:
                self._end(end)
                return
            self._session.do(
                lambda file: record_papers(file, out, facts.revision), lambda _none: self._end(end), self._fail
            )

        words = self.tr("Printing itineraries")
        self._session.think_long(put_out, put, words=words, stop=stop, owner=self, failed=self._fail)
