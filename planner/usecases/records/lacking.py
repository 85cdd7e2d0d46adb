"""What a draft of a visit record still lacks before it can be handed in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.domain.field.record_ground import points_words
from planner.domain.field.visit_record import VisitRecord
from planner.exchange.field_files.parts import NOT_READ


def lacking_words(draft: VisitRecord, points: Iterable[int]) -> str:
    """Return what a draft lacks: 'counts at points 3 and 4, when they were home'.

    Args:
        draft: a record that is no final one.
        points: numbers of the route's points; those of a visit that was stopped early are not missed.
    """
    return ", ".join(_lacks(draft, tuple(points))) or "nothing but to be handed in"


def _lacks(draft: VisitRecord, points: tuple[int, ...]) -> Iterator[str]:
    there = {count.point for count in draft.counts}
    missing = tuple(point for point in points if point not in there)
    if not there:
        yield "all counts"
    elif missing and draft.stopped is None:
        yield f"counts at {points_words(missing)}"
    if draft.left_utc is None:
        yield "when they left home"
    if draft.home_utc is None:
        yield "when they were home again"
    unread = sum(line.startswith(NOT_READ) for line in draft.note.splitlines())
    if unread:
        yield f"{unread} {'entry' if unread == 1 else 'entries'} that could not be read"
