"""Rolling copies of a season file, made beside it."""

from __future__ import annotations

import filecmp
from pathlib import Path

import apsw

KEPT = 3
"""Copies kept; 1 is the newest."""


def backup_path(path: Path, age: int) -> Path:
    """Return where the copy of that age lies, 1 being the newest."""
    return path.with_name(f"{path.name}.backup-{age}")


def roll_backup(connection: apsw.Connection, path: Path) -> bool:
    """Copy the open file beside itself, unless nothing changed since the newest copy; the oldest copy goes.

    Returns:
        Whether a copy was made.

    Raises:
        OSError: the folder cannot be written.
        apsw.Error: the copy cannot be written.
    """
    fresh = path.with_name(f"{path.name}.backup-part")
    fresh.unlink(missing_ok=True)
    try:
        copy_to(connection, fresh)
        newest = backup_path(path, 1)
        if newest.exists() and filecmp.cmp(fresh, newest, shallow=False):
            return False
        for age in range(KEPT, 1, -1):
            younger = backup_path(path, age - 1)
            if younger.exists():
                younger.replace(backup_path(path, age))
        fresh.replace(newest)
    finally:
        fresh.unlink(missing_ok=True)
    return True


def copy_to(connection: apsw.Connection, target: Path) -> None:
    """Copy the open file, page by page as of one moment, to a path that does not exist yet."""
    copy = apsw.Connection(str(target))
    try:
        with copy.backup("main", connection, "main") as backup:
            backup.step()
    finally:
        copy.close()
