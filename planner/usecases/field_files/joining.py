"""What several files say of one sheet or record, put together; where they differ nothing is lost and both are named."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from planner.domain.field.habitat_sheet import SheetKey, UnreadCell
from planner.domain.field.visit_record import RecordKey
from planner.exchange.field_files.bad_cells import BadCell
from planner.exchange.field_files.parts import COUNT, PartName, PartValue, Said, value_words, words_of

_WORDS = ("note", "species")
"""Free words, which are put one behind the other instead."""


@dataclass(slots=True)
class _Gathered:
    """What has been said of one sheet or record so far."""

    first: Said
    parts: dict[PartName, PartValue]
    places: dict[PartName, str]
    unread: list[UnreadCell]
    words: dict[PartName, list[str]] = field(default_factory=dict)
    """Free words, each way of putting them."""

    @property
    def said(self) -> Said:
        """All of it together."""
        words = {name: "; ".join(dict.fromkeys(texts)) for name, texts in self.words.items()}
        unread = tuple(dict.fromkeys(self.unread))
        return replace(self.first, parts={**self.parts, **words}, places=self.places, unread=unread)


@dataclass(slots=True)
class _Together:
    """What all files of one run say, by sheet and by record."""

    zone: dt.tzinfo
    gathered: dict[SheetKey | RecordKey, _Gathered] = field(default_factory=dict)
    bad: list[BadCell] = field(default_factory=list)

    def add(self, new: Said) -> None:
        """Take in what one row says; what differs from what another row said stays with the sheet or record, unread."""
        one = self.gathered.setdefault(new.key, _Gathered(new, {}, {}, []))
        one.unread += new.unread
        for name, value in new.parts.items():
            if name[-1] in _WORDS:
                one.words.setdefault(name, []).append(str(value))
            elif one.parts.setdefault(name, value) != value:
                one.unread.append(self._differs(new, name, one.parts[name], one.places[name]))
            one.places.setdefault(name, new.places[name])

    def _differs(self, new: Said, name: PartName, stands: PartValue, place: str) -> UnreadCell:
        here, value = new.places[name], value_words(new.parts[name], self.zone)
        cell = here.partition(", ")[2]
        expected = f"the same {words_of(name)} as in {place}: {value_words(stands, self.zone)}"
        todo = "Both are kept with it: say which holds. If another person estimated, name them as the observer."
        if name[0] == COUNT or isinstance(new.key, RecordKey):
            todo = "Both are kept with it: say which holds."
        self.bad.append(BadCell(new.source, "", cell, str(new.key), value, expected, todo))
        return UnreadCell(f"{words_of(name)} in {here}", value)


def together(said: Iterable[Said], zone: dt.tzinfo) -> tuple[Mapping[SheetKey | RecordKey, Said], tuple[BadCell, ...]]:
    """Return what rows of several files say of each sheet and record, and where two of them differ.

    Args:
        said: row by row, in the order of the files.
        zone: the season's, in which times are told.
    """
    found = _Together(zone)
    for one in said:
        found.add(one)
    return {key: one.said for key, one in found.gathered.items()}, tuple(found.bad)
