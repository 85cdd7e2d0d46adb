"""The map of an outing as SVG inside the page; its unit is a hundredth of its width."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from xml.etree.ElementTree import Element

from planner.domain.itinerary import DayPlan
from planner.domain.outing import StepKind
from planner.printing.geometry import Box, Spot
from planner.printing.map_labels import DISC_MM, along, around_disc, disc_spots, is_clear
from planner.printing.phone.map_lines import Line, drawn_line, drawn_roads, parking_place
from planner.printing.phone.markup import put
from planner.printing.projection import Projection, fitted, ground_of, round_length_m

WIDE = 100.0
HIGH = (62.0, 130.0)
"""Least and most height."""
INSET = 7.0
AROUND_M = 250.0
ROAD_NAMES, MOST_TRIED = 8, 200
"""Names that are set at most, and roads for which a place is looked for."""
LETTER = 0.62
"""Width of a letter as a share of its size, on the wide side: what room a name is given."""
NAME_SIZE, MARK_SIZE = 3.4, 4.0
ARROWS_EVERY = 12.0


@dataclass(frozen=True, slots=True)
class Chart:
    """A map laid out."""

    day: DayPlan
    frame: Box
    projection: Projection
    discs: tuple[Spot, ...]
    way: tuple[Line, ...]


def add_map(parent: Element, day: DayPlan, name: str, radius_m: float | None) -> None:
    """Add the map of an outing, and under it the scale and where the roads are from.

    Args:
        parent: what it is added to.
        day: the outing.
        name: by which its title can be told from those of other maps.
        radius_m: of the circle round each point; None draws none.
    """
    chart = _laid_out(day, radius_m or 0.0)
    figure = put(parent, "figure")
    box = f"0 0 {_figure(chart.frame.width)} {_figure(chart.frame.height)}"
    svg = put(figure, "svg", viewBox=box, role="img", aria_labelledby=f"{name}-map")
    put(svg, "title", _described(day), id=f"{name}-map")
    for rank, lines in drawn_roads(day.map.roads, day.map.way, chart.projection, chart.frame).items():
        if lines:
            put(svg, "path", class_=f"road{rank}", d="".join(map(_path, lines)))
    _add_way(svg, chart)
    _add_rings(svg, chart, radius_m)
    _add_points(svg, chart)
    _add_labels(svg, chart)
    _add_caption(figure, chart)


def _laid_out(day: DayPlan, radius_m: float) -> Chart:
    places = [*(point.place for point in day.route.points), *day.map.way]
    around = max(radius_m, AROUND_M)
    ground = ground_of(places)
    high = (WIDE - 2 * INSET) * (ground.high_m + 2 * around) / (ground.wide_m + 2 * around) + 2 * INSET
    frame = Box(0.0, 0.0, WIDE, min(max(high, HIGH[0]), HIGH[1]))
    projection = fitted(places, around, frame, INSET)
    discs = disc_spots([projection.spot(point.place) for point in day.route.points], frame)
    return Chart(day, frame, projection, tuple(discs), drawn_line(day.map.way, projection, frame))


def _described(day: DayPlan) -> str:
    numbers = day.outing.order or tuple(point.number for point in day.route.points)
    order = "in the order of the counts" if day.outing.order else "of the route"
    return f"Map of {day.route.title}, north at the top. Points {order}: {', '.join(map(str, numbers))}."


def _figure(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _path(line: Line) -> str:
    """Return a line as SVG path data, each corner told from the one before: shorter."""
    tenths = [(round(across * 10), round(down * 10)) for across, down in line]
    steps = "".join(
        f"l{_figure((there[0] - here[0]) / 10)} {_figure((there[1] - here[1]) / 10)}"
        for here, there in pairwise(tenths)
    )
    return f"M{_figure(tenths[0][0] / 10)} {_figure(tenths[0][1] / 10)}{steps}"


def _add_way(svg: Element, chart: Chart) -> None:
    if not chart.way:
        return
    put(svg, "path", class_="halo", d="".join(map(_path, chart.way)))
    put(svg, "path", class_="way", d="".join(map(_path, chart.way)))
    heads = "".join(_arrow(spot, angle) for spot, angle in _arrows(chart))
    if heads:
        put(svg, "path", class_="arrow", d=heads)


def _arrows(chart: Chart) -> Iterator[tuple[Spot, float]]:
    for line in chart.way:
        since = ARROWS_EVERY / 2
        for spot, angle in along(line, 1.0):
            since += 1.0
            if since >= ARROWS_EVERY and all(math.dist(spot, disc) > DISC_MM + 2.0 for disc in chart.discs):
                since = 0.0
                yield spot, angle


def _arrow(spot: Spot, angle: float, size: float = 2.2) -> str:
    cosine, sine = math.cos(angle), math.sin(angle)
    corners = [
        (spot[0] + x * cosine - y * sine, spot[1] + x * sine + y * cosine)
        for x, y in ((size, 0.0), (-size, -size * 0.85), (-size, size * 0.85))
    ]
    return _path(tuple(corners)) + "z"


def _add_rings(svg: Element, chart: Chart, radius_m: float | None) -> None:
    radius = (radius_m or 0.0) * chart.projection.mm_per_m
    if radius <= DISC_MM + 0.5:
        return
    for point in chart.day.route.points:
        _add_circle(svg, chart.projection.spot(point.place), radius, "ring")


def _add_circle(svg: Element, spot: Spot, radius: float, look: str) -> None:
    put(svg, "circle", class_=look, cx=_figure(spot[0]), cy=_figure(spot[1]), r=_figure(radius))


def _add_text(svg: Element, spot: Spot, words: str, look: str) -> None:
    put(svg, "text", words, class_=look, x=_figure(spot[0]), y=_figure(spot[1]))


def _add_points(svg: Element, chart: Chart) -> None:
    for point, disc in zip(chart.day.route.points, chart.discs, strict=True):
        spot = chart.projection.spot(point.place)
        if disc != spot:
            put(svg, "path", class_="lead", d=_path((spot, disc)))
            _add_circle(svg, spot, 0.9, "spot")
        _add_circle(svg, disc, DISC_MM, "disc")
        _add_text(svg, disc, str(point.number), "number")
        if point.number in chart.day.outing.missed:
            reach = DISC_MM * 1.2
            cross = ((disc[0] - reach, disc[1] + reach), (disc[0] + reach, disc[1] - reach))
            put(svg, "path", class_="cross", d=_path(cross))


def _add_labels(svg: Element, chart: Chart) -> None:
    """Add marks first, then names of roads where there is room."""
    taken = [around_disc(disc) for disc in chart.discs]
    for mark in _marks(chart):
        if not mark.room:
            _add_circle(svg, mark.spot, 0.9, "spot")
        box = _clear_box(_beside(mark.spot, mark.words, MARK_SIZE), chart.frame, taken)
        if box is not None:
            taken.append(box)
            _add_leader(svg, mark, box)
            _add_text(svg, box.centre, mark.words, "mark")
    taken += [Box(spot[0] - 1.5, spot[1] - 1.5, 3.0, 3.0) for line in chart.way for spot, _ in along(line, 2.0)]
    for words, box in _road_names(chart, taken):
        taken.append(box)
        _add_text(svg, box.centre, words, "name")


@dataclass(frozen=True, slots=True)
class Mark:
    """Words that belong to a spot."""

    spot: Spot
    words: str
    room: float = 0.0
    """Radius of what is drawn round the spot already."""


def _marks(chart: Chart) -> Iterator[Mark]:
    """Yield where one begins, and where the car stands for points that are walked to."""
    numbers = [point.number for point in chart.day.route.points]
    counts = chart.day.outing.of_kind(StepKind.COUNT)
    first = counts[0].point if counts else chart.day.outing.steps[0].point
    if first in numbers:
        yield Mark(chart.discs[numbers.index(first)], "COUNTS START" if counts else "START", DISC_MM)
    for walk in chart.day.walks:
        place = chart.day.route.point(walk.point).place
        spot = parking_place(walk, place, chart.day.map.roads, chart.projection)
        if spot is not None:
            yield Mark(spot, f"PARK FOR {walk.point}")


def _add_leader(svg: Element, mark: Mark, box: Box) -> None:
    """Join words and spot, so that nobody takes them for those of a neighbour."""
    end = min(max(mark.spot[0], box.left), box.right), min(max(mark.spot[1], box.top), box.bottom)
    far = math.dist(mark.spot, end)
    if far > mark.room + 0.5:
        share = mark.room / far
        start = tuple(here + (there - here) * share for here, there in zip(mark.spot, end, strict=True))
        put(svg, "path", class_="lead", d=_path(((start[0], start[1]), end)))


def _beside(spot: Spot, words: str, size: float) -> Iterator[Box]:
    width, height = len(words) * size * LETTER, size * 1.2
    for far in (DISC_MM + 1.2, DISC_MM + 4.5, DISC_MM + 8.0):
        for top in (spot[1] - far - height, spot[1] + far, spot[1] - height / 2):
            for left in (spot[0] - width / 2, spot[0] + far, spot[0] - far - width):
                if top != spot[1] - height / 2 or left != spot[0] - width / 2:
                    yield Box(left, top, width, height)


def _clear_box(boxes: Iterator[Box], frame: Box, taken: Sequence[Box]) -> Box | None:
    return next((box for box in boxes if is_clear(box, taken, frame.inset(1.0))), None)


def _road_names(chart: Chart, taken: Sequence[Box]) -> Iterator[tuple[str, Box]]:
    """Yield names of the longest roads, each once, where they lie on nothing else."""
    placed = list(taken)
    longest = sorted(chart.day.map.roads, key=lambda road: -len(road.line))[:MOST_TRIED]
    named: set[str] = set()
    for road in longest:
        if not road.name or road.name in named or len(named) >= ROAD_NAMES:
            continue
        width, height = len(road.name) * NAME_SIZE * LETTER, NAME_SIZE * 1.2
        spots = [spot for line in drawn_line(road.line, chart.projection, chart.frame) for spot, _ in along(line, 5.0)]
        boxes = (Box(spot[0] - width / 2, spot[1] - height / 2, width, height) for spot in spots)
        box = _clear_box(boxes, chart.frame, placed)
        if box is not None:
            named.add(road.name)
            placed.append(box)
            yield road.name, box


def _add_caption(figure: Element, chart: Chart) -> None:
    caption = put(figure, "figcaption")
    length_m = round_length_m(40.0 / chart.projection.mm_per_m)
    width = length_m * chart.projection.mm_per_m
    words = f"{length_m / 1000:g} km" if length_m >= 1000 else f"{length_m:g} m"
    bar = put(
        caption, "svg", viewBox=f"0 0 {_figure(WIDE)} 6", class_="scale", role="img", aria_label=f"Scale: {words}"
    )
    put(bar, "path", class_="way", d=f"M.6 2v3h{_figure(width)}v-3")
    put(bar, "text", words, class_="length", x=_figure(width + 3.0), y="4")
    order = "the order of the counts" if chart.day.outing.order else "the way along the points"
    arrows = f" Arrows: {order}." if any(True for _ in _arrows(chart)) else ""
    put(caption, "span", f"North is at the top.{arrows}")
    roads = chart.day.map.attribution if chart.day.map.roads else "Roads not known: straight lines from point to point."
    put(caption, "span", roads)
    put(caption, "span", _where_to_park(chart.day))


def _where_to_park(day: DayPlan) -> str:
    on_foot = [str(walk.point) for walk in day.walks]
    if not on_foot:
        return "Park at the points themselves, fully off the road."
    return f"Park at the points themselves, fully off the road; for {', '.join(on_foot)} on the road, then walk."
