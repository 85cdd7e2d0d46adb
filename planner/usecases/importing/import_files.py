"""Take in what people have: GPX, tables and road maps; the whole of it in one step, or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.store import SeasonFile
from planner.travel import OSM_ATTRIBUTION
from planner.usecases.importing.preview import accept, preview


@dataclass(frozen=True, slots=True)
class SourceSaid:
    """What one file was taken for, and why."""

    path: Path
    kind: str
    reason: str


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import came to."""

    sources: tuple[SourceSaid, ...]
    notes: tuple[str, ...]
    changed: bool


def import_sources(file: SeasonFile, sources: Sequence[Path], *, attribution: str = OSM_ATTRIBUTION) -> Imported:
    """Read every source, join them with the season, and save the result as one step.

    Args:
        file: the season, open for writing.
        sources: files, or folders whose files are taken.
        attribution: whom a road map is owed to, printed beside every map drawn from it.

    Raises:
        InputError: with every fault of every file; the season is then unchanged.
        SeasonFileError: a road map cannot be kept beside the season file, which is then unchanged.
    """
    understood = preview(file, sources, attribution=attribution)
    changed = accept(file, understood)
    said = tuple(SourceSaid(source.path, source.kind, source.reason) for source in understood.sources)
    return Imported(said, understood.notes, changed)
