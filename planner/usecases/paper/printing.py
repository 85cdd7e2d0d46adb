"""Print itineraries: one PDF for each volunteer who goes out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.volunteer import Volunteer
from planner.printing import Paper
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.names import file_names
from planner.usecases.paper.print_facts import facts_of, facts_on
from planner.usecases.paper.runs import PaperOut, print_job, record_papers, write_papers

__all__ = ["Printed", "file_names", "old_papers", "print_itineraries"]


@dataclass(frozen=True, slots=True)
class Printed:
    """One itinerary on paper."""

    volunteer: str
    path: Path
    pages: int
    outings: int


def print_itineraries(
    file: SeasonFile,
    folder: Path,
    *,
    volunteer: str = "",
    volunteers: Sequence[str] | None = None,
    paper: Paper = Paper.A4,
    printed_on: dt.date | None = None,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
) -> tuple[Printed, ...]:
    """Write the itinerary of one volunteer, of some, or of everyone who goes out, as PDF files in a folder.

    Args:
        file: the season; the print run is recorded in it unless it is open read-only.
        folder: made if missing.
        volunteer: a volunteer's code or name; empty for everyone in the plan.
        volunteers: codes of several volunteers, where no single one is named; None for everyone in the plan.
        paper: size of the sheets.
        printed_on: date on the paper; today in the season's zone if None.
        on_done: told how many papers are done, and of how many.

    Raises:
        ImpossibleError: nothing is planned (for those volunteers), the road map is gone, or the audit finds a broken
            rule.
        InputError: the folder or a file in it cannot be written.
    """
    facts = facts_on(file, printed_on) if printed_on is not None else facts_of(file, dt.datetime.now(dt.UTC))
    wanted = _meant(facts, volunteer) if volunteer and len(facts.plan) else volunteers
    out = write_papers(print_job(facts, wanted), folder, paper=paper, on_done=on_done)
    record_papers(file, out, facts.revision)
    return tuple(_printed(one, folder) for one in out)


def old_papers(folder: Path, people: Sequence[Volunteer], printed: Sequence[Printed]) -> tuple[Path, ...]:
    """Return the papers of this season's people that lie in the folder from before and were not written now."""
    fresh = {one.path.name for one in printed}
    return tuple(
        folder / name for name in file_names(people).values() if name not in fresh and (folder / name).exists()
    )


def _meant(facts: PrintFacts, wanted: str) -> list[str]:
    """Return the codes of those of that code or name who have an outing."""
    people = facts.season.volunteers
    meant = [person for person in people if wanted in (person.code, person.name)]
    if not meant:
        codes = ", ".join(person.code for person in people if facts.plan.of_volunteer(person.code))
        raise ImpossibleError(f"No volunteer {wanted!r} in this season.", f"Codes: {codes}")
    out = [person.code for person in meant if facts.plan.of_volunteer(person.code)]
    if not out:
        raise ImpossibleError(f"{meant[0].name} ({meant[0].code}) has no outing in the plan.", "Nothing was printed.")
    return out


def _printed(out: PaperOut, folder: Path) -> Printed:
    return Printed(out.volunteer, out.path or folder, out.pages, out.outings)
