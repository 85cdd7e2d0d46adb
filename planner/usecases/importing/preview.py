"""Say what files would bring before anything changes: read, held against the season, then taken or not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.conditions import Conditions
from planner.domain.errors import Fault, ImpossibleError, InputError, SeasonFileError
from planner.domain.plan import Plan
from planner.domain.season import RoadMap, Season
from planner.exchange import (
    AnyRead,
    AvailabilityRead,
    Choices,
    ConditionsRead,
    Doubt,
    FieldRead,
    Origin,
    Read,
    RoutesRead,
    Understanding,
    VolunteersRead,
    merge,
    merge_conditions,
)
from planner.store import SeasonFile
from planner.travel import OSM_ATTRIBUTION, RoadNetwork
from planner.usecases.field_files.keeping import ready_to_keep
from planner.usecases.field_files.reading import Back, FieldHeld, back_of
from planner.usecases.importing.differences import Item, route_items, volunteer_items
from planner.usecases.importing.doubts import against_season, crossed_sources, swapped_rows
from planner.usecases.importing.reading_sources import SourceRead, SourcesRead, read_sources
from planner.usecases.season.opening import roads_path

_CELLS_SHOWN = 12
"""Cells of a file that are named; the others are counted."""
_NAMES_SHOWN = 4
"""Files named in the history; the others are counted."""


@dataclass(frozen=True, slots=True)
class Held:
    """What of a season file an import can change."""

    season: Season
    conditions: tuple[Conditions, ...] = ()
    field: FieldHeld | None = None
    """What sheets and records that come back are held against; None: there are none yet, and no plan."""

    @classmethod
    def of(cls, file: SeasonFile) -> Held:
        """Read it from the file."""
        return cls(file.season(), file.conditions(), FieldHeld.of(file))


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
    back: Back | None = None
    """What came back from the field; None: none of the files is such."""

    @property
    def changes(self) -> bool:
        """Whether accepting it would change anything."""
        back = self.back is not None and self.back.changes
        return back or self.after != self.before or any(network.loaded_from is None for network in self.networks)


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
    reads = [source.read for source in straight if source.read is not None]
    after, notes, clashes = _joined(before, [read for read in reads if not isinstance(read, FieldRead)])
    notes = [*read.notes, *notes]
    swapped = swapped_rows(before.season, straight)
    held_against = [against_season(before.season, source, swapped, straight) for source in sources]
    networks = [(source.path, source.network) for source in sources if source.network is not None]
    # What a faulty file lacks would be missed in all others: those faults are told once it is mended or left out.
    # Swapped axes are no such fault, and would stand in the way unseen.
    alone = not own and not crossed
    told = [fault for fault in clashes if alone or Origin(fault.source, fault.where) in swapped]
    back, strange = _came_back(before, after.season, straight)
    between = [*_crossed_faults(before.season, crossed), *_one_map(networks), *told, *strange]
    for path, network in networks:
        after = replace(after, season=replace(after.season, roads=_road_map(path, network)))
        notes += [f"Roads of {path.name} will be used for every drive.", *network.roads.notes]
    return Understood(
        sources=tuple(
            _said(before.season, None if clashes else after.season, source, between, _with_cells(told_of, source, back))
            for source, told_of in zip(sources, held_against, strict=True)
        ),
        notes=(*notes, *((*back.words, *back.notes) if back is not None else ())),
        faults=(*own, *between),
        before=before,
        after=after,
        networks=tuple(network for _, network in networks),
        back=back,
    )


def _came_back(before: Held, season: Season, sources: Sequence[SourceRead]) -> tuple[Back | None, list[Fault]]:
    """Return what filled-in files would make of the season's sheets and records, and files that hold none."""
    files = [(source.path, source.read.tables) for source in sources if isinstance(source.read, FieldRead)]
    if not files:
        return None, []
    held = before.field or FieldHeld(season, Plan(), (), (), "")
    try:
        return back_of(replace(held, season=season), files, _today(season)), []
    except InputError as error:
        return None, list(error.faults)


def _with_cells(told_of: Understanding, source: SourceRead, back: Back | None) -> Understanding:
    """Return how a file was understood, with its cells that could not be taken."""
    cells = [cell for cell in (back.bad if back is not None else ()) if cell.source == str(source.path)]
    doubts = [Doubt(cell.where, f"expected {cell.expected}, found {cell.shown}. {cell.todo}") for cell in cells]
    more = len(doubts) - _CELLS_SHOWN
    shown = [*doubts[:_CELLS_SHOWN], *([Doubt("", f"{more} more cells could not be taken")] if more > 0 else [])]
    return replace(told_of, doubts=(*told_of.doubts, *shown)) if shown else told_of


def _today(season: Season) -> dt.date:
    return dt.datetime.now(tz=season.tzinfo).date()


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
    season, back = understood.after.season, understood.back
    if understood.changes:
        ready = ready_to_keep(file, season, back, _today(season)) if back is not None and back.changes else None
        with file.step(_label([source.path.name for source in understood.sources])):
            file.save_season(season)
            file.save_conditions(understood.after.conditions)
            if ready is not None:
                ready.write(file)
    return understood.changes


def _joined(before: Held, reads: Sequence[Read | ConditionsRead]) -> tuple[Held, list[str], list[Fault]]:
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
    return replace(before, season=season, conditions=conditions), [*notes, *said], []


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
