"""A volunteer's outings as an iCalendar file (RFC 5545, published by the rules of RFC 5546, section 3.2.1).

An entry keeps its UID for good, and every revision of it has a higher SEQUENCE: a calendar that takes the file in again
moves what it has and strikes out what fell away. Hours are written in UTC: outings hang on the sun, a moment is meant
and not a reading of some clock, and no calendar has to trust a time zone of ours; the words say the local hours.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import quote
from uuid import UUID, uuid5

from icalendar import Alarm, Calendar, Event, vCalAddress, vGeo

from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.entry_words import (
    before_counts_words,
    company_words,
    coordinator_words,
    hours_words,
    order_words,
    reserve_words,
    title_words,
)
from planner.domain.field.told import ToldKey, ToldKind
from planner.exchange.written.letters import CAUTION, plain

PRODUCT = "-//Dimpsy//Dimpsy//EN"
WARN_BEFORE = dt.timedelta(minutes=60)
"""How long before they must leave the calendar reminds them: our choice."""
PLACE_DIGITS = 6
"""Of a degree: RFC 5545, section 3.8.1.6, asks for six at most to be kept."""
_ADDRESS = re.compile(r"[^\s@<>\"]+@[^\s@<>\"]+")
"""One e-mail address; what else stands in its place makes no URI that a calendar takes."""
_INVENTED = "Invented demo: nothing here is real; do not go out with it."


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """One entry with its revision."""

    key: ToldKey
    entry: CalendarEntry
    """What it says; of one that is cancelled, what it said last."""
    sequence: int
    cancelled: bool
    when_utc: dt.datetime
    """When this revision went out first."""


def calendar_bytes(identity: str, rows: Iterable[CalendarRow], care: Sequence[str] = ()) -> bytes:
    """Return the calendar file of one volunteer; the same rows give the same bytes.

    Args:
        identity: names the season for good, 32 hexadecimal digits.
        rows: their entries, cancelled ones included.
        care: cautions that hold for every outing.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    for row in sorted(rows, key=lambda row: (row.entry.leave_utc, row.key)):
        calendar.add_component(_event(identity, row, care))
    return bytes(calendar.to_ical())


def entry_uid(identity: str, key: ToldKey) -> str:
    """Return the UID of an entry: a name-based UUID (RFC 9562, version 5), which tells nobody whose it is (RFC 7986).

    Args:
        identity: names the season for good, 32 hexadecimal digits.
        key: names the entry within the season.
    """
    return str(uuid5(UUID(identity), json.dumps([key.volunteer, key.route, key.visit, key.kind.value])))


def _event(identity: str, row: CalendarRow, care: Sequence[str]) -> Event:
    entry, event = row.entry, Event()
    title = plain(title_words(entry))
    event.add("uid", entry_uid(identity, row.key))
    event.add("dtstamp", row.when_utc.replace(microsecond=0))
    event.add("last-modified", row.when_utc.replace(microsecond=0))
    event.add("sequence", row.sequence)
    event.add("dtstart", entry.leave_utc.astimezone(dt.UTC))
    event.add("dtend", entry.due_utc.astimezone(dt.UTC))
    event.add("organizer", _organizer(identity, entry))
    event.add("class", "PRIVATE")
    if row.cancelled:
        event.add("summary", f"Cancelled: {title}")
        event.add("status", "CANCELLED")
        event.add("transp", "TRANSPARENT")
        return event
    held = entry.kind is ToldKind.RESERVE
    event.add("summary", title)
    event.add("status", "TENTATIVE" if held else "CONFIRMED")
    event.add("transp", "TRANSPARENT" if held else "OPAQUE")
    event.add("location", f"{plain(entry.route)}, point {entry.first_point}: {entry.place}")
    event.add("geo", vGeo((round(entry.place.latitude, PLACE_DIGITS), round(entry.place.longitude, PLACE_DIGITS))))
    event.add("description", "\n".join(_description(entry, care)))
    if not held:
        event.add_component(_alarm(title))
    return event


def _organizer(identity: str, entry: CalendarEntry) -> vCalAddress:
    """Return the coordinator: RFC 5546 wants one, and without an e-mail address the season stands in for it."""
    email = entry.coordinator.email.strip()
    known = _ADDRESS.fullmatch(email) is not None
    address = vCalAddress(f"mailto:{quote(email, safe='@+')}" if known else UUID(identity).urn)
    name = plain(entry.coordinator.name)
    if name:
        address.params["CN"] = name
    return address


def _alarm(title: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", -WARN_BEFORE)
    alarm.add("description", f"In an hour: leave home. {title}")
    return alarm


def _description(entry: CalendarEntry, care: Sequence[str]) -> Iterator[str]:
    yield plain(f"{entry.season}. {title_words(entry)}.")
    if entry.kind is ToldKind.RESERVE:
        yield "Kept free in case the weather cancels the visit: go out only when you are told to."
    yield company_words(entry)
    yield from hours_words(entry)
    said = (before_counts_words(entry), order_words(entry), reserve_words(entry), coordinator_words(entry))
    yield from (words for words in said if words)
    yield from care
    yield from entry.cautions
    yield CAUTION
    if entry.invented:
        yield _INVENTED
