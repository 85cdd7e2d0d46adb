"""Joins what was read with the season: pure values in, a season out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from planner.domain.errors import InputError
from planner.domain.protocol import Protocol
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.exchange.merging.merge_faults import reading_faults
from planner.exchange.merging.merge_weather import with_weather
from planner.exchange.reads import AvailabilityRead, Read, RoutesRead, VolunteersRead

_T = TypeVar("_T", Route, Volunteer)


@dataclass(frozen=True, slots=True)
class Tally:
    """Which codes were new, which stand differently than before, and which were there as read."""

    new: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    same: tuple[str, ...] = ()

    def said(self, things: str) -> str:
        """Return the tally in words; nothing is ever removed by reading a file."""
        return f"{things}: {len(self.new)} new, {len(self.changed)} changed, {len(self.same)} as before, none removed."


@dataclass(frozen=True, slots=True)
class Merged:
    """A season with what was read in it."""

    season: Season
    notes: tuple[str, ...]
    routes: Tally = field(default_factory=Tally)
    volunteers: Tally = field(default_factory=Tally)


def merge(season: Season, reads: Sequence[Read]) -> Merged:
    """Return the season with routes, points, volunteers, dates and weather as read; what was not read stays.

    A route's points are replaced as a whole by those read for its code; likewise a volunteer's dates. A table of
    routes and a file of points meet by the route's code, in whichever order they come. For the weather see
    :func:`planner.exchange.merge_weather.with_weather`.

    Raises:
        InputError: with every fault: something read twice, an unknown volunteer on a route or in the dates,
            coordinates that look swapped, a point far from all others. The season then stays as it was.
    """
    faults = reading_faults(season, reads)
    if faults:
        raise InputError(*faults)
    routes = _routes(season, [read for read in reads if isinstance(read, RoutesRead)])
    volunteers = _volunteers(season, reads)
    route_tally = _tally(season.routes, routes)
    volunteer_tally = _tally(season.volunteers, volunteers)
    merged = replace(
        season,
        routes=_joined(season.routes, routes),
        volunteers=_joined(season.volunteers, volunteers),
    )
    notes = [note for read in reads if isinstance(read, RoutesRead) for note in read.notes]
    notes += [route_tally.said("Routes")] if routes else []
    notes += [volunteer_tally.said("Volunteers")] if volunteers else []
    notes += _pointless(routes.values())
    merged, said_of_weather = with_weather(merged, reads)
    return Merged(merged, (*notes, *said_of_weather), route_tally, volunteer_tally)


def _routes(season: Season, reads: Sequence[RoutesRead]) -> dict[str, Route]:
    """Return the routes that the reads touch, by code, as they stand afterwards."""
    before = {route.code: route for route in season.routes}
    after: dict[str, Route] = {}

    def known(code: str) -> Route:
        return after.get(code) or before.get(code) or Route(code, "", ())

    for name in (name for read in reads for name in read.names):
        route = known(name.code)
        after[name.code] = replace(route, name=name.name or route.name, area=name.area or route.area)
    for row in (row for read in reads for row in read.routes):
        route = known(row.code)
        after[row.code] = replace(
            route,
            name=row.name or route.name,
            needs=route.needs if row.needs is None else _spelt(row.needs, season.protocol),
            people=route.people if row.people is None else row.people,
            lead=route.lead if row.lead is None else row.lead,
            area=route.area if row.area is None else row.area,
        )
    for code, points in _points(reads).items():
        after[code] = replace(known(code), points=points)
    return after


def _points(reads: Sequence[RoutesRead]) -> dict[str, tuple[Point, ...]]:
    found: dict[str, list[Point]] = {}
    for row in (row for read in reads for row in read.points):
        found.setdefault(row.route, []).append(Point(row.number, row.place, row.note))
    return {code: tuple(sorted(points, key=lambda point: point.number)) for code, points in found.items()}


def _volunteers(season: Season, reads: Sequence[Read]) -> dict[str, Volunteer]:
    """Return the volunteers that the reads touch, by code, as they stand afterwards."""
    before = {volunteer.code: volunteer for volunteer in season.volunteers}
    after: dict[str, Volunteer] = {}
    for row in (row for read in reads if isinstance(read, VolunteersRead) for row in read.volunteers):
        code = row.volunteer.code
        read = replace(row.volunteer, training=_spelt(row.volunteer.training, season.protocol))
        if code in before:
            kept = {field: getattr(before[code], field) for field in row.silent | {"availability"}}
            read = replace(read, **kept)
        after[code] = read
    lines: dict[str, list[Availability]] = {}
    for line in (row for read in reads if isinstance(read, AvailabilityRead) for row in read.rows):
        lines.setdefault(line.volunteer, []).append(line.line)
    for code, dates_given in lines.items():
        after[code] = replace(after.get(code) or before[code], availability=tuple(dates_given))
    return after


def _spelt(words: frozenset[str], protocol: Protocol) -> frozenset[str]:
    """Spell trainings as the protocol does, whatever capitals it uses, so that the two can be compared."""
    spelling = {word.casefold(): word for word in protocol.people.lead_training}
    return frozenset(spelling.get(word, word) for word in words)


def _joined(before: tuple[_T, ...], after: Mapping[str, _T]) -> tuple[_T, ...]:
    """Put what was read in the place of what has its code, and the rest behind, in the order it was read."""
    stood = [after.get(one.code, one) for one in before]
    old = {one.code for one in before}
    return tuple(stood + [one for code, one in after.items() if code not in old])


def _tally(before: tuple[_T, ...], after: Mapping[str, _T]) -> Tally:
    old = {one.code: one for one in before}
    return Tally(
        new=tuple(code for code in after if code not in old),
        changed=tuple(code for code, one in after.items() if code in old and old[code] != one),
        same=tuple(code for code, one in after.items() if old.get(code) == one),
    )


def _pointless(routes: Iterable[Route]) -> list[str]:
    codes = [route.code for route in routes if not route.points]
    return [f"Still without points: route {', '.join(codes)}. Import a table of points or a GPX file."] if codes else []
