"""Which itineraries were put on paper, when, and what state of the season they show."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import apsw


@dataclass(frozen=True, slots=True)
class PrintRun:
    """One itinerary that was printed."""

    volunteer: str
    """Code of the volunteer it is for."""
    revision: int
    """The step whose state of the season it shows."""
    when_utc: dt.datetime
    content_hash: str
    """Recognises the content: an itinerary made now that hashes differently has changed since."""


def keep_print(connection: apsw.Connection, run: PrintRun) -> None:
    """Write down that an itinerary was printed; ``when_utc`` may be in any zone but must say which.

    Raises:
        ValueError: the moment has no zone.
    """
    if run.when_utc.utcoffset() is None:
        raise ValueError("the moment of printing needs its time zone")
    connection.execute(
        "INSERT INTO print_run (volunteer, revision, when_utc, content_hash) VALUES (?, ?, ?, ?)",
        (run.volunteer, run.revision, run.when_utc.astimezone(dt.UTC).isoformat(), run.content_hash),
    )


def print_runs(connection: apsw.Connection) -> tuple[PrintRun, ...]:
    """Return every itinerary that was printed, the oldest first."""
    rows = connection.execute("SELECT volunteer, revision, when_utc, content_hash FROM print_run ORDER BY number")
    return tuple(
        PrintRun(volunteer, revision, dt.datetime.fromisoformat(when), content_hash)
        for volunteer, revision, when, content_hash in rows
    )
