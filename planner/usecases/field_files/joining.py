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
class Together:
    """What all files of one run say, by sheet and by record."""

    zone: dt.tzinfo
    said: dict[SheetKey | RecordKey, Said] = field(default_factory=dict)
    bad: list[BadCell] = field(default_factory=list)

    def add(self, new: Said) -> None:
        """Take in what one row says; what differs from what another row said stays with the sheet or record, unread."""
        before = self.said.get(new.key)
        if before is None:
            self.said[new.key] = new
            return
        parts, places = dict(before.parts), dict(before.places)
        unread = [*before.unread, *new.unread]
        for name, value in new.parts.items():
            if parts.get(name, value) == value:
                parts[name], places[name] = value, places.get(name, new.places[name])
            elif name[-1] in _WORDS:
                parts[name] = f"{parts[name]}; {value}"
            else:
                unread.append(self._differs(new, name, parts[name], places[name]))
        self.said[new.key] = replace(before, parts=parts, places=places, unread=tuple(dict.fromkeys(unread)))

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
    found = Together(zone)
    for one in said:
        found.add(one)
    return found.said, tuple(found.bad)
