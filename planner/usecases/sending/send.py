"""Write what goes out to people into a folder, and keep what they were told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.errors import ImpossibleError, SeasonFileError
from planner.domain.field.telling import News
from planner.domain.field.told import Told, WrittenFile
from planner.exchange import holds, write_whole
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.names import folder_names
from planner.usecases.paper.print_facts import facts_of
from planner.usecases.season.opening import make_folder
from planner.usecases.sending.copies import here
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import PersonNews, what_to_send
from planner.usecases.sending.notice import Notice
from planner.usecases.sending.parcels import Parcel, clear_old, old_files, parcel_for
from planner.usecases.sending.short_message import short_message


@dataclass(frozen=True, slots=True)
class SentPerson:
    """What was written for one person."""

    volunteer: str
    name: str
    news: News
    folder: Path
    files: tuple[str, ...]
    written: int
    """How many of the files stood there otherwise, or not at all."""
    letter: Notice
    short: str
    old: tuple[Path, ...]
    """Files named as ours that lie there from before and are theirs no longer."""
    cleared: tuple[Path, ...]
    """Such files that were deleted."""
    told: tuple[Told, ...]
    passing: tuple[WrittenFile, ...]
    """What of it may be deleted one day."""


@dataclass(frozen=True, slots=True)
class Sent:
    """What was written."""

    folder: Path
    people: tuple[SentPerson, ...]
    """In the season's order."""


@dataclass(frozen=True, slots=True)
class SendJob:
    """Files that may go out; made by :func:`send_job` only, which asks the audit first."""

    facts: PrintFacts
    identity: str
    people: tuple[PersonNews, ...]
    everybody: tuple[str, ...]
    """Codes of all who have an outing or were told of one: their folders' names hang on all of them."""
    ours: frozenset[WrittenFile] = frozenset()
    """What went out before; nothing else is deleted."""


def news_in(file: SeasonFile, now_utc: dt.datetime) -> tuple[PersonNews, ...]:
    """Return what has to be told to whom; the file is not changed.

    Raises:
        ImpossibleError: the road map is gone, or the plan breaks a rule.
    """
    return what_to_send(facts_of(file, now_utc), file.told(), now_utc)


def send_job(
    facts: PrintFacts,
    identity: str,
    people: Sequence[PersonNews],
    volunteers: Sequence[str] | None = None,
    *,
    ours: frozenset[WrittenFile] = frozenset(),
) -> SendJob:
    """Return what is to be written for some of those whom :func:`what_to_send` found.

    Args:
        facts: those that it was found with.
        identity: what names the season for good.
        people: everybody it found.
        volunteers: codes; None: all of them.
        ours: what went out before, as the season file knows it.

    Raises:
        ImpossibleError: none of them has an outing, or was told of one.
    """
    wanted = tuple(one for one in people if volunteers is None or one.code in volunteers)
    if not people:
        raise ImpossibleError(
            "Nothing is planned yet, so there is nothing to tell.",
            "Plan the season first, on the Board or by dimpsy plan FILE.",
        )
    if not wanted:
        raise ImpossibleError("None of them has an outing, or was told of one.", "Nothing was written.")
    return SendJob(facts, identity, wanted, tuple(one.code for one in people), ours)


def write_files(
    job: SendJob,
    folder: Path,
    *,
    clear: bool = False,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[SentPerson, ...]:
    """Write a folder of files for each person; the season file is neither read nor written.

    Args:
        job: what is written.
        folder: that of all folders; made if missing.
        clear: whether files that went out before, lie there unchanged and are nobody's any more are deleted.
        on_done: told how many people are done, and of how many.
        stop: asked before each person whether to leave them and the others.

    Returns:
        Those whose files were written: where it was stopped, those done by then.

    Raises:
        InputError: a folder or a file in it cannot be written.
    """
    known = {person.code for person in job.facts.season.volunteers}
    names = folder_names(job.facts.season.volunteers, [code for code in job.everybody if code not in known])
    sent: list[SentPerson] = []
    for person in job.people:
        if stop():
            break
        written = _written(parcel_for(job.facts, job.identity, person), folder / names[person.code])
        sent.append(_cleared(written, job.ours) if clear else written)
        on_done(len(sent), len(job.people))
    return tuple(sent)


def record_told(file: SeasonFile, sent: Iterable[SentPerson]) -> None:
    """Keep what people were told by the files that were written; like paper that is out it is not undone."""
    people = tuple(sent)
    with file.step("Write notices"):
        file.record_told(
            (one for person in people for one in person.told),
            (one for person in people for one in person.passing),
            here(file) if people else None,
        )


def send_files(
    file: SeasonFile,
    folder: Path,
    volunteers: Sequence[str] | None,
    now_utc: dt.datetime,
    *,
    clear: bool = False,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
) -> Sent:
    """Write the files of some volunteers into a folder, each into one of their own, and keep what they were told.

    What they were told is kept after all of it is written. Written again without a change, the files are the same.

    Args:
        file: the season.
        folder: made if missing.
        volunteers: codes; None: everybody who has an outing or was told of one.
        now_utc: the moment at which it goes out.
        clear: as in :func:`write_files`.
        on_done: told how many people are done, and of how many.

    Raises:
        ImpossibleError: the plan breaks a rule, the road map is gone, or there is nothing to tell them.
        InputError: a folder or a file in it cannot be written; nobody counts as told then.
        SeasonFileError: the season file may not be written; nothing is written then.
    """
    if file.read_only_reason:
        raise SeasonFileError(f"{file.path}: nothing was written. {file.read_only_reason}")
    now_utc = now_utc.replace(microsecond=0)
    facts = facts_of(file, now_utc)
    people = what_to_send(facts, file.told(), now_utc)
    job = send_job(facts, file.identity, people, volunteers, ours=file.written_files)
    sent = write_files(job, folder, clear=clear, on_done=on_done)
    record_told(file, sent)
    return Sent(folder, sent)


def _written(parcel: Parcel, folder: Path) -> SentPerson:
    make_folder(folder)
    person = parcel.person
    differing = {name: data for name, data in parcel.files.items() if not holds(folder / name, data)}
    for name, data in differing.items():
        write_whole(folder / name, data)
    return SentPerson(
        volunteer=person.code,
        name=person.name,
        news=person.news,
        folder=folder,
        files=tuple(parcel.files),
        written=len(differing),
        letter=letter_to(person),
        short=short_message(person),
        old=old_files(folder, parcel),
        cleared=(),
        told=person.after,
        passing=parcel.passing,
    )


def _cleared(person: SentPerson, ours: frozenset[WrittenFile]) -> SentPerson:
    gone = clear_old(person.old, ours)
    return replace(person, cleared=gone, old=tuple(path for path in person.old if path not in gone))
