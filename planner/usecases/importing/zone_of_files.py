"""The time zone in which the places of files lie, before there is a season to bring them into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from planner.domain.geo import Place
from planner.exchange import RoutesRead, VolunteersRead
from planner.usecases.importing.reading_sources import SourceRead, read_sources
from planner.usecases.season.zones import ZoneFound, zone_at, zone_of_all


def zone_of_files(paths: Sequence[Path]) -> ZoneFound:
    """Return the time zone that most places of files lie in, points of routes and homes alike; never raises."""
    read = read_sources(paths)
    places = [place for source in read.sources for place in _places(source)]
    if not places:
        faults = [fault for source in read.sources for fault in source.faults]
        return ZoneFound("", str(faults[0]) if faults else "There are no places of routes or volunteers in it.")
    zone = zone_of_all(places)
    if not zone:
        return zone_at(places[0])
    names = ", ".join(path.name for path in paths[:3])
    count = "The place" if len(places) == 1 else f"Most of the {len(places)} places"
    return ZoneFound(zone, f"{count} in {names} {'lies' if len(places) == 1 else 'lie'} in {zone}.")


def _places(source: SourceRead) -> Iterator[Place]:
    if isinstance(source.read, RoutesRead):
        yield from (point.place for point in source.read.points)
    elif isinstance(source.read, VolunteersRead):
        yield from (row.volunteer.home for row in source.read.volunteers)
