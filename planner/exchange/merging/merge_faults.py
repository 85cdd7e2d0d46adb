"""What is wrong with files once they are held against each other and against the season."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import NamedTuple

from planner.domain.errors import Fault
from planner.domain.geo import Place
from planner.domain.season import Season
from planner.exchange.merging.merge_weather import weather_faults
from planner.exchange.merging.strays import Ground, Located, far_faults, ground_of, is_swapped, swapped_faults
from planner.exchange.reads import AvailabilityRead, Origin, PointRow, Read, RoutesRead, VolunteerRow, VolunteersRead

MOST_SEASON_POINTS = 20_000
"""Points in one season: about eight times those of 200 routes of 11, and still checked in seconds; our choice."""


class _Once(NamedTuple):
    """Something that may be read once only."""

    origin: Origin
    key: Hashable
    what: str


def reading_faults(season: Season, reads: Sequence[Read]) -> tuple[Fault, ...]:
    """Return every fault that only shows when the files are looked at together."""
    too_many = _too_many_points(season, reads)
    if too_many:
        return tuple(too_many)
    routes = [read for read in reads if isinstance(read, RoutesRead)]
    points = [row for read in routes for row in read.points]
    volunteers = [row for read in reads if isinstance(read, VolunteersRead) for row in read.volunteers]
    return (
        *_twice(_once_only(routes, volunteers)),
        *_one_place(points),
        *_unknown_volunteers(season, reads, volunteers),
        *_strays(season, reads),
        *weather_faults(season, reads),
    )


def _too_many_points(season: Season, reads: Sequence[Read]) -> list[Fault]:
    """Return a fault for each file with points where all of them, and those that stay, are more than is borne."""
    routes = [read for read in reads if isinstance(read, RoutesRead) and read.points]
    anew = {row.route for read in routes for row in read.points}
    staying = sum(len(route.points) for route in season.routes if route.code not in anew)
    count = staying + sum(len(read.points) for read in routes)
    if count <= MOST_SEASON_POINTS:
        return []
    expected, found = f"at most {MOST_SEASON_POINTS:,} points in one season", f"{count:,} with these"
    todo = "Bring in the routes of one area, and make a season for each of the others."
    return [Fault(read.source, "", expected, found, todo) for read in routes]


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


def swapped_origins(season: Season, reads: Sequence[Read]) -> frozenset[Origin]:
    """Return the rows whose latitude and longitude look swapped, held against all the places of season and files."""
    spots, homes = _located(reads)
    ground = _ground(season, spots, homes)
    return frozenset(one.origin for one in (*spots, *homes) if ground is not None and is_swapped(one.place, ground))


def middle_of(season: Season) -> Place | None:
    """Return the middle of a season's routes and homes; None where there are hardly any."""
    ground = _ground(season, [], [])
    return ground.centre if ground is not None else None


def _strays(season: Season, reads: Sequence[Read]) -> list[Fault]:
    """Judge points and homes. A home far away is left to the checks: people do move; a point does not."""
    spots, homes = _located(reads)
    ground = _ground(season, spots, homes)
    if ground is None:
        return []
    return [*swapped_faults((*spots, *homes), ground), *far_faults(spots, ground)]


def _located(reads: Sequence[Read]) -> tuple[list[Located], list[Located]]:
    """Return the points and the homes in some files."""
    points = [row for read in reads if isinstance(read, RoutesRead) for row in read.points]
    volunteers = [row for read in reads if isinstance(read, VolunteersRead) for row in read.volunteers]
    spots = [
        Located(row.origin, f"point {row.number} of route {row.route}", row.place, ("route", row.route))
        for row in points
    ]
    homes = [
        Located(row.origin, f"the home of {row.volunteer.code}", row.volunteer.home, ("home", row.volunteer.code))
        for row in volunteers
    ]
    return spots, homes


def _ground(season: Season, spots: Sequence[Located], homes: Sequence[Located]) -> Ground | None:
    """Return where the season lies, with what was read in the place of what it had."""
    read_anew = {one.owner for one in (*spots, *homes)}
    places = [one.place for one in (*spots, *homes)]
    places += [
        point.place for route in season.routes if ("route", route.code) not in read_anew for point in route.points
    ]
    places += [one.home for one in season.volunteers if ("home", one.code) not in read_anew]
    return ground_of(places)
