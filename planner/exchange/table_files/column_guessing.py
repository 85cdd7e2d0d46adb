"""What the columns of a table hold, by their headings; what could be read in two ways is left to a person."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.exchange.importers import Choices, ColumnUse, Offer
from planner.exchange.point_names import point_named
from planner.exchange.table_files.column_words import AXIS_WORDS, PLACE_WORDS, Words
from planner.exchange.table_files.headings import Heading, heading
from planner.exchange.table_files.layouts import Layout, plain_name

_ANGLE_PARTS = tuple(f"{axis}_{part}" for axis in ("latitude", "longitude") for part in ("minutes", "seconds", "side"))
"""Beside degrees in columns of their own."""
PLACE_COLUMNS = ("latitude", "longitude", "place", "easting", "northing", "utm_zone", *_ANGLE_PARTS)
_SYSTEMS = (("latitude", "longitude"), ("place",), ("easting", "northing"))
"""How a table may say where something is, the plainest first."""
_MOST_OFFERS = 6
"""Columns offered for one thing."""
_METRES = re.compile(r"[0-9]{4,8}(?:[.,][0-9]+)?")


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a table, in their order."""

    headings: tuple[Heading, ...]
    meanings: tuple[str, ...]
    """What each holds; empty: it is not used."""
    missing: tuple[str, ...]
    """What no column holds, and the table cannot be read without."""
    doubled: Mapping[str, tuple[str, ...]]
    """Headings that could each be meant, by what they would hold, where the table cannot be read without."""
    unsure: Mapping[str, tuple[str, ...]]
    """The same where it can: none of them is used."""
    axes: bool = False
    """Latitude and longitude stand under y and x."""

    @property
    def complete(self) -> bool:
        """Whether the table can be read."""
        return not self.missing and not self.doubled

    @property
    def uses(self) -> tuple[ColumnUse, ...]:
        """Each column with what it was taken for."""
        return tuple(
            ColumnUse(one.text, meaning) for one, meaning in zip(self.headings, self.meanings, strict=True) if one.text
        )

    @property
    def unused(self) -> tuple[str, ...]:
        """Headings of the columns that are not used."""
        return tuple(use.column for use in self.uses if not use.meaning)

    @property
    def utm_zone(self) -> str:
        """The UTM zone that a heading names; empty where none does, or several differ."""
        zones = {one.utm_zone for one, meaning in zip(self.headings, self.meanings, strict=True) if meaning}
        named = zones - {""}
        return named.pop() if len(named) == 1 else ""

    def of(self, meaning: str) -> Heading | None:
        """Return the heading of what holds something; None where nothing does."""
        return self.headings[self.meanings.index(meaning)] if meaning in self.meanings else None

    def offers(self, choices: Choices) -> Iterator[Offer]:
        """Yield a choice for each column that could be meant where several could, and its heading tells it apart."""
        texts = Counter(plain_name(one.text) for one in self.headings)
        for meaning, headings in (*self.doubled.items(), *self.unsure.items()):
            for text in [text for text in headings if texts[plain_name(text)] == 1][:_MOST_OFFERS]:
                chosen = replace(choices, columns={**choices.columns, meaning: text})
                yield Offer(f"Take the column '{text}' for the {meaning}", chosen)


def meanings_of(layout: Layout) -> tuple[str, ...]:
    """Return what a column of a table of that kind may hold, what must be there first."""
    places = PLACE_COLUMNS if "latitude" in layout.required else ()
    return tuple(dict.fromkeys((*layout.required, *places, *layout.optional, *layout.words)))


def guess_columns(header: Sequence[str], layout: Layout, choices: Choices, sample: Sequence[str] = ()) -> Columns:
    """Say what the columns hold.

    A heading that is the layout's own wins over a common spelling of it. Where two columns of equal standing could be
    meant, neither is taken. Coordinates in degrees are preferred to those in metres where a table has both.

    Args:
        header: the headings.
        layout: what kind of table it is held to be.
        choices: columns that a person named go before everything else.
        sample: cells of the first row below, which tell metres from degrees under x and y.
    """
    headings = tuple(heading(text) for text in header)
    found = _candidates(headings, layout, choices)
    axes = not any({*system} <= found.keys() for system in _SYSTEMS) and "latitude" in layout.required
    if axes:
        axes, found = _with_axes(found, headings, sample)
    _keep_one_system(found, choices)
    if found.keys() >= {"route", "point"} and "label" not in choices.columns:
        found.pop("label", None)
    several = {
        meaning: tuple(headings[at].text for at in places) for meaning, places in found.items() if len(places) > 1
    }
    meanings = [""] * len(headings)
    for meaning, places in found.items():
        if len(places) == 1:
            meanings[places[0]] = meaning
    needed = {*layout.required, *PLACE_COLUMNS, "label"}
    doubled = {meaning: texts for meaning, texts in several.items() if meaning in needed}
    unsure = {meaning: texts for meaning, texts in several.items() if meaning not in needed}
    missing = _missing(found, layout, choices, sample)
    return Columns(headings, tuple(meanings), missing, doubled, unsure, axes)


def _candidates(headings: Sequence[Heading], layout: Layout, choices: Choices) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    words: Words = {**layout.words, **(PLACE_WORDS if "latitude" in layout.required else {})}
    taken: set[int] = set()
    for meaning, text in choices.columns.items():
        found[meaning] = _called(headings, text) if text else []
        taken.update(found[meaning])
    for exact in (True, False):
        for meaning in dict.fromkeys((*layout.columns, *words)):
            if meaning in found or (exact and meaning not in layout.columns):
                continue
            spelt = {plain_name(meaning)} if exact else words.get(meaning, frozenset())
            places = [at for at, one in enumerate(headings) if at not in taken and _is_called(one, spelt, exact=exact)]
            if places:
                found[meaning] = places
                taken.update(places)
    return {meaning: places for meaning, places in found.items() if places}


def _called(headings: Sequence[Heading], text: str) -> list[int]:
    """Return the columns of that heading: to the letter, or else but for capitals, spaces and underscores."""
    same = [at for at, one in enumerate(headings) if one.text == text]
    return same or [at for at, one in enumerate(headings) if plain_name(one.text) == plain_name(text)]


def _is_called(one: Heading, spelt: frozenset[str] | set[str], *, exact: bool) -> bool:
    if exact:
        return plain_name(one.text) in spelt
    return bool({one.whole, one.word, one.word.rstrip("0123456789")} & spelt)


def _with_axes(
    found: Mapping[str, list[int]], headings: Sequence[Heading], sample: Sequence[str]
) -> tuple[bool, dict[str, list[int]]]:
    """Take y and x for latitude and longitude, or for metres where the first row has such."""
    columns = {
        axis: [at for at, one in enumerate(headings) if {one.whole, one.word} & words]
        for axis, words in AXIS_WORDS.items()
    }
    if not all(len(places) == 1 for places in columns.values()) or found.keys() & {"latitude", "longitude"}:
        return False, dict(found)
    at = {axis: places[0] for axis, places in columns.items()}
    in_metres = all(place < len(sample) and _METRES.fullmatch(sample[place].strip()) for place in at.values())
    names = ("northing", "easting") if in_metres else ("latitude", "longitude")
    return not in_metres, {**found, names[0]: columns["latitude"], names[1]: columns["longitude"]}


def _keep_one_system(found: dict[str, list[int]], choices: Choices) -> None:
    """Leave one way of saying where something is: that of a column a person named, else the plainest that is whole."""
    named = [system for system in _SYSTEMS if choices.columns.keys() & set(system)]
    whole = [system for system in _SYSTEMS if found.keys() >= set(system)]
    kept = (named or whole or _SYSTEMS)[0]
    beside = {"latitude": {*_ANGLE_PARTS}, "easting": {"utm_zone"}}.get(kept[0], set())
    for meaning in PLACE_COLUMNS:
        if meaning not in kept and meaning not in beside:
            found.pop(meaning, None)


def _missing(
    found: Mapping[str, list[int]], layout: Layout, choices: Choices, sample: Sequence[str]
) -> tuple[str, ...]:
    """Return the required columns that nothing stands for."""
    stood_for = set(found)
    if any(found.keys() >= set(system) for system in _SYSTEMS):
        stood_for |= {"latitude", "longitude"}
    if "point" in layout.required:
        names = [
            sample[places[0]] for key in ("label", "point") if (places := found.get(key)) and places[0] < len(sample)
        ]
        if choices.route or any(point_named(name).code for name in names):
            stood_for.add("route")
        if choices.number_by_order or any(point_named(name).number for name in names):
            stood_for.add("point")
    return tuple(column for column in layout.required if column not in stood_for)
