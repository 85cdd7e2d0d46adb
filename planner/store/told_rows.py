"""What people were told, which files went out, and from where, as rows of the season file: none of it is undone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import apsw

from planner.domain.field.told import SentFrom, Told, ToldKey, ToldKind, WrittenFile
from planner.store.tables import TOLD_TABLE, Row


def keep_told(connection: apsw.Connection, told: Iterable[Told]) -> None:
    """Write down what went out; an entry told earlier is replaced."""
    kept = {one.key: one for one in read_told(connection)} | {one.key: one for one in told}
    TOLD_TABLE.write(connection, (_told_row(one) for one in kept.values()))


def read_told(connection: apsw.Connection) -> tuple[Told, ...]:
    """Return what everybody was last told, by volunteer, route, visit and kind.

    Raises:
        RuleError: a row was changed from outside into something impossible.
        ValueError: a moment or a word was.
    """
    rows: list[Any] = TOLD_TABLE.read(connection, "volunteer, route, visit, kind")
    return tuple(
        Told(
            ToldKey(volunteer, route, visit, ToldKind(kind)),
            sequence,
            content,
            bool(cancelled),
            dt.datetime.fromisoformat(when),
            before,
        )
        for volunteer, route, visit, kind, sequence, content, cancelled, when, before in rows
    )


def read_identity(connection: apsw.Connection) -> str:
    """Return what names this season for good, whatever it is called and wherever its file lies.

    Raises:
        ValueError: it was taken out from outside.
    """
    row = connection.execute("SELECT code FROM season_identity").fetchone()
    if row is None:
        raise ValueError("it has lost what names it for good")
    return str(row[0])


def keep_written(connection: apsw.Connection, written: Iterable[WrittenFile]) -> None:
    """Write down files that went out, beside those written down before."""
    rows = [(one.name, one.content_hash) for one in written]
    connection.executemany("INSERT OR IGNORE INTO written_file (name, content_hash) VALUES (?, ?)", rows)


def read_written(connection: apsw.Connection) -> frozenset[WrittenFile]:
    """Return every file that ever went out."""
    rows: list[Any] = list(connection.execute("SELECT name, content_hash FROM written_file"))
    return frozenset(WrittenFile(name, content_hash) for name, content_hash in rows)


def keep_sent_from(connection: apsw.Connection, place: SentFrom) -> None:
    """Write down from where files went out last."""
    connection.execute("INSERT OR REPLACE INTO sent_from (id, machine, path) VALUES (1, ?, ?)", place)


def read_sent_from(connection: apsw.Connection) -> SentFrom | None:
    """Return from where files went out last; None: none did."""
    row: Any = connection.execute("SELECT machine, path FROM sent_from").fetchone()
    return None if row is None else SentFrom(*row)


def _told_row(one: Told) -> Row:
    key = one.key
    when = one.when_utc.astimezone(dt.UTC).isoformat()
    words = (one.sequence, one.content, int(one.cancelled), when, one.before)
    return (key.volunteer, key.route, key.visit, key.kind.value, *words)
