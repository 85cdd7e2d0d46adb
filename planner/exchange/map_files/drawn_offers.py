"""What a person could choose to make more of a map file, and what should be looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planner.domain.geo import sphere_metres
from planner.exchange.importers import Choices, ColumnUse, Doubt, Offer, Understanding
from planner.exchange.map_files.drawing import Drawing, Mark, place_of
from planner.exchange.map_files.track_stops import LEAST_STAY_S, RADIUS_M, Stop
from planner.exchange.point_names import proposed_code


@dataclass(frozen=True, slots=True)
class LonePoint:
    """A point that stands alone, with what it says of itself."""

    mark: Mark
    code: str
    """Empty where it does not say."""
    number: int | None


def understanding(
    drawing: Drawing, choices: Choices, lone: Sequence[LonePoint], stops: Sequence[Stop]
) -> Understanding:
    """Return how a map file was understood.

    Args:
        drawing: what the file draws.
        choices: what a person decided already.
        lone: its points that stand alone.
        stops: the stops of its tracks.
    """
    columns = tuple(ColumnUse(name, meaning) for name, meaning in drawing.fields.items())
    offers = (
        *_swap_offer(drawing, choices),
        *_lone_offers(drawing, choices, lone),
        *_stop_offer(drawing, choices, stops),
    )
    doubts = tuple(_stop_doubts(drawing, stops)) if choices.stops else ()
    return Understanding(columns, "decimal degrees", doubts=doubts, offers=offers)


def _swap_offer(drawing: Drawing, choices: Choices) -> Iterator[Offer]:
    """Offer to swap where something is no place as it stands, and everything is one the other way round."""
    marks = [*drawing.marks, *(mark for string in drawing.strings for mark in string.marks)]
    wrong = any(place_of(mark.latitude, mark.longitude) is None for mark in marks)
    if wrong and not choices.swap and all(place_of(mark.longitude, mark.latitude) for mark in marks):
        yield Offer("Swap latitude and longitude of the whole file", replace(choices, swap=True))


def _lone_offers(drawing: Drawing, choices: Choices, lone: Sequence[LonePoint]) -> Iterator[Offer]:
    marks = drawing.words.marks
    numbered = [one for one in lone if not one.code and one.number is not None]
    known = [*(string.name for string in drawing.strings), *dict.fromkeys(one.code for one in lone if one.code)]
    code = choices.route or proposed_code(*known, drawing.path.stem)
    if numbered:
        words = f"Take {_counted(len(numbered), marks)} with a number and no route for points of route {code}"
        yield Offer(words, replace(choices, route=code))
    without = [one for one in lone if one.code and one.number is None]
    if without and not choices.number_by_order:
        words = f"Number the {marks} of route {without[0].code} in the order of the file"
        yield Offer(words, replace(choices, number_by_order=True))
    if lone and not drawing.strings and not any(one.code or one.number is not None for one in lone):
        words = f"Take {_counted(len(lone), marks)} for points of route {code}, numbered in the order of the file"
        yield Offer(words, replace(choices, route=code, number_by_order=True))


def _counted(number: int, things: str) -> str:
    return f"the one {things[:-1]}" if number == 1 else f"the {number} {things}"


def _stop_offer(drawing: Drawing, choices: Choices, stops: Sequence[Stop]) -> Iterator[Offer]:
    if stops and not choices.stops:
        code = choices.route or proposed_code(*(track.name for track in drawing.tracks), drawing.path.stem)
        words = (
            f"Take {_counted(len(stops), 'places')} where the track stays {stay_words()} as the points of route {code},"
            " numbered by the time of arrival"
        )
        yield Offer(words, replace(choices, stops=True, route=code))


def _stop_doubts(drawing: Drawing, stops: Sequence[Stop]) -> Iterator[Doubt]:
    """A stay with which a track begins or ends may be the home or the car park: a person must look."""
    ends = [end for track in drawing.tracks if track.places for end in (track.places[0], track.places[-1])]
    for number, stop in enumerate(stops, start=1):
        if any(sphere_metres(stop.place, end) <= 2 * RADIUS_M for end in ends):
            yield Doubt(f"stop {number}", "the track begins or ends here: it may be a home or a car park, not a point")


def stay_words() -> str:
    """Return what counts as a stop, in words."""
    return f"{LEAST_STAY_S / 60:g} minutes or more within {RADIUS_M:g} m"
