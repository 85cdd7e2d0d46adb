"""Recognise what an itinerary says, so that one made later can be told to say the same or something else."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace

from planner.domain.geo import Place
from planner.domain.itinerary import DayPlan, Itinerary
from planner.domain.plan import VisitKey
from planner.domain.volunteer import Volunteer

FORM = "itinerary-3"
"""Stands before every hash: hashes of another form, those of older programs among them, cannot be compared."""
PLACE_DIGITS = 5
"""Of a degree: about a metre, the finest that paper shows."""
FIGURE_DIGITS = 2
"""Of minutes and shares: finer differences are those of another processor's arithmetic."""
_PART_DIGITS = 16
"""Of the hash of a part: enough to tell a part from another one of the same name."""
_FRAME = ""
"""Names what stands on a paper beside the visits."""
_SETUP_OF_VISIT = 1
"""A set-up day of its own is that of the first visit."""


def content_hash(itinerary: Itinerary) -> str:
    """Return a hash of all that stands on the paper, without the day of printing and the step of the season file.

    What the volunteer offers (dates, limits, training) and what a route asks for stand on no paper and do not count.
    Behind the hash of the whole stand those of its parts, which :func:`content_by_visit` reads.
    """
    said = _said(itinerary)
    of_visits: dict[str, list[DayPlan]] = defaultdict(list)
    for day in (*said.days, *said.reserves):
        of_visits[f"{day.route.code}/{day.visit or _SETUP_OF_VISIT}"].append(day)
    frame = replace(said, days=(), reserves=())
    parts = {_FRAME: _digest(frame)} | {name: _digest(tuple(days)) for name, days in sorted(of_visits.items())}
    short = {name: digest[:_PART_DIGITS] for name, digest in parts.items()}
    whole = _digest(tuple(parts.items()))
    return f"{FORM}:{whole} {json.dumps(short, ensure_ascii=False)}"


def content_by_visit(known: str) -> Mapping[VisitKey | None, str]:
    """Return what a hash tells of the parts of its paper: that of each visit, and under None of all besides.

    Args:
        known: as :func:`content_hash` made it, in this form; of another form nothing is known of the parts.
    """
    named = known.partition(" ")[2]
    if not comparable(known) or not named:
        return {}
    parts: dict[str, str] = json.loads(named)
    found: dict[VisitKey | None, str] = {None: parts.pop(_FRAME)}
    for name, digest in parts.items():
        route, _, number = name.rpartition("/")
        found[VisitKey(route, int(number))] = digest
    return found


def comparable(known: str) -> bool:
    """Whether a hash kept earlier can be compared with one made now."""
    return known.startswith(f"{FORM}:")


def _digest(value: object) -> str:
    digest = hashlib.sha256()
    for piece in _pieces(value):
        digest.update(piece.encode())
        digest.update(b"\n")
    return digest.hexdigest()


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
