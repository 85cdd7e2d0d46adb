"""Makes routes and points of what a map file draws, and says what was taken for what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planner.domain.errors import InputError
from planner.domain.geo import Place
from planner.exchange.importers import Choices, Reading, Understanding
from planner.exchange.letters import LETTERS_WANTED, unkept_letter
from planner.exchange.map_files.drawing import Drawing, Mark, MarkString, judged_place
from planner.exchange.map_files.drawn_offers import LonePoint, stay_words, understanding
from planner.exchange.map_files.given_code import with_given_code
from planner.exchange.map_files.track_stops import Stop, find_stops, has_times
from planner.exchange.point_names import POINT_EXAMPLE, is_code, point_named, route_named
from planner.exchange.reads import Origin, PointRow, RouteName, RoutesRead, Track
from planner.exchange.table_files.route_tables import MOST_POINTS

_NAMES_SHOWN = 6
_MOST_STAYS = 24
_NAME_THE_ROUTE = "Name the route by its code, and its name behind it if you like."


def reading_of(drawing: Drawing, choices: Choices) -> Reading:
    """Return the routes that a map file draws.

    A string of points is a route; its name begins with the code ('R01 Fernhythe Common'). Its points are numbered by
    their names where each has a number, else by their order. A point that stands alone is one of a route where its
    name or its fields say of which, and its number. Lines are no points, but a line that somebody went offers its
    stops.

    Args:
        drawing: what the file draws; its faults are told too.
        choices: what a person decided.
    """
    if choices.swap:
        drawing.tracks = [_swapped(track) for track in drawing.tracks]
    notes = list(drawing.notes)
    points: list[PointRow] = []
    names = list(drawing.names)
    for string in drawing.strings:
        name = _route_name(drawing, string)
        if name is not None:
            names.append(name)
            points += _string_points(drawing, string, name.code, choices, notes)
    lone = [_lone(mark, choices) for mark in drawing.marks]
    taken, left_out = _sorted_out(lone, choices)
    points += _without_repeats(_lone_points(drawing, taken, choices), points)
    if left_out:
        notes.append(_left_out(drawing, left_out))
    stops = find_stops(drawing.tracks)
    if choices.stops:
        points += _stop_points(drawing, stops, choices, names)
        notes.append(_stays(stops))
    points, names = with_given_code(points, names, choices, notes)
    found = bool(points or names or drawing.strings or drawing.marks)
    _judge_tracks(drawing, choices, notes, found=found)
    _judge_letters(drawing, points, names)
    if not points and (left_out or not names) and not len(drawing.faults):
        _nothing(drawing, left_out)
    return _reading(drawing, (tuple(points), tuple(names), tuple(notes)), understanding(drawing, choices, lone, stops))


def routes_or_faults(reading: Reading) -> RoutesRead:
    """Return what was read of a map file; raises InputError with every fault where there are any."""
    if reading.faults or not isinstance(reading.read, RoutesRead):
        raise InputError(*reading.faults)
    return reading.read


def _reading(
    drawing: Drawing,
    rows: tuple[tuple[PointRow, ...], tuple[RouteName, ...], tuple[str, ...]],
    understood: Understanding,
) -> Reading:
    try:
        drawing.faults.raise_any()
    except InputError as error:
        return Reading(None, understood, error.faults)
    points, names, notes = rows
    read = RoutesRead(str(drawing.path), points, names=names, tracks=tuple(drawing.tracks), notes=notes)
    return Reading(read, understood)


def _judge_letters(drawing: Drawing, points: Sequence[PointRow], names: Sequence[RouteName]) -> None:
    """Note texts with letters that cannot be kept, shown or printed."""
    texts = [(row.origin, row.route + row.note) for row in points] + [
        (row.origin, row.code + row.name + row.area) for row in names
    ]
    for origin, text in texts:
        bad = unkept_letter(text)
        if bad:
            drawing.faults.add(origin.where, LETTERS_WANTED, bad, "Write the name or the note anew.")


def _route_name(drawing: Drawing, string: MarkString) -> RouteName | None:
    if not string.name and not string.code:
        drawing.faults.add(string.where, "a name such as 'R01 Fernhythe Common'", "no name", _NAME_THE_ROUTE)
        return None
    code, name = route_named(string.name or string.code, string.code)
    return RouteName(Origin(drawing.faults.source, string.where), code, name)


def _string_points(
    drawing: Drawing, string: MarkString, code: str, choices: Choices, notes: list[str]
) -> Iterator[PointRow]:
    faults = drawing.faults
    if not string.marks:
        faults.add(string.where, drawing.words.string, f"none in {code}", "Add the points or remove the route.")
    marks = _without_shape(string.marks, code, notes)
    named = [point_named(mark.name, code) for mark in marks]
    for mark, said in zip(marks, named, strict=True):
        if said.code is not None and said.code != code:
            todo = "Correct the name or move the point."
            faults.add(mark.where, f"a point of route {code}", repr(mark.name), todo)
    by_name = all(said.number is not None for said in named)
    if not by_name and any(said.number is not None for said in named):
        notes.append(f"Route {code}: not every point has a number in its name; all are numbered by their order.")
    for position, (mark, said) in enumerate(zip(marks, named, strict=True), start=1):
        place = judged_place(mark, drawing.words, faults, swap=choices.swaps(mark.where))
        if place is not None:
            number = said.number if by_name and said.number is not None else position
            note = mark.note or ("" if by_name else said.rest)
            yield PointRow(Origin(faults.source, mark.where), code, number, place, note)


def _without_shape(marks: Sequence[Mark], code: str, notes: list[str]) -> Sequence[Mark]:
    """Leave out points without a name between numbered ones: programs bend a route along the road by them."""
    numbered = [mark for mark in marks if mark.name]
    if len(numbered) == len(marks) or not numbered:
        return marks
    if any(point_named(mark.name, code).number is None for mark in numbered):
        return marks
    without = len(marks) - len(numbered)
    notes.append(f"Route {code}: {without} points without a name were left out; the others are numbered by theirs.")
    return numbered


def _lone(mark: Mark, choices: Choices) -> LonePoint:
    said = point_named(mark.name, mark.code or mark.hint)
    code = mark.code or said.code or (mark.hint if is_code(mark.hint) else "") or choices.route
    number = _number_of(mark.number) or said.number
    # A field that should be a number and is none becomes a fault, unless the name says one.
    return LonePoint(mark, code, 0 if number is None and mark.number else number)


def _number_of(field: str) -> int | None:
    """Return the number that a field of its own says: '3', 'P3', also '1000', which is told to be too large."""
    said = point_named(field)
    return int(field) if field.isdecimal() and len(field) < 9 else said.number if said.code is None else None


def _sorted_out(lone: Sequence[LonePoint], choices: Choices) -> tuple[list[LonePoint], list[LonePoint]]:
    """Part points that are of a route and have a number from the others; by order where that was chosen."""
    if choices.number_by_order:
        incomplete = {one.code for one in lone if not one.number}
        counts: dict[str, int] = {}
        numbered = []
        for one in lone:
            counts[one.code] = counts.get(one.code, 0) + 1
            numbered.append(replace(one, number=counts[one.code]) if one.code in incomplete else one)
        lone = numbered
    taken = [one for one in lone if one.code and one.number is not None]
    return taken, [one for one in lone if not one.code or one.number is None]


def _lone_points(drawing: Drawing, taken: Sequence[LonePoint], choices: Choices) -> Iterator[PointRow]:
    faults = drawing.faults
    for one in taken:
        place = judged_place(one.mark, drawing.words, faults, swap=choices.swaps(one.mark.where))
        number = one.number or 0
        if not 1 <= number <= MOST_POINTS:
            expected = f"the number of a point, from 1 to {MOST_POINTS}"
            faults.add(one.mark.where, expected, repr(one.mark.number), "Correct the number.")
        elif place is not None:
            note = one.mark.note or ("" if point_named(one.mark.name, one.code).number else one.mark.name)
            yield PointRow(Origin(faults.source, one.mark.where), one.code, number, place, note)


def _without_repeats(lone: Iterator[PointRow], points: Sequence[PointRow]) -> list[PointRow]:
    """Leave out points alone that repeat a route's point: many programs write each point both ways."""
    known = {(point.route, point.number, point.place) for point in points}
    return [point for point in lone if (point.route, point.number, point.place) not in known]


def _left_out(drawing: Drawing, left_out: Sequence[LonePoint]) -> str:
    shown = ", ".join(repr(one.mark.name[:60]) for one in left_out[:_NAMES_SHOWN])
    more = f" and {len(left_out) - _NAMES_SHOWN} more" if len(left_out) > _NAMES_SHOWN else ""
    return f"Left out, because their names are not like {POINT_EXAMPLE}: {drawing.words.marks} {shown}{more}."


def _stop_points(
    drawing: Drawing, stops: Sequence[Stop], choices: Choices, names: list[RouteName]
) -> Iterator[PointRow]:
    faults, source = drawing.faults, drawing.faults.source
    if not choices.route:
        faults.add("", "the code of the route whose points the stops are", "none", "Say which route they are of.")
    elif not stops:
        todo = "Save the points as a route or as waypoints, or lay them out along the line."
        faults.add("", f"a track with stays of {stay_words()}", "none", todo)
    else:
        names.append(RouteName(Origin(source, drawing.tracks[0].origin.where), choices.route, ""))
    for number, stop in enumerate(stops, start=1):
        yield PointRow(Origin(source, f"stop {number}"), choices.route, number, stop.place)


def _swapped(track: Track) -> Track:
    """Return a track with latitude and longitude swapped, without the places that are none then."""
    times = track.times or (None,) * len(track.places)
    kept = [(place, time) for place, time in zip(track.places, times, strict=True) if abs(place.longitude) <= 90]
    places = tuple(Place(place.longitude, place.latitude) for place, _ in kept)
    return replace(track, places=places, times=tuple(time for _, time in kept) if track.times else ())


def _stays(stops: Sequence[Stop]) -> str:
    shown = ", ".join(f"{number} ({stop.stayed_s / 60:.0f} min)" for number, stop in enumerate(stops[:_MOST_STAYS], 1))
    more = f" and {len(stops) - _MOST_STAYS} more" if len(stops) > _MOST_STAYS else ""
    return f"Time at each stop: {shown}{more}."


def _judge_tracks(drawing: Drawing, choices: Choices, notes: list[str], *, found: bool) -> None:
    tracks = [track for track in drawing.tracks if track.origin.where not in drawing.of_routes]
    if not tracks or choices.stops:
        return
    where, lines = tracks[0].origin.where, drawing.words.lines
    if found:
        notes.append(
            f"Left out: {len(tracks)} {lines}, the first on {where}; only points are read."
            " Points can be laid out along one."
        )
    else:
        todo = (
            f"{_where_not_what(tracks)}: save the points as a route or as waypoints,"
            " take the stops where some are offered, or lay points out along it."
        )
        plural = lines.replace("(s)", "s")
        drawing.faults.add(where, drawing.words.wanted, f"{plural} alone, which are not read as points", todo)


def _where_not_what(tracks: Sequence[Track]) -> str:
    if any(has_times(track) for track in tracks):
        return "A track says where somebody went, not where the points are"
    return "A line says which way it goes, not where the points are"


def _nothing(drawing: Drawing, left_out: Sequence[LonePoint]) -> None:
    words = drawing.words
    found = "nothing of that kind"
    if left_out:
        found = f"{words.marks} whose names do not say the route and the number, such as {left_out[0].mark.name[:60]!r}"
    drawing.faults.add("", words.wanted, found, words.todo)
