"""How an entry of a calendar is put into words, in calendars and in letters alike."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from zoneinfo import ZoneInfo

from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.told import ToldKind


def day_words(day: dt.date) -> str:
    """Return a date as a letter says it: 'Tuesday 18 May 2027'."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def title_words(entry: CalendarEntry) -> str:
    """Return route and purpose: 'R04 Larkmoor: visit 1'."""
    return f"{entry.route}: {entry.what[:1].lower()}{entry.what[1:]}"


def company_words(entry: CalendarEntry) -> str:
    """Return who goes, with the other's first name and number: 'You lead, with Ann 07700 900123.'."""
    if entry.kind is ToldKind.SETUP:
        return "You go alone."
    role = "You lead" if entry.leads else "You are the second"
    if entry.partner is None:
        return f"{role}, alone."
    return f"{role}, with {entry.partner.first_name} {entry.partner.telephone}".rstrip() + "."


def hours_words(entry: CalendarEntry) -> Iterator[str]:
    """Yield when to leave, to stand at the first point, to count and to be back, in the season's zone."""
    said = [
        f"Leave home by {clock_words(entry, entry.leave_utc)}.",
        f"Be at point {entry.first_point} at {clock_words(entry, entry.arrive_utc)}.",
    ]
    if entry.count_utc is not None:
        said.append(f"First count at {clock_words(entry, entry.count_utc)}.")
    said.append(f"Due back at {clock_words(entry, entry.due_utc)}.")
    yield " ".join(said)
    if entry.by_sky:
        yield "The sky of the evening decides between two sets of hours: your itinerary has both."


def before_counts_words(entry: CalendarEntry) -> str:
    """Return what is done before the counts: set-up or habitat; empty where nothing is, or on a day of its own."""
    if entry.kind is ToldKind.VISIT and entry.setup:
        return "The points are set up first, in daylight."
    if entry.habitat_first:
        return f"Habitat comes first, in daylight, at each point, beginning at point {entry.first_point}."
    return ""


def order_words(entry: CalendarEntry) -> str:
    """Return the points in the order in which they are gone to; empty without points."""
    if not entry.order:
        return ""
    doing = "Order of the set-up" if entry.kind is ToldKind.SETUP else "Order of the counts"
    return f"{doing}: point {', '.join(map(str, entry.order))}."


def reserve_words(entry: CalendarEntry) -> str:
    """Return what is said of the date in reserve; empty where the entry is of another kind."""
    if entry.kind is not ToldKind.VISIT:
        return ""
    return f"Date in reserve: {day_words(entry.reserve)}." if entry.reserve else "There is no date in reserve."


def coordinator_words(entry: CalendarEntry) -> str:
    """Return whom to ring: 'Coordinator: Kim Warden 07700 900999.'; empty where nobody is named."""
    said = " ".join(word for word in (entry.coordinator.name, entry.coordinator.telephone) if word)
    return f"Coordinator: {said}." if said else ""


def clock_words(entry: CalendarEntry, moment: dt.datetime, day: str = " on %A {day} %B") -> str:
    """Return the hour and minute of a moment in the entry's zone, with the day where it is not the entry's own.

    Args:
        entry: the entry.
        moment: the moment.
        day: how another day is said, as a form of ``strftime``; ``{day}`` is that of the month.
    """
    local = moment.astimezone(ZoneInfo(entry.zone))
    other = local.strftime(day.format(day=local.day)) if local.date() != entry.date else ""
    return f"{local:%H:%M}{other}"
