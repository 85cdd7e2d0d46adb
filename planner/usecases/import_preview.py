"""Say what files would bring before anything changes: read, held against the season, then taken or not."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.conditions import Conditions
from planner.domain.errors import Fault, ImpossibleError, InputError, SeasonFileError
from planner.domain.season import RoadMap, Season
from planner.exchange import (
    AnyRead,
    AvailabilityRead,
    Choices,
    ConditionsRead,
    Origin,
    RoutesRead,
    Understanding,
    VolunteersRead,
    merge,
    merge_conditions,
)
from planner.store import SeasonFile
from planner.travel import OSM_ATTRIBUTION, RoadNetwork
from planner.usecases.import_differences import Item, route_items, volunteer_items
from planner.usecases.import_doubts import against_season, crossed_sources, swapped_rows
from planner.usecases.opening import roads_path
from planner.usecases.reading_sources import SourceRead, SourcesRead, read_sources

_NAMES_SHOWN = 4
"""Files named in the history; the others are counted."""


@dataclass(frozen=True, slots=True)
class Held:
    """What of a season file an import can change."""

    season: Season
    conditions: tuple[Conditions, ...] = ()

    @classmethod
    def of(cls, file: SeasonFile) -> Held:
        """Read it from the file."""
        return cls(file.season(), file.conditions())


@dataclass(frozen=True, slots=True)
class SourceUnderstood:
    """What one file was taken for, and what it would do to the season."""

    path: Path
    kind: str
    """In words; empty where it is nothing that is known here."""
    reason: str
    items: tuple[Item, ...]
    """The routes or volunteers in it: new, changed, or as before."""
    faults: tuple[Fault, ...]
    understood: Understanding
    """Columns, coordinates, doubts and offers."""
    choices: Choices
    """It was read with these; an offer is taken by reading the file again with the offer's."""


@dataclass(frozen=True, slots=True, eq=False)
class Understood:
    """What an import would do."""

    sources: tuple[SourceUnderstood, ...]
    notes: tuple[str, ...]
    faults: tuple[Fault, ...]
    """Everything that stands in the way; empty where it can be accepted."""
    before: Held
    """What it was held against."""
    after: Held
    """The same with what is free of faults."""
    networks: tuple[RoadNetwork, ...]

    @property
    def changes(self) -> bool:
        """Whether accepting it would change anything."""
        return self.after != self.before or any(network.loaded_from is None for network in self.networks)


def preview(
    file: SeasonFile,
    sources: Sequence[Path],
    choices: Mapping[Path, Choices] | None = None,
    *,
    attribution: str = OSM_ATTRIBUTION,
) -> Understood:
    """Return what importing the files would do; changes nothing. See :func:`read_sources` for what is read."""
    return understand(Held.of(file), read_sources(sources, choices, attribution=attribution, beside=file.path))


def understand(before: Held, read: SourcesRead, leave_out: Collection[Path] = ()) -> Understood:
    """Return what files that were read would do to a season; a pure computation.

    Args:
        before: the season as it stands.
        read: the files.
        leave_out: files that are not to be taken; they are not said either.
    """
    sources = [source for source in read.sources if source.path not in leave_out]
    crossed = crossed_sources(before.season, sources)
    own = [fault for source in sources for fault in source.faults]
    straight = [source for source in sources if source not in crossed]
    after, notes, clashes = _joined(before, [source.read for source in straight if source.read is not None])
    notes = [*read.notes, *notes]
    swapped = swapped_rows(before.season, straight)
    held_against = [against_season(before.season, source, swapped, straight) for source in sources]
    networks = [(source.path, source.network) for source in sources if source.network is not None]
    # What a faulty file lacks would be missed in all others: those faults are told once it is mended or left out.
    # Swapped axes are no such fault, and would stand in the way unseen.
    alone = not own and not crossed
    told = [fault for fault in clashes if alone or Origin(fault.source, fault.where) in swapped]
    between = [*_crossed_faults(before.season, crossed), *_one_map(networks), *told]
    for path, network in networks:
        after = replace(after, season=replace(after.season, roads=_road_map(path, network)))
        notes += [f"Roads of {path.name} will be used for every drive.", *network.roads.notes]
    return Understood(
        sources=tuple(
            _said(before.season, None if clashes else after.season, source, between, told_of)
            for source, told_of in zip(sources, held_against, strict=True)
        ),
        notes=tuple(notes),
        faults=(*own, *between),
        before=before,
        after=after,
        networks=tuple(network for _, network in networks),
    )


def accept(file: SeasonFile, understood: Understood) -> bool:
    """Take in what was understood, as one step; return whether that changed anything.

    Raises:
        InputError: with every fault that stands in the way; the season is then unchanged.
        ImpossibleError: the season has changed since it was held against the files.
        SeasonFileError: a road map cannot be kept beside the season file, which is then unchanged.
    """
    if understood.faults:
        raise InputError(*understood.faults)
    if Held.of(file) != understood.before:
        raise ImpossibleError("The season has changed since the files were read.", "Look at them again, then import.")
    for network in understood.networks:
        _keep_beside(file, understood.after.season, network)
    if understood.changes:
        with file.step(_label([source.path.name for source in understood.sources])):
            file.save_season(understood.after.season)
            file.save_conditions(understood.after.conditions)
    return understood.changes


def _joined(before: Held, reads: Sequence[AnyRead]) -> tuple[Held, list[str], list[Fault]]:
    """Return the season with the reads in it, notes on them, and faults between them."""
    of_season = [read for read in reads if not isinstance(read, ConditionsRead)]
    of_evenings = [read for read in reads if isinstance(read, ConditionsRead)]
    season, notes = before.season, list[str]()
    try:
        if of_season:
            merged = merge(season, of_season)
            season, notes = merged.season, list(merged.notes)
        conditions, said = merge_conditions(season, before.conditions, of_evenings)
    except InputError as error:
        return replace(before, season=season), notes, list(error.faults)
    return Held(season, conditions), [*notes, *said], []


def _crossed_faults(season: Season, crossed: Sequence[SourceRead]) -> Iterator[Fault]:
    for source in crossed:
        wanted, found = f"places near {season.zone}", "none: latitude and longitude look swapped"
        yield Fault(str(source.path), "", wanted, found, "Swap the two.")


def _one_map(networks: Sequence[tuple[Path, RoadNetwork]]) -> list[Fault]:
    if len(networks) < 2:
        return []
    names = ", ".join(path.name for path, _ in networks)
    return [Fault(names, "", "one road map", f"{len(networks)}", "Import the one that covers the season.")]


def _road_map(path: Path, network: RoadNetwork) -> RoadMap:
    return RoadMap(source_name=path.name, content_hash=network.content_hash, attribution=network.attribution)


def _said(
    before: Season,
    after: Season | None,
    source: SourceRead,
    between: Sequence[Fault],
    understood: Understanding,
) -> SourceUnderstood:
    """Return what is said of a file; ``after`` is None where the files do not go together."""
    mine = [fault for fault in between if fault.source == str(source.path)]
    return SourceUnderstood(
        path=source.path,
        kind=source.known.words if source.known is not None else "",
        reason=source.reason,
        items=tuple(_items(before, after, source.read)),
        faults=(*source.faults, *mine),
        understood=understood,
        choices=source.choices,
    )


def _items(before: Season, after: Season | None, read: AnyRead | None) -> Iterator[Item]:
    if isinstance(read, RoutesRead):
        codes = dict.fromkeys(
            [row.code for row in read.routes] + [row.code for row in read.names] + [row.route for row in read.points]
        )
        yield from route_items(before, after, codes)
    elif isinstance(read, VolunteersRead):
        yield from volunteer_items(before, after, [row.volunteer.code for row in read.volunteers])
    elif isinstance(read, AvailabilityRead):
        yield from volunteer_items(before, after, dict.fromkeys(row.volunteer for row in read.rows))


def _keep_beside(file: SeasonFile, season: Season, network: RoadNetwork) -> None:
    assert season.roads is not None, "a season that takes roads in names them"
    beside = roads_path(file.path, season.roads)
    if network.loaded_from == beside:
        return
    try:
        network.save(beside)
    except OSError as error:
        why = error.strerror or str(error)
        raise SeasonFileError(
            f"{beside}: the road map cannot be kept there ({why}). Nothing was changed; make room, and import again."
        ) from error


def _label(names: list[str]) -> str:
    """Return the step's name for the history, of a length that can be read."""
    more = f" and {len(names) - _NAMES_SHOWN} more" if len(names) > _NAMES_SHOWN else ""
    return f"Import {', '.join(names[:_NAMES_SHOWN])}{more}"
