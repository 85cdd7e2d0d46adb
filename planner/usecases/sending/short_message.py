"""A letter in the length of a short message by telephone: two parts at most."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Iterator

from planner.domain.field.entry_words import clock_words
from planner.domain.field.telling import News
from planner.domain.field.told import ToldKind
from planner.usecases.sending.news import EntryNews, PersonNews

MOST_PARTS = 2
_BASIC = (
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿"
    "abcdefghijklmnopqrstuvwxyzäöñüà"
)
_EXTENDED = "\f^{}\\[~]|€"
"""Two places each. Both lists: 3GPP TS 23.038, section 6.2.1."""
_PLACES, _PLACES_OF_PART = 160, 153
"""In one message, and in each of several: 140 octets of seven-bit letters, six of them taken by the header that joins
the parts (3GPP TS 23.040, section 9.2.3.24.1)."""
_WIDE, _WIDE_OF_PART = 70, 67
"""The same in letters of two octets, which all of them become where one is in neither list."""
_MOST_NAME = 30
"""Letters of the coordinator's name."""


def parts_of(text: str) -> int:
    """Return in how many parts a telephone sends a text."""
    if all(letter in _BASIC or letter in _EXTENDED for letter in text):
        places = sum(2 if letter in _EXTENDED else 1 for letter in text)
        return 1 if places <= _PLACES else -(-places // _PLACES_OF_PART)
    places = len(text.encode("utf-16-le")) // 2
    return 1 if places <= _WIDE else -(-places // _WIDE_OF_PART)


def short_message(person: PersonNews) -> str:
    """Return what is new in two parts of a short message at most: what does not fit is counted.

    Visits come before dates in reserve, each by date; where nothing is new, what was when they were last told.
    """
    entry = person.entries[0].entry
    items = [words for one in _in_order(person) for words in [_item(one, person.dates)] if words]
    name = " ".join(entry.coordinator.name.split())[:_MOST_NAME].strip()
    heads = [" ".join(word for word in (name, entry.coordinator.telephone) if word), entry.coordinator.telephone]
    for head in heads:
        for shown in range(len(items), -1, -1):
            text = _joined(head, items[:shown], len(items) - shown, invented=entry.invented)
            if parts_of(text) <= MOST_PARTS:
                return text
    return _joined("", [], len(items), invented=entry.invented)


def _joined(head: str, items: list[str], left: int, *, invented: bool) -> str:
    said = [f"{head}:"] if head else []
    said += [f"{item}." for item in items]
    if left:
        said.append(f"{'And ' if items else ''}{left} more {'change' if left == 1 else 'changes'}: see the letter.")
    said.append("Demo only." if invented else "Please answer.")
    return " ".join(said)


def _in_order(person: PersonNews) -> list[EntryNews]:
    return sorted(person.differing, key=lambda one: (one.key.kind is ToldKind.RESERVE, one.entry.date, one.key))


def _item(one: EntryNews, dates: Container[dt.date]) -> str:
    kind = {ToldKind.VISIT: f"visit {one.key.visit}", ToldKind.SETUP: "set-up"}.get(one.key.kind, "reserve")
    what = f"{one.key.route} {kind}"
    if one.after is None:
        if one.key.kind is ToldKind.RESERVE:
            return "" if one.entry.date in dates else f"{what} {_day(one.entry.date)} free again"
        return f"{what} {_day(one.entry.date)} cancelled, do not go"
    if one.key.kind is ToldKind.RESERVE:
        return f"{what} {_day(one.after.date)}" if one.before is None or one.before.date != one.after.date else ""
    return " ".join(_dated(what, one))


def _dated(what: str, one: EntryNews) -> Iterator[str]:
    before, after = one.before, one.after
    if after is None:
        return
    leave = f"leave {clock_words(after, after.leave_utc, ' on %a')}"
    if before is not None and before.date != after.date:
        yield f"{what} not {_day(before.date)} but {_day(after.date)}, {leave}"
    elif before is not None and one.news is News.CHANGED:
        yield f"{what} {_day(after.date)} changes, {leave}: see the letter"
    else:
        yield f"{what} {_day(after.date)}, {leave}"


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
