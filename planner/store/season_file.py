"""The season file: opened, read, written step by step, undone and redone."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

import apsw

from planner.domain.check_in import CheckIn
from planner.domain.conditions import Conditions
from planner.domain.errors import ImpossibleError, RuleError, SeasonFileError
from planner.domain.field.cancelled import CancelledVisit
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.told import SentFrom, Told, WrittenFile
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.store import evening_rows, field_rows, history, told_rows
from planner.store.file_lock import FileLock, holder
from planner.store.history import Changed, Step
from planner.store.migrating import migrate, shipped_migrations
from planner.store.opening import (
    ask_to_write,
    bring_up_to_date,
    connect,
    damaged,
    gone,
    lock_path,
    refuse_what_is_no_file,
    unusable,
)
from planner.store.plan_rows import strangers, write_plan
from planner.store.print_log import PrintRun, keep_print
from planner.store.season_reading import SeasonReading
from planner.store.season_rows import write_season


class OpenStep:
    """A step while it is being done; :attr:`changed` is told when it is over."""

    def __init__(self, label: str) -> None:
        self.label = label
        self._changed: Changed | None = None

    @property
    def changed(self) -> Changed:
        """What the step changed; only after its ``with`` block has ended well."""
        if self._changed is None:
            raise RuntimeError(f"the step {self.label!r} did not end, or did not end well")
        return self._changed

    def end(self, changed: Changed) -> None:
        """Say what was changed, now that it is in the file."""
        self._changed = changed


class SeasonFile(SeasonReading):
    """A season in one SQLite database. Made by :meth:`create` or :meth:`open`; closed by ``with`` or :meth:`close`.

    Every change is made inside :meth:`step`: one transaction, kept with its label, so that it can be undone for
    as long as the file lives. One opening at a time may write; any other may read, and ``read_only_reason`` says
    why.
    """

    def __init__(self, path: Path, connection: apsw.Connection, lock: FileLock | None, read_only_reason: str) -> None:
        super().__init__(path, connection)
        self.read_only_reason = read_only_reason
        """Why this opening may not write, in words; empty where it may."""
        self._lock = lock
        self._open_step: OpenStep | None = None

    @classmethod
    def create(cls, path: str | Path, season: Season) -> Self:
        """Make a season file and open it. The season it is made with is what undoing leads back to.

        Raises:
            SeasonFileError: the path exists already, or its folder is missing or cannot be written.
        """
        path = Path(path)
        with contextlib.ExitStack() as undoing:
            lock = _lock_new(path)
            undoing.callback(lock.release)
            if path.exists():
                raise SeasonFileError(f"{path}: it exists already. Choose another name, or open it.")
            _write_new(path, season)
            connection = connect(path, shipped_migrations()[-1].number, writable=True)
            undoing.pop_all()
        return cls(path, connection, lock, "")

    @classmethod
    def open(cls, path: str | Path) -> Self:
        """Open a season file: checked, copied beside itself if it changed since the last copy, and migrated.

        Raises:
            SeasonFileError: it is missing, no season file, damaged, or of a newer program. One that may not be
                written is opened for reading instead, and ``read_only_reason`` is set.
        """
        path, migrations = Path(path), shipped_migrations()
        refuse_what_is_no_file(path)
        with contextlib.ExitStack() as undoing:
            lock, reason = ask_to_write(path)
            if lock is not None:
                undoing.callback(lock.release)
            connection = connect(path, migrations[-1].number, writable=lock is not None)
            undoing.callback(connection.close)
            bring_up_to_date(connection, path, migrations, reason)
            undoing.pop_all()
        return cls(path, connection, lock, reason)

    def close(self) -> None:
        """Close the file and let another opening write; a second call does nothing."""
        self._connection.close()
        if self._lock is not None:
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextlib.contextmanager
    def step(self, label: str) -> Iterator[OpenStep]:
        """Do one use case: everything inside is kept together under that label, or nothing is.

        A step that changes nothing leaves no trace in the history. A new one after undoing drops what could
        have been redone.

        Args:
            label: what is done, in plain words, as the history shows it: 'Import 12 routes'.

        Raises:
            SeasonFileError: the file may not be written, or writing failed.
            RuleError: at the end the plan names a route, visit or volunteer that the season does not have.
        """
        if not label.strip():
            raise ValueError("a step needs a label")
        opened = OpenStep(label)
        with self._transaction():
            self._open_step = opened
            recording = history.start_recording(self._connection)
            try:
                yield opened
                changed = self._keep(label, recording.changeset())
            finally:
                recording.close()
                self._open_step = None
        opened.end(changed)

    def save_season(self, season: Season) -> None:
        """Make the file hold that season; only inside a step. Rows that stay as they are, are not touched."""
        self._only_in_step()
        write_season(self._connection, season)

    def save_plan(self, plan: Plan) -> None:
        """Make the file hold that plan; only inside a step. Rows that stay as they are, are not touched."""
        self._only_in_step()
        write_plan(self._connection, plan)

    def save_conditions(self, kept: Iterable[Conditions]) -> None:
        """Make the file hold these conditions and no others; only inside a step."""
        self._only_in_step()
        evening_rows.write_conditions(self._connection, kept)

    def save_check_ins(self, kept: Iterable[CheckIn]) -> None:
        """Make the file hold these check-ins and no others; only inside a step."""
        self._only_in_step()
        evening_rows.write_check_ins(self._connection, kept)

    def save_sheets(self, kept: Iterable[HabitatSheet]) -> None:
        """Make the file hold these habitat sheets and no others; only inside a step."""
        self._only_in_step()
        field_rows.write_sheets(self._connection, kept)

    def save_records(self, kept: Iterable[VisitRecord]) -> None:
        """Make the file hold these visit records and no others; only inside a step."""
        self._only_in_step()
        field_rows.write_records(self._connection, kept)

    def save_cancelled(self, kept: Iterable[CancelledVisit]) -> None:
        """Make the file hold these cancelled visits and no others; only inside a step."""
        self._only_in_step()
        field_rows.write_cancelled(self._connection, kept)

    def record_told(
        self, told: Iterable[Told], files: Iterable[WrittenFile] = (), sent_from: SentFrom | None = None
    ) -> None:
        """Write down what people were told; an entry told earlier is replaced.

        Only inside a step. What went out stays out: this is not part of the history, and not undone.

        Args:
            told: the entries.
            files: that went out with it; those written down before stay.
            sent_from: where this file lies; None: nothing is said of it.
        """
        self._only_in_step()
        told_rows.keep_told(self._connection, told)
        told_rows.keep_written(self._connection, files)
        if sent_from is not None:
            told_rows.keep_sent_from(self._connection, sent_from)

    def record_print(
        self, volunteer: str, content_hash: str, when_utc: dt.datetime, revision: int | None = None
    ) -> None:
        """Write down that an itinerary was printed.

        Only inside a step. Paper that is out stays out: this is not part of the history, and not undone.

        Args:
            volunteer: code of the volunteer it is for.
            content_hash: recognises the content.
            when_utc: an aware moment.
            revision: the step whose state it shows; None: the season as it stood before this step.
        """
        self._only_in_step()
        shown = history.revision(self._connection) if revision is None else revision
        keep_print(self._connection, PrintRun(volunteer, shown, when_utc, content_hash))

    def undo(self) -> Step:
        """Take back the newest step and return it.

        Raises:
            ImpossibleError: there is nothing to undo.
            SeasonFileError: the file may not be written, or was changed from outside; nothing is changed.
        """
        return self._move(history.take_back, "There is nothing to undo.", "The season is as it was when made.")

    def redo(self) -> Step:
        """Do the step again that was undone last, and return it.

        Raises:
            ImpossibleError: there is nothing to redo.
            SeasonFileError: the file may not be written, or was changed from outside; nothing is changed.
        """
        return self._move(history.do_again, "There is nothing to redo.", "Nothing was undone since the last step.")

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[None]:
        if self.read_only_reason:
            raise SeasonFileError(f"{self.path}: nothing was changed. {self.read_only_reason}")
        if self._open_step is not None:
            raise RuntimeError("a step is open already: steps follow one another, they do not nest")
        try:
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._connection.execute("COMMIT")
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
        except apsw.Error as error:
            raise (unusable(self.path, error) if self.path.exists() else gone(self.path)) from error

    def _keep(self, label: str, changeset: bytes) -> Changed:
        missing = strangers(self._connection)
        if missing:
            raise RuleError(
                f"the plan names what the season does not have: {'; '.join(missing)}."
                " Take those visits out of the plan in the same step"
            )
        tables = history.keep_step(self._connection, label, changeset).tables if changeset else frozenset[str]()
        return Changed(tables, label, history.revision(self._connection))

    def _move(self, move: Callable[[apsw.Connection], Step | None], nothing: str, why: str) -> Step:
        with self._transaction():
            try:
                step = move(self._connection)
            except apsw.AbortError as error:
                raise damaged(self.path, "its rows do not fit its history: another program wrote to it") from error
        if step is None:
            raise ImpossibleError(nothing, why)
        return step

    def _only_in_step(self) -> None:
        if self._open_step is None:
            raise RuntimeError("the season file is written inside a step only")


def _lock_new(path: Path) -> FileLock:
    try:
        lock = FileLock.take(lock_path(path))
    except OSError as error:
        raise _cannot_be_made(path, error) from error
    if lock is None:
        raise SeasonFileError(f"{path}: is in use by {holder(lock_path(path))}. Choose another name.")
    return lock


def _write_new(path: Path, season: Season) -> None:
    """Make the file under a passing name first, so that the name it is given never stands for half a file."""
    part = path.with_name(f"{path.name}.part")
    try:
        part.unlink(missing_ok=True)
        connection = apsw.Connection(str(part))
        try:
            migrate(connection, shipped_migrations())
            with connection:
                write_season(connection, season)
        finally:
            connection.close()
        part.replace(path)
    except apsw.Error as error:
        part.unlink(missing_ok=True)
        raise unusable(path, error) from error
    except OSError as error:
        raise _cannot_be_made(path, error) from error


def _cannot_be_made(path: Path, error: OSError) -> SeasonFileError:
    return SeasonFileError(
        f"{path}: cannot be made ({error.strerror}). Choose a folder that is there and that you may write."
    )
