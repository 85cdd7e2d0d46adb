"""What is wrong with files once they are held against each other and against the season."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import NamedTuple

from planner.domain.errors import Fault
from planner.domain.geo import Place
from planner.domain.season import Season
from planner.exchange.merge_weather import weather_faults
from planner.exchange.reads import AvailabilityRead, Origin, PointRow, Read, RoutesRead, VolunteerRow, VolunteersRead
from planner.exchange.strays import Located, far_faults, ground_of, swapped_faults


class _Once(NamedTuple):
    """Something that may be read once only."""

    origin: Origin
    key: Hashable
    what: str


def reading_faults(season: Season, reads: Sequence[Read]) -> tuple[Fault, ...]:
    """Return every fault that only shows when the files are looked at together."""
    routes = [read for read in reads if isinstance(read, RoutesRead)]
    points = [row for read in routes for row in read.points]
    volunteers = [row for read in reads if isinstance(read, VolunteersRead) for row in read.volunteers]
    return (
        *_twice(_once_only(routes, volunteers)),
        *_one_place(points),
        *_unknown_volunteers(season, reads, volunteers),
        *_strays(season, points, volunteers),
        *weather_faults(season, reads),
    )


def _once_only(reads: Sequence[RoutesRead], volunteers: Sequence[VolunteerRow]) -> Iterator[_Once]:
    for read in reads:
        for row in read.routes:
            yield _Once(row.origin, ("route", row.code), f"route {row.code}")
        for name in read.names:
            yield _Once(name.origin, ("name", name.code), f"route {name.code}")
        for point in read.points:
            yield _Once(point.origin, (point.route, point.number), f"point {point.number} of route {point.route}")
    for one in volunteers:
        yield _Once(one.origin, ("volunteer", one.volunteer.code), f"volunteer {one.volunteer.code}")


def _twice(things: Iterable[_Once]) -> Iterator[Fault]:
    seen: dict[Hashable, Origin] = {}
    for origin, key, what in things:
        first = seen.setdefault(key, origin)
        if first is not origin:
            found = f"it again; it stands in {_beside(first, origin)} already"
            yield Fault(origin.source, origin.where, f"{what} once", found, "Remove one or correct its code.")


def _beside(first: Origin, second: Origin) -> str:
    return first.where if first.source == second.source else str(first)


def _one_place(points: Sequence[PointRow]) -> Iterator[Fault]:
    seen: dict[tuple[str, Place], PointRow] = {}
    for point in points:
        first = seen.setdefault((point.route, point.place), point)
        if first.number != point.number:
            yield Fault(
                point.origin.source,
                point.origin.where,
                f"point {point.number} of route {point.route} at a place of its own",
                f"the place of point {first.number}: {point.place}",
                "Correct the coordinates of one of them.",
            )


def _unknown_volunteers(season: Season, reads: Sequence[Read], volunteers: Sequence[VolunteerRow]) -> Iterator[Fault]:
    known = {volunteer.code for volunteer in season.volunteers} | {row.volunteer.code for row in volunteers}
    for origin, code, column in _named_volunteers(reads):
        if code and code not in known:
            yield Fault(
                origin.source,
                f"{origin.where}, column {column}",
                "the code of a volunteer of this season",
                f"{code!r}, which is unknown",
                "Correct the code, or import the table of volunteers first or together with this one.",
            )


def _named_volunteers(reads: Sequence[Read]) -> Iterator[tuple[Origin, str, str]]:
    for read in reads:
        if isinstance(read, RoutesRead):
            yield from ((row.origin, row.lead or "", "lead") for row in read.routes)
        elif isinstance(read, AvailabilityRead):
            yield from ((row.origin, row.volunteer, "volunteer") for row in read.rows)


def _strays(season: Season, points: Sequence[PointRow], volunteers: Sequence[VolunteerRow]) -> list[Fault]:
    """Judge points and homes. A home far away is left to the checks: people do move; a point does not."""
    spots = [Located(row.origin, f"point {row.number} of route {row.route}", row.place) for row in points]
    homes = [Located(row.origin, f"the home of {row.volunteer.code}", row.volunteer.home) for row in volunteers]
    read_anew = {row.route for row in points}, {row.volunteer.code for row in volunteers}
    places = [one.place for one in (*spots, *homes)]
    places += [point.place for route in season.routes if route.code not in read_anew[0] for point in route.points]
    places += [volunteer.home for volunteer in season.volunteers if volunteer.code not in read_anew[1]]
    ground = ground_of(places)
    if ground is None:
        return []
    return [*swapped_faults((*spots, *homes), ground), *far_faults(spots, ground)]
