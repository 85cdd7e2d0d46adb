"""Bring a season file's tables up to date, by the numbered SQL files of ``migrations/``."""

from __future__ import annotations

import functools
import importlib.resources
from collections.abc import Sequence
from typing import NamedTuple

import apsw

APPLICATION_ID = 0x44_4D_50_59
"""``DMPY`` in ASCII: how a season file is told from any other SQLite database."""


class Migration(NamedTuple):
    """One numbered step of the schema."""

    number: int
    sql: str


@functools.cache
def shipped_migrations() -> tuple[Migration, ...]:
    """Return the migrations that this program knows, in order.

    A migration may add tables, and columns with a default behind the last one of a table: the changes recorded
    in older files then still undo and redo. One that does more must rewrite or drop the recorded steps too.
    """
    folder = importlib.resources.files(__package__) / "migrations"
    files = sorted((entry for entry in folder.iterdir() if entry.name.endswith(".sql")), key=lambda entry: entry.name)
    return tuple(Migration(int(file.name.partition("_")[0]), file.read_text(encoding="utf-8")) for file in files)


def schema_version(connection: apsw.Connection) -> int:
    """Return the number of the last migration that the file went through; 0 for none."""
    return int(connection.pragma("user_version"))


def migrate(connection: apsw.Connection, migrations: Sequence[Migration]) -> None:
    """Run the migrations that the file lacks, all or none of them.

    Raises:
        apsw.Error: one of them fails; the file is as it was.
    """
    lacking = [migration for migration in migrations if migration.number > schema_version(connection)]
    if not lacking:
        return
    with connection:
        connection.pragma("application_id", APPLICATION_ID)
        for migration in lacking:
            connection.execute(migration.sql)
            connection.pragma("user_version", migration.number)
