"""Print itineraries: one PDF for each volunteer who goes out."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Severity
from planner.domain.plan import VisitKey
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.printing import Paper, write_itinerary
from planner.scheduling import audit
from planner.store import SeasonFile
from planner.usecases.itineraries import PrintFacts, itinerary_for
from planner.usecases.opening import make_folder, whole_road_network
from planner.usecases.planning import is_past
from planner.usecases.season_problem import season_problem

_MOST_NAME_BYTES = 120
"""File systems take 255 bytes; the PDF is written under a longer passing name first."""


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
    paper: Paper = Paper.A4,
    printed_on: dt.date | None = None,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
) -> tuple[Printed, ...]:
    """Write the itinerary of one volunteer, or of everyone who goes out, as PDF files in a folder.

    Args:
        file: the season; the print run is recorded in it unless it is open read-only.
        folder: made if missing.
        volunteer: a volunteer's code or name; empty for everyone in the plan.
        paper: size of the sheets.
        printed_on: date on the paper; today in the season's zone if None.
        on_done: told how many papers are done, and of how many.

    Raises:
        ImpossibleError: nothing is planned (for that volunteer), the road map is gone, or the audit finds a broken
            rule.
        InputError: the folder or a file in it cannot be written.
    """
    season, plan = file.season(), file.plan()
    network = whole_road_network(file.path, season.roads)
    today = printed_on or dt.datetime.now(tz=season.tzinfo).date()
    problem = season_problem(season, network, today)
    past = {visit.key for visit in plan if is_past(visit, today)}
    broken = [finding for finding in audit(problem, plan) if _bars(finding, past)]
    if broken:
        raise ImpossibleError("The plan breaks these rules, so nothing was printed:", *(str(f) for f in broken))
    facts = PrintFacts(problem, plan, network, today, file.revision)
    people = _people(season, facts, volunteer)
    make_folder(folder)
    names = file_names(season.volunteers)
    printed = []
    for number, person in enumerate(people, start=1):
        printed.append(_print_one(facts, person, folder / names[person.code], paper))
        on_done(number, len(people))
    _record(file, printed)
    return tuple(printed)


def _bars(finding: Finding, past: set[VisitKey]) -> bool:
    """Whether a finding keeps the paper in: a rule broken in a visit that can still be changed."""
    subject = finding.subject
    key = VisitKey(subject.route, subject.visit) if subject.visit is not None else None
    return finding.severity is Severity.BROKEN and key not in past


def old_papers(folder: Path, people: Sequence[Volunteer], printed: Sequence[Printed]) -> tuple[Path, ...]:
    """Return the papers of this season's people that lie in the folder from before and were not written now."""
    fresh = {one.path.name for one in printed}
    return tuple(
        folder / name for name in file_names(people).values() if name not in fresh and (folder / name).exists()
    )


def _people(season: Season, facts: PrintFacts, wanted: str) -> list[Volunteer]:
    going = [person for person in season.volunteers if facts.plan.of_volunteer(person.code)]
    if not going:
        raise ImpossibleError("Nothing is planned yet, so there is nothing to print.", "Run: dimpsy plan FILE")
    if not wanted:
        return going
    meant = [person for person in season.volunteers if wanted in (person.code, person.name)]
    if not meant:
        raise ImpossibleError(f"No volunteer {wanted!r} in this season.", f"Codes: {', '.join(p.code for p in going)}")
    out = [person for person in meant if person in going]
    if not out:
        raise ImpossibleError(f"{meant[0].name} ({meant[0].code}) has no outing in the plan.", "Nothing was printed.")
    return out


def _print_one(facts: PrintFacts, person: Volunteer, path: Path, paper: Paper) -> Printed:
    itinerary = itinerary_for(facts, person.code)
    pages = write_itinerary(itinerary, path, paper=paper)
    return Printed(person.code, path, pages, len(itinerary.days))


def file_names(people: Sequence[Volunteer]) -> dict[str, str]:
    """Return the name of everyone's paper by their code: no two the same, whatever a file system makes of letters.

    Two people whose names come to the same get a number behind; it hangs on all volunteers of the season, so that
    a paper printed alone lies where it lay when all were printed.
    """
    names: dict[str, str] = {}
    taken: set[str] = set()
    for person in people:
        stem = plain = _plain_name(person)
        number = 1
        while stem.casefold() in taken:
            number += 1
            stem = f"{plain} ({number})"
        taken.add(stem.casefold())
        names[person.code] = f"{stem}.pdf"
    return names


def _plain_name(person: Volunteer) -> str:
    """Return code and name, with what a file system would not take left out."""
    text = unicodedata.normalize("NFC", f"{person.code} {person.name}")
    kept = " ".join(re.sub(r"[^\w .\-]+", "", text).split()).strip(" .")
    short = kept.encode()[:_MOST_NAME_BYTES].decode(errors="ignore").strip(" .")
    return short or "volunteer"


def _record(file: SeasonFile, printed: list[Printed]) -> None:
    """Write down what went out on paper, so that later changes can be told to those they touch."""
    if file.read_only_reason:
        return
    now = dt.datetime.now(dt.UTC)
    with file.step("Print itineraries"):
        for one in printed:
            file.record_print(one.volunteer, hashlib.sha256(one.path.read_bytes()).hexdigest(), now)
