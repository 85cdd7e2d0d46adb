"""What find-anything finds: routes, volunteers, dates, rooms and commands, by the words a person would type."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.season import Season

MOST_SHOWN = 40
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True, slots=True)
class Findable:
    """One thing that can be gone to or done."""

    words: str
    kind: str
    """'route', 'volunteer', 'date', 'room' or 'command', as it is shown."""
    do: Callable[[], None]
    why_not: str = ""
    """Why it cannot be done now; empty where it can."""
    also: str = ""
    """Other words it is found by."""


Go = Callable[[RoomName, Subject], None]


def of_season(season: Season, go: Go, kinds: tuple[str, str]) -> Iterator[Findable]:
    """Yield the routes and volunteers of a season; ``kinds`` are the words for a route and a volunteer."""
    for route in season.routes:
        show = partial(go, RoomName.ROUTES, Subject(route=route.code))
        yield Findable(route.title, kinds[0], show, also=route.area)
    for one in season.volunteers:
        words = f"{one.code} {one.name}"
        yield Findable(
            words,
            kinds[1],
            partial(go, RoomName.PEOPLE, Subject(volunteer=one.code)),
            also=f"{one.telephone} {one.email}",
        )


def of_date(query: str, season: Season, go: Go, kind: str) -> Iterator[Findable]:
    """Yield the dates of the season that the query names."""
    for day in dates_named(query, season):
        words = f"{day:%A} {day.day} {day:%B %Y}"
        yield Findable(words, kind, partial(go, RoomName.TODAY, Subject(date=day)), also=query)


def dates_named(query: str, season: Season) -> tuple[dt.date, ...]:
    """Return the season's dates that '2027-06-04', '4 jun', '4.6.' or '6/4' may mean; days before months first."""
    text = query.casefold().strip()
    numbers = [int(number) for number in re.findall(r"\d+", text)]
    month = next((at for at, name in enumerate(_MONTHS, start=1) if re.search(rf"\b{name}", text)), 0)
    wanted: list[tuple[int, int]] = []
    if len(numbers) == 3 and numbers[0] > 31:
        wanted = [(numbers[1], numbers[2])]
    elif month and numbers:
        wanted = [(month, number) for number in numbers if number <= 31]
    elif len(numbers) >= 2 and re.fullmatch(r"\d+\s*[./-]\s*\d+.*", text):
        wanted = [(numbers[1], numbers[0]), (numbers[0], numbers[1])]
    return tuple(day for pair in dict.fromkeys(wanted) for day in season.dates if (day.month, day.day) == pair)


def matching(query: str, things: Iterable[Findable]) -> Sequence[Findable]:
    """Return what matches, the best first: whole words' beginnings before what lies inside words."""
    words = _plain(query).split()
    ranked = []
    for place, thing in enumerate(things):
        rank = _rank(words, thing)
        if rank is not None:
            ranked.append((rank, place, thing))
    return [thing for _, _, thing in sorted(ranked, key=lambda row: row[:2])[:MOST_SHOWN]]


def _rank(words: Sequence[str], thing: Findable) -> int | None:
    """Return how well a thing matches, 0 the best; None where some word is in none of its words."""
    shown, also = _plain(thing.words), _plain(thing.also)
    rank = 0
    for word in words:
        if shown.startswith(word):
            continue
        if re.search(rf"\b{re.escape(word)}", shown):
            rank += 1
        elif word in shown:
            rank += 2
        elif word in also:
            rank += 3
        else:
            return None
    return rank


def _plain(text: str) -> str:
    """Return small letters without accents: 'Élodie' is found by 'elo'."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in parts if not unicodedata.combining(letter))
