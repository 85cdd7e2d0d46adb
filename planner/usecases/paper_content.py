"""Recognise what an itinerary says, so that one made later can be told to say the same or something else."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace

from planner.domain.geo import Place
from planner.domain.itinerary import DayPlan, Itinerary
from planner.domain.volunteer import Volunteer

FORM = "itinerary-2"
"""Stands before every hash: hashes of another form, those of older programs among them, cannot be compared."""
PLACE_DIGITS = 5
"""Of a degree: about a metre, the finest that paper shows."""
FIGURE_DIGITS = 2
"""Of minutes and shares: finer differences are those of another processor's arithmetic."""


def content_hash(itinerary: Itinerary) -> str:
    """Return a hash of all that stands on the paper, without the day of printing and the step of the season file.

    What the volunteer offers (dates, limits, training) and what a route asks for stand on no paper and do not count.
    """
    digest = hashlib.sha256()
    for piece in _pieces(_said(itinerary)):
        digest.update(piece.encode())
        digest.update(b"\n")
    return f"{FORM}:{digest.hexdigest()}"


def comparable(known: str) -> bool:
    """Whether a hash kept earlier can be compared with one made now."""
    return known.startswith(f"{FORM}:")


def _said(itinerary: Itinerary) -> Itinerary:
    person = itinerary.volunteer
    return replace(
        itinerary,
        volunteer=Volunteer(person.code, person.name, person.home),
        days=tuple(_said_of_day(day) for day in itinerary.days),
        reserves=tuple(_said_of_day(day) for day in itinerary.reserves),
        printed_on=dt.date.min,
        revision=0,
    )


def _said_of_day(day: DayPlan) -> DayPlan:
    return replace(day, route=replace(day.route, needs=frozenset(), lead="", visit_dates=(), people=1, area=""))


def _pieces(value: object) -> Iterator[str]:
    """Yield a value as lines of text: the same on every machine, and another for every other value."""
    if isinstance(value, Place):
        yield f"{value.latitude:.{PLACE_DIGITS}f} {value.longitude:.{PLACE_DIGITS}f}"
    elif isinstance(value, float):
        yield f"{value:.{FIGURE_DIGITS}f}"
    elif isinstance(value, dt.datetime):
        yield (value + dt.timedelta(seconds=0.5)).replace(microsecond=0).isoformat()
    elif isinstance(value, tuple):
        yield f"({len(value)}"
        for one in value:
            yield from _pieces(one)
    elif isinstance(value, frozenset):
        yield f"{{{sorted(map(repr, value))}"
    elif is_dataclass(value):
        yield type(value).__name__
        for field in fields(value):
            if field.metadata.get("on_paper", True):
                yield from _pieces(getattr(value, field.name))
    else:
        yield repr(value)
