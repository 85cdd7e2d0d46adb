"""Read the files of an import, each as a person chose; nothing is held against a season yet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.exchange import (
    AnyRead,
    Choices,
    Doubt,
    Importer,
    LettersError,
    Offer,
    Recognised,
    SourceKind,
    Understanding,
    as_text,
    importers,
    pasted_rows,
    read_protocol,
    recognise,
)
from planner.travel import OSM_ATTRIBUTION, RoadNetwork
from planner.usecases.season.kept_roads import roads_of_file

_Roads = Callable[[Path], tuple[RoadNetwork, str]]
PASTED = Path("pasted text")
"""Stands for text that was pasted, where others have a file."""
_ROAD_ENDINGS = frozenset({".osm", ".bz2", ".pbf"})
_LETTERS = {"cp1252": "Western European (Windows-1252)", "cp1250": "Central European (Windows-1250)"}
"""Codes of letters that are offered where a text is in none that can be told: the commonest of older programs."""


@dataclass(frozen=True, slots=True, eq=False)
class SourceRead:
    """One file, read; nothing of it is held against a season yet."""

    path: Path
    known: Recognised | None
    """None: it is nothing that is known here."""
    read: AnyRead | None = None
    network: RoadNetwork | None = None
    faults: tuple[Fault, ...] = ()
    understood: Understanding = field(default_factory=Understanding)
    choices: Choices = field(default_factory=Choices)
    """It was read with these."""

    @property
    def reason(self) -> str:
        """What it was known by; empty where it is nothing that is known here."""
        return self.known.reason if self.known is not None else ""


@dataclass(frozen=True, slots=True, eq=False)
class SourcesRead:
    """All files of one import, read."""

    sources: tuple[SourceRead, ...]
    notes: tuple[str, ...]
    """What was left out of the folders."""


def endings() -> tuple[str, ...]:
    """Return the endings of names that files to import usually have: ('.gpx', '.csv' …), in small letters."""
    return (*dict.fromkeys(ending for importer in importers() for ending in importer.endings), *sorted(_ROAD_ENDINGS))


def read_sources(
    sources: Sequence[Path],
    choices: Mapping[Path, Choices] | None = None,
    *,
    pasted: str = "",
    attribution: str = OSM_ATTRIBUTION,
    beside: Path | None = None,
) -> SourcesRead:
    """Read files, and go on after a faulty one; a large road map takes a while.

    Args:
        sources: files, or folders whose routes, tables and road maps are taken, also from below them.
        choices: what a person decided, by the file (not by its folder); by :data:`PASTED` of the pasted text.
        pasted: text that was pasted, or came by standard input; read after the files.
        attribution: whom a road map is owed to, printed beside every map drawn from it.
        beside: the season file, beside which a road map that was read before is found again.
    """
    asked = importers()
    chosen = choices or {}
    roads = partial(roads_of_file, attribution=attribution, folder=None if beside is None else beside.parent)
    read: list[SourceRead] = []
    notes: list[str] = []
    for source in sources:
        files, left_out = _files(source, asked)
        notes += [f"{path.name} was left out: nothing to import by its name." for path in left_out]
        read += [_read(path, asked, chosen.get(path, Choices()), roads) for path in files]
        if source.is_dir() and not files:
            read.append(_empty_folder(source))
    if pasted:
        read.append(read_pasted(pasted, chosen.get(PASTED)))
    return SourcesRead(tuple(read), tuple(notes))


def pasted_text(data: bytes) -> str:
    """Return as text what came by standard input; raises InputError where it is none."""
    return as_text(data, PASTED, "lines of points or a table")


def read_pasted(text: str, choices: Choices | None = None) -> SourceRead:
    """Read text that was pasted: a table with its headings, or lines such as ``R01 1 51.5047 -1.2731 by the gate``."""
    chosen = choices or Choices()
    known = Recognised(SourceKind.POINTS, "points of routes", "it was pasted")
    try:
        reason, reading = pasted_rows(text, str(PASTED), chosen)
    except InputError as error:
        return SourceRead(PASTED, known, faults=error.faults, choices=chosen)
    known = replace(known, reason=reason)
    return SourceRead(PASTED, known, reading.read, None, reading.faults, reading.understood, chosen)


def _files(source: Path, asked: Sequence[Importer]) -> tuple[list[Path], list[Path]]:
    """Return the files that a path stands for, and those of a folder that are left out."""
    if not source.is_dir():
        return [source], []
    inside = sorted(path for path in source.rglob("*") if path.is_file())
    usual = _ROAD_ENDINGS.union(*(importer.endings for importer in asked))
    wanted = [path for path in inside if path.suffix.lower() in usual]
    return wanted, [path for path in inside if path not in wanted] if wanted else []


def _empty_folder(folder: Path) -> SourceRead:
    todo = "Name another folder, or the files themselves."
    fault = Fault(str(folder), "", "a folder with files to import", "none", todo)
    return SourceRead(folder, None, faults=(fault,))


def _read(path: Path, asked: Sequence[Importer], choices: Choices, roads: _Roads) -> SourceRead:
    known: Recognised | None = None
    try:
        known = recognise(path, asked, choices)
        if known.kind is SourceKind.ROADS:
            return _with_roads(path, known, *roads(path))
        if known.importer is None:
            return SourceRead(path, known, faults=(_protocol_fault(path),))
        reading = known.importer.read(path, choices)
    except LettersError as error:
        offers = _letter_offers(error.line, choices)
        return SourceRead(path, known, None, None, error.faults, Understanding(offers=offers), choices)
    except InputError as error:
        return SourceRead(path, known, faults=error.faults, choices=choices)
    return SourceRead(path, known, reading.read, None, reading.faults, reading.understood, choices)


def _with_roads(path: Path, known: Recognised, network: RoadNetwork, said: str) -> SourceRead:
    """Return a road map, and what is to be said of how it came: a doubt only where something was amiss."""
    if network.loaded_from is not None:
        return SourceRead(path, replace(known, reason=f"{known.reason}; {said}"), network=network)
    return SourceRead(path, known, network=network, understood=Understanding(doubts=(Doubt("", said),) if said else ()))


def _letter_offers(line: bytes, choices: Choices) -> tuple[Offer, ...]:
    """Offer codes of letters, each with what it makes of the line that shows it: only a reader can tell them apart."""
    offers = []
    for name, words in _LETTERS.items():
        try:
            shown = line.decode(name).strip()
        except UnicodeDecodeError:
            continue
        if shown.isprintable() and name != choices.encoding:
            offers.append(Offer(f"Read its letters as {words}: {shown!r}", replace(choices, encoding=name)))
    return tuple(offers)


def _protocol_fault(path: Path) -> Fault:
    name = read_protocol(path).name
    return Fault(
        source=path.name,
        where="",
        expected="routes, volunteers, dates, weather or roads",
        found=f"the protocol '{name}'",
        todo="A season keeps the protocol it was made with: make a new season,"
        f" with File, New season, or by dimpsy new FILE --protocol {path.name}.",
    )
