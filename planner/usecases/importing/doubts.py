"""What only shows when a file is held against the season: swapped axes, the UTM zone it must be, other time zones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.season import Season
from planner.exchange import (
    ConditionsRead,
    Doubt,
    FieldRead,
    Offer,
    Origin,
    RoutesRead,
    SourceKind,
    Understanding,
    VolunteersRead,
    is_route_code,
    middle_of,
    swapped_origins,
    unseen_letter,
)
from planner.usecases.importing.reading_sources import SourceRead
from planner.usecases.importing.utm import likely_zones
from planner.usecases.routes.editing import free_route_code
from planner.usecases.season.zones import swapped_by_zone, zone_doubts, zone_of_all

_ROWS_SHOWN = 6
_MAP_FILES = frozenset({SourceKind.GPX, SourceKind.KML, SourceKind.GEOJSON})


def swapped_rows(season: Season, sources: Sequence[SourceRead]) -> frozenset[Origin]:
    """Return the rows of all files whose latitude and longitude look swapped beside all the others."""
    reads = [source.read for source in sources if source.read is not None]
    return swapped_origins(season, [read for read in reads if not isinstance(read, ConditionsRead | FieldRead)])


def crossed_sources(season: Season, sources: Sequence[SourceRead]) -> list[SourceRead]:
    """Return the files that lie near the season's time zone only once their latitude and longitude are swapped.

    A season that has no places yet cannot judge its first files, and the most rows need not be right: the time zone
    was asked for. A file that comes alone, or with none that lies where it should, is left to a doubt.
    """
    if middle_of(season) is not None:
        return []
    placed = [(source, [place for _, _, place in _places(source)]) for source in sources]
    judged = [(source, swapped_by_zone(places, season.zone)) for source, places in placed if places]
    crossed = [source for source, is_crossed in judged if is_crossed and not _is_swapped(source)]
    return crossed if len(crossed) < len(judged) else []


def against_season(
    season: Season, source: SourceRead, swapped: frozenset[Origin], beside: Sequence[SourceRead] = ()
) -> Understanding:
    """Return how a file was understood, with what the season and the files beside it tell of it.

    Args:
        season: as it stands.
        source: the file.
        swapped: rows of all files whose latitude and longitude look swapped.
        beside: the files that come with it and lie where they should.
    """
    beside = [other for other in beside if other is not source]
    named = _places(source)
    own = source.understood
    doubts = [*own.doubts, *_unseen_doubts(source)]
    offers = [*own.offers, *_zone_offers(season, source, beside), *_code_offers(season, source, beside)]
    wrong = [origin.where for origin, _, _ in named if origin in swapped]
    if wrong:
        offers += _swap_offers(source, wrong, len(named))
    elif not _is_swapped(source) and swapped_by_zone([place for _, _, place in named], season.zone):
        doubts.append(Doubt("", f"every place lies far from {season.zone}; are latitude and longitude swapped?"))
        offers.append(Offer("Swap latitude and longitude of the whole file", replace(source.choices, swap=True)))
    else:
        doubts += [
            Doubt(where, what) for where, what in zone_doubts([(what, place) for _, what, place in named], season)
        ]
    doubts += _route_doubts(source)
    zone = zone_of_all([place for _, _, place in named])
    return replace(own, zone=zone, doubts=tuple(doubts), offers=tuple(offers))


def _route_doubts(source: SourceRead) -> Iterator[Doubt]:
    """Say where a route was given for a file in which every point names its own."""
    given, read = source.choices.route, source.read
    if given and isinstance(read, RoutesRead) and read.points and given not in {row.route for row in read.points}:
        yield Doubt("", f"nothing was taken for route {given}: every point in it names its own route")


def _code_offers(season: Season, source: SourceRead, beside: Sequence[SourceRead]) -> Iterator[Offer]:
    """Offer a code for the one route of a map file whose name holds none: the whole name would serve as its code."""
    if source.known is None or source.known.kind not in _MAP_FILES or source.choices.route:
        return
    codes = _route_codes(source)
    known = [route for route in season.routes if is_route_code(route.code)]
    if len(codes) != 1 or is_route_code(codes[0]) or codes[0] in {route.code for route in season.routes}:
        return
    others = dict.fromkeys(code for other in beside for code in _route_codes(other) if is_route_code(code))
    known += [Route(code, "", ()) for code in others if code not in {route.code for route in known}]
    code = free_route_code(replace(season, routes=tuple(known)))
    words = f"Give the route the code {code}, with '{codes[0]}' for its name"
    yield Offer(words, replace(source.choices, route=code))


def _route_codes(source: SourceRead) -> list[str]:
    """Return the codes of the routes in a file, each once."""
    if not isinstance(source.read, RoutesRead):
        return []
    read = source.read
    codes = [row.route for row in read.points], [row.code for row in read.names], [row.code for row in read.routes]
    return list(dict.fromkeys(code for some in codes for code in some))


def _is_swapped(source: SourceRead) -> bool:
    return source.choices.swap or bool(source.choices.swap_at)


def _places(source: SourceRead) -> list[tuple[Origin, str, Place]]:
    """Return the points and homes in a file: where they stand, and what each is called."""
    if isinstance(source.read, RoutesRead):
        return [(row.origin, f"point {row.number} of route {row.route}", row.place) for row in source.read.points]
    if isinstance(source.read, VolunteersRead):
        return [(row.origin, f"home of {row.volunteer.code}", row.volunteer.home) for row in source.read.volunteers]
    return []


def _unseen_doubts(source: SourceRead) -> Iterator[Doubt]:
    """Point out codes that look like others, or like nothing: two that differ in such a letter cannot be told apart."""
    codes: list[str] = []
    if isinstance(source.read, RoutesRead):
        codes = _route_codes(source)
    elif isinstance(source.read, VolunteersRead):
        codes = list(dict.fromkeys(row.volunteer.code for row in source.read.volunteers))
    for code in codes:
        letter = unseen_letter(code)
        if letter:
            yield Doubt("", f"the code {code!r} holds the letter {letter}, which is not seen: write it anew")


def _swap_offers(source: SourceRead, wrong: Sequence[str], rows: int) -> Iterator[Offer]:
    if len(wrong) == rows and not source.choices.swap_at:
        words = "Swap latitude and longitude of the whole file"
        yield Offer(words, replace(source.choices, swap=not source.choices.swap))
    elif not source.choices.swap:
        more = f" and {len(wrong) - _ROWS_SHOWN} more" if len(wrong) > _ROWS_SHOWN else ""
        words = f"Swap latitude and longitude on {', '.join(wrong[:_ROWS_SHOWN])}{more} alone"
        yield Offer(words, replace(source.choices, swap_at=source.choices.swap_at | set(wrong)))


def _zone_offers(season: Season, source: SourceRead, beside: Sequence[SourceRead]) -> Iterator[Offer]:
    """Offer the UTM zones that are likely, where the file needs one and does not say which."""
    if "utm_zone" in source.understood.lacks:
        others = [place for other in beside for _, _, place in _places(other)]
        for zone, why in likely_zones(season, source.understood.metres, others):
            yield Offer(f"Read the metres in UTM zone {zone}, {why}", replace(source.choices, utm_zone=zone))
