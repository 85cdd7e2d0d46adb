"""A calendar as a telephone keeps it: takes iCalendar files in by the rules of RFC 5545 and RFC 5546.

The files are read by vobject, which shares no code with what writes them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import vobject


@dataclass(frozen=True, slots=True)
class Kept:
    """One event as the calendar keeps it."""

    uid: str
    sequence: int
    stamp: dt.datetime
    begin: dt.datetime
    end: dt.datetime
    summary: str
    status: str


def events_of(data: bytes) -> tuple[Any, ...]:
    """Return the events of a file as vobject reads them."""
    calendar: Any = vobject.readOne(data.decode())
    return tuple(calendar.contents.get("vevent", ()))


class CalendarStore:
    """Events by their UID: never two of one UID, and of two revisions the later one (RFC 5546, section 2.1.5)."""

    def __init__(self) -> None:
        self._kept: dict[str, Kept] = {}

    def take(self, data: bytes) -> None:
        """Take a file in, as often as somebody opens it."""
        for event in events_of(data):
            new = _kept(event)
            old = self._kept.get(new.uid)
            if old is None or (new.sequence, new.stamp) >= (old.sequence, old.stamp):
                self._kept[new.uid] = new

    @property
    def shown(self) -> Mapping[str, Kept]:
        """What its owner sees: what is cancelled is struck out."""
        return {uid: one for uid, one in self._kept.items() if one.status != "CANCELLED"}


def _kept(event: Any) -> Kept:  # noqa: ANN401  vobject makes its attributes as it reads
    return Kept(
        uid=event.uid.value,
        sequence=int(event.sequence.value),
        stamp=event.dtstamp.value,
        begin=event.dtstart.value,
        end=event.dtend.value,
        summary=event.summary.value,
        status=event.status.value,
    )
