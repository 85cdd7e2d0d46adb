"""Telling a sound season file from everything else, and opening it for writing or for reading."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import apsw

from planner.domain.errors import SeasonFileError
from planner.store.backup import KEPT, backup_path, roll_backup
from planner.store.file_lock import FileLock, holder
from planner.store.migrating import APPLICATION_ID, Migration, migrate, schema_version

_BUSY_MS = 5_000


def lock_path(path: Path) -> Path:
    """Return where the lock of a season file lies."""
    return path.with_name(f"{path.name}.lock")


def refuse_what_is_no_file(path: Path) -> None:
    """Look at the name only.

    Raises:
        SeasonFileError: the path is missing, or a folder.
    """
    if not path.exists():
        raise SeasonFileError(f"{path}: there is no such file. Check the name, or make it with 'dimpsy new'.")
    if not path.is_file():
        raise SeasonFileError(f"{path}: expected a season file, found a folder or device. Name the .dimpsy file.")


def ask_to_write(path: Path) -> tuple[FileLock | None, str]:
    """Take the right to write a file that is there.

    Returns:
        The lock and no words, or no lock and the reason in words.
    """
    if not os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        return None, f"{path.name} is write-protected: it can be read, not changed."
    try:
        lock = FileLock.take(lock_path(path))
    except OSError:
        return None, f"The folder of {path.name} cannot be written: the season can be read, not changed."
    if lock is None:
        return None, (
            f"{path.name} is open for writing in {holder(lock_path(path))}: here it can be read, not changed."
            " Close it there and open it here again."
        )
    return lock, ""


def connect(path: Path, newest_schema: int, *, writable: bool) -> apsw.Connection:
    """Open the database, see that it is a season file this program knows, and check every page of it.

    All through SQLite: reading the file beside it would end the locks of another opening in this process
    (https://www.sqlite.org/howtocorrupt.html, section 2.2).

    Raises:
        SeasonFileError: it cannot be read, is no season file, of a newer program, or damaged.
    """
    flags = apsw.SQLITE_OPEN_READWRITE if writable else apsw.SQLITE_OPEN_READONLY
    try:
        connection = apsw.Connection(str(path), flags=flags)
    except apsw.Error as error:
        raise SeasonFileError(f"{path}: cannot be read ({error}). Check who may read it.") from error
    try:
        connection.set_busy_timeout(_BUSY_MS)
        connection.pragma("foreign_keys", True)
        _refuse_other_kinds(connection, path, newest_schema)
        verdict = connection.execute("PRAGMA integrity_check(1)").get
        if verdict != "ok":
            raise damaged(path, str(verdict))
    except apsw.Error as error:
        connection.close()
        raise unusable(path, error) from error
    except SeasonFileError:
        connection.close()
        raise
    return connection


def _refuse_other_kinds(connection: apsw.Connection, path: Path, newest_schema: int) -> None:
    try:
        ours = connection.pragma("application_id") == APPLICATION_ID
    except apsw.NotADBError:
        ours = False
    if not ours:
        found = "another kind of file" if path.stat().st_size else "an empty file"
        raise SeasonFileError(
            f"{path}: expected a season file, found {found}."
            " Name the .dimpsy file; routes and volunteers are brought into an open season."
        )
    schema = schema_version(connection)
    if schema > newest_schema:
        raise SeasonFileError(
            f"{path}: written by a newer Dimpsy (file version {schema}, this one knows up to {newest_schema})."
            " Update Dimpsy and open it again; the file was left as it is."
        )


def bring_up_to_date(
    connection: apsw.Connection, path: Path, migrations: Sequence[Migration], read_only_reason: str
) -> None:
    """Make the rolling backup, then migrate; a file that may only be read must be up to date already.

    Raises:
        SeasonFileError: the backup or the migration cannot be done; the file is as it was.
    """
    if read_only_reason:
        if schema_version(connection) < migrations[-1].number:
            raise SeasonFileError(
                f"{path}: written by an older Dimpsy and must be brought up to date before it can be read,"
                f" but it may not be written. {read_only_reason}"
            )
        return
    try:
        roll_backup(connection, path)
    except (OSError, apsw.Error) as error:
        raise SeasonFileError(
            f"{path}: the backup copy beside it cannot be made ({error})."
            " Make room on the disk, or allow writing there."
        ) from error
    try:
        migrate(connection, migrations)
    except apsw.Error as error:
        raise SeasonFileError(
            f"{path}: cannot be brought up to date ({error}). It was left as it is; update Dimpsy and open it again."
        ) from error


def unusable(path: Path, error: apsw.Error) -> SeasonFileError:
    """Return, in words, what the database says it cannot do."""
    match error:
        case apsw.BusyError():
            return SeasonFileError(f"{path}: another program is busy with it. Try again in a moment.")
        case apsw.FullError():
            return SeasonFileError(f"{path}: the disk is full; nothing was changed. Make room and do it again.")
        case apsw.IOError():
            return SeasonFileError(f"{path}: the disk or network drive failed ({error}). Check it and do it again.")
        case apsw.ConstraintError():
            return SeasonFileError(f"{path}: a value cannot be kept ({error}); nothing was changed. Mend it first.")
        case apsw.ReadOnlyError() | apsw.CantOpenError() | apsw.PermissionsError():
            return SeasonFileError(
                f"{path}: the file or its folder may not be written ({error}); nothing was changed."
                " Check the permissions, or copy the file to a folder of your own."
            )
    return damaged(path, str(error))


def gone(path: Path) -> SeasonFileError:
    """Return the error that says the file was taken away while it was open, and which copy of it there is."""
    copies = (backup_path(path, age) for age in range(1, KEPT + 1))
    copy = next((copy.name for copy in copies if copy.exists()), None)
    todo = f"copy {copy}, beside it, to a new name and open that" if copy else "look whether it was moved"
    return SeasonFileError(f"{path}: the file is no longer there; nothing was changed. Put it back, or {todo}.")


def damaged(path: Path, what: str) -> SeasonFileError:
    """Return the error that says the file is damaged, and which copy of it there is."""
    copies = (backup_path(path, age) for age in range(1, KEPT + 1))
    copy = next((copy.name for copy in copies if copy.exists()), None)
    todo = f"Copy its newest backup, {copy}, to a new name and open that." if copy else "It has no backup beside it."
    said = " ".join(what.replace("*** in database main ***", "").split())
    return SeasonFileError(f"{path}: the season file is damaged ({said}). {todo}")
