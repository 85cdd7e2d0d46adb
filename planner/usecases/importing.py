"""Take in what people have: GPX, tables and road maps; the whole of it in one step, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.errors import Fault, InputError, SeasonFileError
from planner.domain.season import RoadMap, Season
from planner.exchange import (
    ConditionsRead,
    Read,
    Recognised,
    SourceKind,
    merge,
    merge_conditions,
    read_availability,
    read_chances,
    read_conditions,
    read_evenings,
    read_gpx,
    read_points,
    read_protocol,
    read_routes,
    read_volunteers,
    recognise,
)
from planner.store import SeasonFile
from planner.travel import OSM_ATTRIBUTION, RoadNetwork
from planner.usecases.opening import roads_path

_READERS: Mapping[SourceKind, Callable[[Path], Read | ConditionsRead]] = {
    SourceKind.GPX: read_gpx,
    SourceKind.POINTS: read_points,
    SourceKind.ROUTES: read_routes,
    SourceKind.VOLUNTEERS: read_volunteers,
    SourceKind.AVAILABILITY: read_availability,
    SourceKind.EVENINGS: read_evenings,
    SourceKind.CHANCES: read_chances,
    SourceKind.CONDITIONS: read_conditions,
}
_KIND_WORDS: Mapping[SourceKind, str] = {
    SourceKind.GPX: "routes (GPX)",
    SourceKind.POINTS: "points of routes",
    SourceKind.ROUTES: "routes",
    SourceKind.VOLUNTEERS: "volunteers",
    SourceKind.AVAILABILITY: "volunteers' dates",
    SourceKind.EVENINGS: "past evenings",
    SourceKind.CHANCES: "chances of a lost evening",
    SourceKind.CONDITIONS: "conditions of evenings",
    SourceKind.ROADS: "a road map (OpenStreetMap)",
    SourceKind.PROTOCOL: "a survey protocol",
}
_TAKEN_FROM_FOLDERS = frozenset({".gpx", ".csv", ".tsv", ".txt", ".osm", ".bz2", ".pbf"})

_NAMES_SHOWN = 4
"""Files named in the history; the others are counted."""


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
    files, notes = _files(sources)
    known, faults = _recognised(files)
    reads, networks, unreadable = _read_all(known, attribution)
    if faults or unreadable:
        raise InputError(*faults, *unreadable)
    season = file.season()
    of_season = [read for read in reads if not isinstance(read, ConditionsRead)]
    if of_season:
        merged = merge(season, of_season)
        season = merged.season
        notes += merged.notes
    of_evenings = [read for read in reads if isinstance(read, ConditionsRead)]
    conditions, said_of_them = merge_conditions(season, file.conditions(), of_evenings)
    notes += said_of_them
    for path, network in networks:
        season = _with_roads(file, season, path, network)
        notes.append(f"Roads of {path.name} will be used for every drive.")
    changed = (season, conditions) != (file.season(), file.conditions())
    if changed:
        with file.step(_label([path.name for path, _ in known])):
            file.save_season(season)
            file.save_conditions(conditions)
    said = tuple(SourceSaid(path, _KIND_WORDS[found.kind], found.reason) for path, found in known)
    return Imported(said, tuple(notes), changed)


def _label(names: list[str]) -> str:
    """Return the step's name for the history, of a length that can be read."""
    more = f" and {len(names) - _NAMES_SHOWN} more" if len(names) > _NAMES_SHOWN else ""
    return f"Import {', '.join(names[:_NAMES_SHOWN])}{more}"


def _files(sources: Sequence[Path]) -> tuple[list[Path], list[str]]:
    """Return the files meant, and a note on what was left out.

    A folder stands for the routes, tables and road maps in it and below it; what else lies there is left out.
    """
    files: list[Path] = []
    notes: list[str] = []
    for source in sources:
        if not source.is_dir():
            files.append(source)
            continue
        inside = sorted(path for path in source.rglob("*") if path.is_file())
        wanted = [path for path in inside if path.suffix.lower() in _TAKEN_FROM_FOLDERS]
        if not wanted:
            todo = "Name another folder, or the files themselves."
            raise InputError(Fault(str(source), "", "a folder with files to import", "none", todo))
        files += wanted
        notes += [f"{path.name} was left out: nothing to import by its name." for path in inside if path not in wanted]
    return files, notes


def _recognised(files: Sequence[Path]) -> tuple[list[tuple[Path, Recognised]], list[Fault]]:
    known: list[tuple[Path, Recognised]] = []
    faults: list[Fault] = []
    for path in files:
        try:
            known.append((path, recognise(path)))
        except InputError as error:
            faults += error.faults
    return known, faults


def _read_all(
    known: Sequence[tuple[Path, Recognised]], attribution: str
) -> tuple[list[Read | ConditionsRead], list[tuple[Path, RoadNetwork]], list[Fault]]:
    """Read every file, and go on after a faulty one, so that all faults are told in one go."""
    reads: list[Read | ConditionsRead] = []
    networks: list[tuple[Path, RoadNetwork]] = []
    faults: list[Fault] = []
    for path, found in known:
        try:
            if found.kind is SourceKind.ROADS:
                networks.append((path, RoadNetwork.read(path, attribution=attribution)))
            elif found.kind is SourceKind.PROTOCOL:
                faults.append(_protocol_fault(path))
            else:
                reads.append(_READERS[found.kind](path))
        except InputError as error:
            faults += error.faults
    if len(networks) > 1:
        names = ", ".join(path.name for path, _ in networks)
        faults.append(Fault(names, "", "one road map", f"{len(networks)}", "Import the one that covers the season."))
    return reads, networks, faults


def _protocol_fault(path: Path) -> Fault:
    name = read_protocol(path).name
    return Fault(
        source=path.name,
        where="",
        expected="routes, volunteers, dates, weather or roads",
        found=f"the protocol '{name}'",
        todo="A season keeps the protocol it was made with; make one with: dimpsy new FILE --protocol " + path.name,
    )


def _with_roads(file: SeasonFile, season: Season, path: Path, network: RoadNetwork) -> Season:
    roads = RoadMap(source_name=path.name, content_hash=network.content_hash, attribution=network.attribution)
    beside = roads_path(file.path, roads)
    try:
        network.save(beside)
    except OSError as error:
        why = error.strerror or str(error)
        raise SeasonFileError(
            f"{beside}: the road map cannot be kept there ({why}). Nothing was changed; make room, and import again."
        ) from error
    return replace(season, roads=roads)
