"""The letter that goes with somebody's files: new, changed and cancelled outings in plain words.

It is written from the entries alone, so that the letter of the last time can be written again to the last letter.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.entry_words import (
    before_counts_words,
    company_words,
    day_words,
    hours_words,
    order_words,
    reserve_words,
)
from planner.domain.field.telling import News
from planner.domain.field.told import ToldKey, ToldKind
from planner.usecases.sending.differences import differences_in_words
from planner.usecases.sending.news import EntryNews, PersonNews
from planner.usecases.sending.notice import Notice


def letter_to(person: PersonNews, because: str = "") -> Notice:
    """Return the letter to one person; where nothing is new, the one that they were last sent.

    Args:
        person: what they were told, and must be told.
        because: what broke, in words that may be told to all of them: 'the weather'. Empty: nothing is said of it.
    """
    entry = _newest(person)
    lines = [f"Dear {person.first_name},", "", _opening(person, entry.season, because), ""]
    for visit in _visits(person):
        lines += [*_Visit(visit, person).lines(), ""]
    lines += _unchanged(person)
    lines += _closing(person, entry)
    return Notice(
        volunteer=person.code,
        name=person.name,
        telephone=person.telephone,
        email=person.email,
        subject=f"{entry.season}: {_subject(person)}",
        text="\n".join(lines),
        fresh_paper=person.goes_out,
    )


def _newest(person: PersonNews) -> CalendarEntry:
    """Return an entry that says what holds now of the season, where one stands."""
    standing = [one.after for one in (*person.differing, *person.entries) if one.after is not None]
    return standing[0] if standing else person.entries[0].entry


def _subject(person: PersonNews) -> str:
    match person.letter:
        case News.NEW:
            return "your outings"
        case News.CANCELLED:
            return "no outing of yours is left"
    return "your outings change"


def _opening(person: PersonNews, season: str, because: str) -> str:
    cause = f" because of {because}" if because else ""
    match person.letter:
        case News.NEW:
            return f"thank you for going out for {season}. These are your outings:"
        case News.CANCELLED:
            return f"the plan of {season} has changed{cause}, and no outing of yours is left in it:"
    return f"the plan of {season} has changed{cause}. For you this means:"


def _visits(person: PersonNews) -> list[dict[ToldKind, EntryNews]]:
    """Return the entries of each visit with something new, by the date that is first to be known."""
    found: dict[tuple[str, int], dict[ToldKind, EntryNews]] = {}
    for one in person.entries:
        found.setdefault((one.key.route, one.key.visit), {})[one.key.kind] = one
    return [visit for visit in found.values() if any(one.news is not News.SAME for one in visit.values())]


class _Visit:
    """What is new of one visit: its date, its set-up day and its date in reserve."""

    def __init__(self, entries: dict[ToldKind, EntryNews], person: PersonNews) -> None:
        self._entries, self._dates, self._since = entries, person.dates, person.stamped
        self._untimed = person.untimed
        self._visit, self._setup, self._reserve = (
            entries.get(kind) for kind in (ToldKind.VISIT, ToldKind.SETUP, ToldKind.RESERVE)
        )

    def lines(self) -> Iterator[str]:
        entry = next(iter(self._entries.values())).entry
        yield f"{entry.route}, visit {entry.visit}"
        parts = [*self._of_setup(), *self._of_visit(), *self._of_reserve(), *self._other_order()]
        yield from (f"  {words}" for words in parts if words)

    def _of_visit(self) -> Iterator[str]:
        one = self._visit
        if one is None:
            return
        if one.after is None:
            yield f"{_not_that_day(one.entry.date, self._since)} You have no date for this visit now."
            return
        if one.news is News.SAME:
            if one.after.date >= self._since:
                yield f"Your outing on {day_words(one.after.date)} stays as it was."
            return
        yield _date_words(one.before, one.after, self._since)
        yield company_words(one.after)
        yield from self._hours(one.key, one.after)
        yield before_counts_words(one.after)
        yield order_words(one.after)
        yield reserve_words(one.after)

    def _of_setup(self) -> Iterator[str]:
        one = self._setup
        if one is None or one.news is News.SAME:
            return
        if one.after is None:
            yield f"There is no set-up day on {day_words(one.entry.date)} any more."
            return
        was = one.before
        moved = f" It is no longer on {day_words(was.date)}." if was is not None and was.date != one.after.date else ""
        yield f"Set-up day, in daylight: {day_words(one.after.date)}.{moved}"
        yield from self._hours(one.key, one.after)

    def _hours(self, key: ToldKey, entry: CalendarEntry) -> Iterator[str]:
        if key not in self._untimed:
            yield from hours_words(entry)

    def _of_reserve(self) -> Iterator[str]:
        one = self._reserve
        if one is None or one.before is None or one.news is News.SAME:
            return
        if one.before.date not in self._dates:
            yield f"You need not keep {day_words(one.before.date)} free for it any more."

    def _other_order(self) -> Iterator[str]:
        """Yield the order of the points on the date in reserve where it is another: those have a file of their own."""
        visit = self._visit.after if self._visit is not None else None
        reserve = self._reserve.after if self._reserve is not None else None
        if visit is not None and reserve is not None and reserve.order and reserve.order != visit.order:
            points = ", ".join(map(str, reserve.order))
            yield (
                f"On the date in reserve the order is another: point {points}. It has a points file of its own, named"
                f" 'reserve {reserve.date.isoformat()}': take that only if the date in reserve is used."
            )


def _not_that_day(date: dt.date, since: dt.date) -> str:
    """Return that an outing falls away; of an evening that has passed, that one more is needed for the visit."""
    if date < since:
        return f"{day_words(date)} is over, and the visit is not done."
    return f"Do not go out on {day_words(date)}."


def _date_words(before: CalendarEntry | None, after: CalendarEntry, since: dt.date) -> str:
    if before is None:
        return f"You are asked to go out on {day_words(after.date)}."
    if before.date != after.date and after.date < since:
        return f"Do not go out on {day_words(before.date)}: your outing is down for {day_words(after.date)}, now over."
    if before.date != after.date:
        return f"{_not_that_day(before.date, since)} New date: {day_words(after.date)}."
    return f"Your outing stays on {day_words(after.date)}. New: {differences_in_words(before, after)}."


def _unchanged(person: PersonNews) -> Iterator[str]:
    """Yield the outings still to come that stay as they were."""
    told = {(one.key.route, one.key.visit) for one in person.differing}
    same = [
        one.after
        for one in person.entries
        if one.after is not None and one.key.kind is not ToldKind.RESERVE and one.after.date >= person.stamped
        if (one.key.route, one.key.visit) not in told
    ]
    if same:
        yield "As you were told before, and unchanged:" if person.told_utc else "Your other outings stay as they are:"
        yield from (f"  {day_words(one.date)}: {one.route}, {one.what[:1].lower()}{one.what[1:]}" for one in same)
        yield ""


def _closing(person: PersonNews, entry: CalendarEntry) -> Iterator[str]:
    """Yield what holds for whatever comes with the letter: files, a new itinerary on paper, or nothing yet."""
    if person.goes_out:
        yield "What comes with this, such as your itinerary or a calendar file, says how things stand now."
        yield "Earlier files, pages and papers that say something else are void; please destroy them."
        yield "If a date does not suit you, or anything is unclear, please ring me before you go out."
    else:
        yield "Earlier files, pages and papers are void; please destroy them."
    yield "A calendar file from me brings your calendar up to date when you open it."
    yield "Please answer, so that I know that you have read this."
    yield ""
    yield from (line for line in (entry.coordinator.name, entry.coordinator.telephone) if line)
    if entry.invented:
        yield ""
        yield "Invented demo: nothing here is real; do not go out with it."
