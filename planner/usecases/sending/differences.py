"""Say in words what of an entry differs from what somebody was told."""

from __future__ import annotations

from collections.abc import Iterator

from planner.domain.field.calendar_entry import CalendarEntry

SOMETHING_ELSE = "something in the details"


def differences_in_words(before: CalendarEntry, after: CalendarEntry) -> str:
    """Return what of an entry differs, as a list in words: 'the hours, and who goes with you'."""
    found = list(_differing(before, after)) or [SOMETHING_ELSE]
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])}, and {found[-1]}"


def _differing(before: CalendarEntry, after: CalendarEntry) -> Iterator[str]:
    if before.date != after.date:
        yield "the date"
    elif _hours(before) != _hours(after):
        yield "the hours"
    if before.partner != after.partner:
        yield "who goes with you"
    if before.leads != after.leads:
        yield "who leads"
    if before.setup != after.setup:
        yield "whether points are set up"
    if before.habitat_first != after.habitat_first:
        yield "whether habitat comes first"
    if (before.order, before.first_point, before.place) != (after.order, after.first_point, after.place):
        yield "the points or their order"
    if before.reserve != after.reserve:
        yield "the date in reserve"
    if before.coordinator != after.coordinator:
        yield "whom to ring"


def _hours(entry: CalendarEntry) -> tuple[object, ...]:
    return entry.leave_utc, entry.arrive_utc, entry.count_utc, entry.due_utc, entry.by_sky
