"""The columns of each kind of table."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.exchange.table_files.column_words import Words


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of one kind of table."""

    name: str
    """What the table is, in words: 'a table of points'."""
    required: tuple[str, ...]
    optional: tuple[str, ...]
    words: Words = field(default_factory=dict)
    """Common spellings of the columns' names, beside the names themselves."""
    entry: str = "entry"
    """What one row is, in a word: 'point'."""

    @property
    def columns(self) -> tuple[str, ...]:
        """All columns, those that must be there first."""
        return self.required + self.optional


def plain_name(name: str) -> str:
    """Return a column's name as it is compared: without case, spaces and underscores."""
    return "".join(name.casefold().split()).replace("_", "")
