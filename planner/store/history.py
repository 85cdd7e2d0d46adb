"""The steps of a season file: each recorded with its changes, undone, redone and listed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import apsw

from planner.store.tables import RECORDED_TABLES

_COLUMNS = "number, label, when_utc, tables, undone"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that a person did to the season, as the history tells it."""

    number: int
    """Names the state of the season after it; never given twice in one file."""
    label: str
    when_utc: dt.datetime
    tables: frozenset[str]
    """Tables whose rows it changed."""
    undone: bool = False
    """Whether it was taken back and could be redone."""


@dataclass(frozen=True, slots=True)
class Changed:
    """What a use case changed, so that views know what to refresh."""

    tables: frozenset[str]
    """Tables with changed rows; empty where all was as asked already."""
    label: str
    revision: int
    """The step that the file now shows; 0 before the first."""

    def __bool__(self) -> bool:
        """Whether anything changed."""
        return bool(self.tables)


def start_recording(connection: apsw.Connection) -> apsw.Session:
    """Return a session that records every change to the season and the plan from now on."""
    session = apsw.Session(connection, "main")
    for table in RECORDED_TABLES:
        session.attach(table.name)
    return session


def keep_step(connection: apsw.Connection, label: str, changeset: bytes) -> Step:
    """Put the changes into the history as its newest step; steps that stood undone are dropped for good."""
    when = dt.datetime.now(dt.UTC)
    tables = frozenset(change.name for change in apsw.Changeset.iter(changeset))
    connection.execute("DELETE FROM step WHERE undone")
    connection.execute(
        "INSERT INTO step (label, when_utc, tables, changeset) VALUES (?, ?, ?, ?)",
        (label, when.isoformat(), " ".join(sorted(tables)), changeset),
    )
    return Step(connection.last_insert_rowid(), label, when, tables)


def revision(connection: apsw.Connection) -> int:
    """Return the number of the newest step that is not undone; 0 if there is none."""
    return int(connection.execute("SELECT coalesce(max(number), 0) FROM step WHERE NOT undone").get)


def steps(connection: apsw.Connection) -> tuple[Step, ...]:
    """Return every step, the oldest first, undone ones at the end."""
    return _read(connection.execute(f"SELECT {_COLUMNS} FROM step ORDER BY number"))


def steps_since(connection: apsw.Connection, number: int) -> tuple[Step, ...]:
    """Return the steps between the state after step ``number`` and the present one, either way."""
    return _read(
        connection.execute(
            f"SELECT {_COLUMNS} FROM step WHERE (number > ?1) <> undone ORDER BY number",
            (number,),
        )
    )


def take_back(connection: apsw.Connection) -> Step | None:
    """Undo the newest step that is not undone; None if there is none. See :func:`_move` for the error."""
    return _move(connection, "SELECT max(number) FROM step WHERE NOT undone", undo=True)


def do_again(connection: apsw.Connection) -> Step | None:
    """Redo the oldest step that is undone; None if there is none. See :func:`_move` for the error."""
    return _move(connection, "SELECT min(number) FROM step WHERE undone", undo=False)


def bring_to(connection: apsw.Connection, number: int) -> bool:
    """Take the season and the plan to the state after step ``number``, either way; meant for a passing copy.

    Returns:
        Whether that state can be reached: the steps that led to one that was undone and then dropped are gone.

    Raises:
        apsw.AbortError: the rows are not as the history left them.
    """
    if number and not connection.execute("SELECT count(*) FROM step WHERE number = ?", (number,)).get:
        return False
    while revision(connection) > number:
        take_back(connection)
    while revision(connection) < number:
        do_again(connection)
    return True


def _move(connection: apsw.Connection, find: str, *, undo: bool) -> Step | None:
    """Apply one step's changes, or their reverse.

    Raises:
        apsw.AbortError: the rows are not as the step left them; nothing is changed.
    """
    number = connection.execute(find).get
    if number is None:
        return None
    changeset = connection.execute("SELECT changeset FROM step WHERE number = ?", (number,)).get
    apsw.Changeset.apply(apsw.Changeset.invert(changeset) if undo else changeset, connection, conflict=_refuse)
    connection.execute("UPDATE step SET undone = ? WHERE number = ?", (int(undo), number))
    return _read(connection.execute(f"SELECT {_COLUMNS} FROM step WHERE number = ?", (number,)))[0]


def _refuse(_kind: int, _change: apsw.TableChange) -> int:
    return int(apsw.SQLITE_CHANGESET_ABORT)


def _read(rows: Iterable[Any]) -> tuple[Step, ...]:
    return tuple(
        Step(number, label, dt.datetime.fromisoformat(when), frozenset(tables.split()), bool(undone))
        for number, label, when, tables, undone in rows
    )
