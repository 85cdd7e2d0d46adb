"""What a person decides about a file that is read in, added to what was decided before; and reading it anew."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from planner.exchange import Choices, ColumnUse
from planner.usecases.importing.reading_sources import SourceRead, SourcesRead, read_sources


def read_again(path: Path, choices: Choices) -> SourceRead:
    """Return one file of an import, read anew as a person chose."""
    (again,) = read_sources([path], {path: choices}).sources
    return again


def with_source(read: SourcesRead, again: SourceRead) -> SourcesRead:
    """Return the files of an import with one of them as it was read anew; the others stay as they were read."""
    sources = tuple(again if source.path == again.path else source for source in read.sources)
    return replace(read, sources=sources)


def column_chosen(choices: Choices, use: ColumnUse, meaning: str) -> Choices:
    """Return the choices with one column taken for something else.

    Args:
        choices: what was decided before.
        use: the column, as it is taken now.
        meaning: what it is to hold; empty: it is not to be used.
    """
    columns = {held: heading for held, heading in choices.columns.items() if heading != use.column}
    if meaning:
        columns[meaning] = use.column
    elif use.meaning:
        columns[use.meaning] = ""
    return replace(choices, columns=columns)


def route_typed(choices: Choices, text: str) -> Choices:
    """Return the choices with the code of the route that points without one belong to, as it was typed."""
    return replace(choices, route=text.strip())


def zone_typed(choices: Choices, text: str) -> Choices:
    """Return the choices with the UTM zone as it was typed: '30 n' is 30N."""
    return replace(choices, utm_zone="".join(text.split()).upper())
