"""The files that go out to somebody, by their names: calendar, points of each outing, telephone page, letters."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.field.told import WrittenFile
from planner.domain.itinerary import DayPlan, Itinerary
from planner.exchange.written.calendar_out import CalendarRow, calendar_bytes
from planner.exchange.written.gpx_out import outing_gpx_bytes
from planner.printing.phone import phone_page
from planner.printing.wording import CARE as CARE_ON_PAPER
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.paper.names import distinct_names, plain_name
from planner.usecases.sending.entries import entry_of
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import PersonNews
from planner.usecases.sending.short_message import short_message

CALENDAR, PAGE, LETTER, SHORT = "calendar.ics", "telephone.html", "message.txt", "short message.txt"
CARE = ("Local law, the land manager's rules and the survey's own safety rules come first.", *CARE_ON_PAPER[1:])
_POINTS = re.compile(r".+ (set-up|visit [0-9]+|visit [0-9]+ reserve [-0-9]{10})( \([0-9]+\))?\.gpx")


@dataclass(frozen=True, slots=True)
class Parcel:
    """All files of one person."""

    person: PersonNews
    files: Mapping[str, bytes]

    @property
    def passing(self) -> tuple[WrittenFile, ...]:
        """Those that may be theirs no longer one day; calendar and letters stay theirs."""
        return tuple(_written(name, data) for name, data in self.files.items() if _passes(name))


def parcel_for(facts: PrintFacts, identity: str, person: PersonNews) -> Parcel:
    """Return the files of one person; the same state of the season and of the log gives the same bytes.

    Whoever has no outing any more gets the calendar that cancels, and the letter.

    Args:
        facts: the season with its light and drives, and the plan.
        identity: what names the season for good.
        person: what they were told and must be told.

    Raises:
        DimpsyError: an outing cannot be timed.
    """
    rows = [
        CalendarRow(one.key, entry_of(one.content), one.sequence, one.cancelled, one.when_utc) for one in person.after
    ]
    files = {CALENDAR: calendar_bytes(identity, rows, CARE)}
    if person.goes_out and facts.plan.of_volunteer(person.code):
        itinerary = _itinerary(facts, person)
        files |= points_files(itinerary)
        files[PAGE] = phone_page(itinerary)
    files[LETTER] = letter_to(person).text.encode() + b"\n"
    files[SHORT] = short_message(person).encode() + b"\n"
    return Parcel(person, files)


def points_files(itinerary: Itinerary) -> Mapping[str, bytes]:
    """Return the points of each outing as a GPX file, by name.

    One of a date in reserve is among them only where the points are gone to in another order then.
    """
    return {f"{name}.gpx": outing_gpx_bytes(itinerary.season, day) for name, day in _outings(itinerary)}


def old_files(folder: Path, parcel: Parcel) -> tuple[Path, ...]:
    """Return files named as ours that lie in somebody's folder from before and are not theirs any more."""
    if not folder.is_dir():
        return ()
    return tuple(path for path in sorted(folder.iterdir()) if _passes(path.name) and path.name not in parcel.files)


def clear_old(old: Iterable[Path], ours: Container[WrittenFile]) -> tuple[Path, ...]:
    """Delete those of some files that went out once and have not been changed since; return them.

    Others stay: somebody else's of such a name, one of ours that was written in since, and what cannot be deleted.
    """
    return tuple(path for path in old if _is_ours(path, ours) and _deleted(path))


def _is_ours(path: Path, ours: Container[WrittenFile]) -> bool:
    try:
        return path.is_file() and not path.is_symlink() and _written(path.name, path.read_bytes()) in ours
    except OSError:
        return False


def _deleted(path: Path) -> bool:
    try:
        path.unlink()
    except OSError:
        return False
    return True


def _passes(name: str) -> bool:
    return name == PAGE or _POINTS.fullmatch(name) is not None


def _written(name: str, data: bytes) -> WrittenFile:
    return WrittenFile(name, hashlib.sha256(data).hexdigest())


def _itinerary(facts: PrintFacts, person: PersonNews) -> Itinerary:
    """Return their itinerary, dated by the day on which they were last told: no later day changes the page."""
    made = itinerary_for(facts, person.code)
    return replace(made, printed_on=person.stamped)


def _outings(itinerary: Itinerary) -> Iterator[tuple[str, DayPlan]]:
    """Yield each outing with its name; a date in reserve only where the points are gone to in another order."""
    ways = {(day.route.code, day.visit): day.outing.way for day in itinerary.days}
    reserves = [day for day in itinerary.reserves if ways.get((day.route.code, day.visit)) != day.outing.way]
    days = [*itinerary.days, *reserves]
    return zip(distinct_names([_name(day) for day in days]), days, strict=True)


def _name(day: DayPlan) -> str:
    what = "set-up" if day.visit is None else f"visit {day.visit}"
    reserve = f" reserve {day.outing.date.isoformat()}" if day.is_reserve else ""
    return f"{plain_name(day.route.code) or 'route'} {what}{reserve}"
