"""The ground of an outing, drawn: roads, the way in counting order, the points with their circles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.domain.itinerary import DayPlan, MapRoad
from planner.domain.outing import StepKind
from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box, Spot
from planner.printing.map_labels import DISC_MM, along, around_disc, disc_spots, is_clear
from planner.printing.projection import Projection, fitted, ground_of, round_length_m
from planner.printing.setting import wrapped
from planner.printing.type_scale import BODY_BOLD, SMALL, SMALL_BOLD

INSET_MM = 9.0
STRIP_MM = 13.0
WAY_MM = 1.2
ARROWS_EVERY_MM, ARROW_STEP_MM = 15.0, 1.0
MOST_NAMES = 12
POLE_MM = 4.0
"""Of the flag at the start, between disc and flag."""
LEAST_AROUND_M = 250.0
GROUND_M = 1300.0
"""Ground above and below the points that is worth its paper: as far as the roads are known."""


@dataclass(frozen=True, slots=True)
class RoadLook:
    """How a class of road is drawn: a width, and a white core or dashes."""

    width: float
    core: float = 0.0
    dashes: tuple[float, ...] = ()


_MAJOR = RoadLook(2.0, core=1.3)
_MIDDLE = RoadLook(1.4, core=0.8)
_MINOR = RoadLook(0.4)
_SMALL = RoadLook(0.22)
_TRACK = RoadLook(0.3, dashes=(1.6, 0.9))
_LOOKS = {
    "motorway": _MAJOR, "trunk": _MAJOR, "primary": _MAJOR, "secondary": _MIDDLE, "tertiary": RoadLook(0.7),
    "unclassified": _MINOR, "residential": _SMALL, "service": _SMALL, "living_street": _SMALL, "track": _TRACK,
    "path": RoadLook(0.25, dashes=(0.6, 0.7)),
}  # fmt: skip


def road_look(kind: str) -> RoadLook:
    """Return how an OpenStreetMap highway class is drawn; link roads as their class, unknown ones as small."""
    return _LOOKS.get(kind.removesuffix("_link"), _SMALL)


@dataclass(frozen=True, slots=True)
class MapPicture:
    """A map laid out in its frame."""

    frame: Box
    projection: Projection
    discs: tuple[Spot, ...]
    start: int
    """Place in ``discs`` of the point where one begins."""
    flag: str
    """What the flag there says."""


def map_height(day: DayPlan, width: float, most: float) -> float:
    """Return the height at which a map of that width shows some ground above and below its points, up to ``most``."""
    ground = ground_of([point.place for point in day.route.points])
    wide, high = ground.wide_m + 2 * LEAST_AROUND_M, ground.high_m + 2 * GROUND_M
    return min(most, (width - 2 * INSET_MM) * high / wide + STRIP_MM + 3.0)


def route_map(day: DayPlan, height: float, radius_m: float | None) -> Block:
    """Return the map of an outing.

    Args:
        day: the outing; its map's roads, way and attribution are drawn.
        height: of the whole block, in millimetres.
        radius_m: of the circle round each point; None draws no circles.
    """

    def paint(canvas: Canvas, box: Box) -> None:
        frame = Box(box.left, box.top, box.width, height - STRIP_MM - 3.0)
        places = [point.place for point in day.route.points]
        around = max(radius_m or 0.0, LEAST_AROUND_M)
        projection = fitted([*places, *day.map.way], around, frame, INSET_MM)
        discs = disc_spots([projection.spot(place) for place in places], frame)
        picture = MapPicture(frame, projection, tuple(discs), _start(day), _flag_words(day))
        with canvas.clipped(frame):
            _paint_roads(canvas, picture, day.map.roads)
            _paint_way(canvas, picture, day)
            _paint_rings(canvas, picture, day, radius_m)
            _paint_names(canvas, picture, day)
            _paint_discs(canvas, picture, day)
        canvas.frame(frame, 0.5)
        _paint_strip(canvas, Box(box.left, frame.bottom + 2.0, box.width, STRIP_MM), projection, day, radius_m)

    return Block(height, paint)


def _lines(roads: Sequence[MapRoad], projection: Projection) -> Iterator[tuple[RoadLook, list[Spot]]]:
    for road in roads:
        yield road_look(road.kind), [projection.spot(place) for place in road.line]


def _paint_roads(canvas: Canvas, picture: MapPicture, roads: Sequence[MapRoad]) -> None:
    lines = sorted(_lines(roads, picture.projection), key=lambda line: line[0].width)
    for look, spots in lines:
        canvas.polyline(spots, look.width, dashes=look.dashes)
    for look, spots in lines:
        if look.core:
            canvas.polyline(spots, look.core, white=True)


def _paint_way(canvas: Canvas, picture: MapPicture, day: DayPlan) -> None:
    spots = [picture.projection.spot(place) for place in day.map.way]
    if len(spots) < 2:
        return
    canvas.polyline(spots, WAY_MM + 1.0, white=True)
    canvas.polyline(spots, WAY_MM)
    since = ARROWS_EVERY_MM
    for spot, angle in along(spots, ARROW_STEP_MM):
        since += ARROW_STEP_MM
        if since >= ARROWS_EVERY_MM and all(math.dist(spot, disc) > DISC_MM + 2.2 for disc in picture.discs):
            _paint_arrow(canvas, spot, angle)
            since = 0.0


def _paint_arrow(canvas: Canvas, spot: Spot, angle: float, size: float = 2.1) -> None:
    corners = [(size, 0.0), (-size, -size * 0.85), (-size * 0.4, 0.0), (-size, size * 0.85)]
    canvas.shape([_turned(spot, angle, corner) for corner in corners], edge=0.1)


def _turned(spot: Spot, angle: float, offset: Spot) -> Spot:
    cosine, sine = math.cos(angle), math.sin(angle)
    return spot[0] + offset[0] * cosine - offset[1] * sine, spot[1] + offset[0] * sine + offset[1] * cosine


def _paint_rings(canvas: Canvas, picture: MapPicture, day: DayPlan, radius_m: float | None) -> None:
    radius = _ring_mm(picture.projection, radius_m)
    if not radius:
        return
    for point in day.route.points:
        canvas.ring(picture.projection.spot(point.place), radius, width=0.25, dashes=(1.2, 0.8))


def _ring_mm(projection: Projection, radius_m: float | None) -> float:
    """Return the circles' radius on the sheet; 0 where the points' discs would hide them."""
    radius = (radius_m or 0.0) * projection.mm_per_m
    return radius if radius > DISC_MM + 0.5 else 0.0


def _paint_names(canvas: Canvas, picture: MapPicture, day: DayPlan) -> None:
    taken = [*(around_disc(disc) for disc in picture.discs), _flag_box(picture)]
    way = [picture.projection.spot(place) for place in day.map.way]
    taken += [Box(spot[0] - 1.2, spot[1] - 1.2, 2.4, 2.4) for spot, _ in along(way, 2.0)]
    longest = sorted(day.map.roads, key=lambda road: -len(road.line))
    named: set[str] = set()
    for road in longest:
        if not road.name or road.name in named or len(named) >= MOST_NAMES:
            continue
        label = _name_box(road, picture, taken)
        if label is not None:
            named.add(road.name)
            taken.append(label)
            canvas.fill(label, white=True)
            canvas.text((label.left + 0.8, label.top + SMALL.ascent), road.name, SMALL)


def _name_box(road: MapRoad, picture: MapPicture, taken: Sequence[Box]) -> Box | None:
    """Return a clear box for a road's name somewhere along it."""
    spots = [picture.projection.spot(place) for place in road.line]
    width = SMALL.width(road.name) + 1.6
    for spot, _ in along(spots, 7.0, 3.5):
        box = Box(spot[0] - width / 2, spot[1] - SMALL.line / 2, width, SMALL.line)
        if is_clear(box, taken, picture.frame.inset(1.0)):
            return box
    return None


def _paint_discs(canvas: Canvas, picture: MapPicture, day: DayPlan) -> None:
    for point, disc in zip(day.route.points, picture.discs, strict=True):
        spot = picture.projection.spot(point.place)
        if disc != spot:
            canvas.line(spot, disc, 0.4)
            canvas.disc(spot, 0.9, white=False)
        canvas.disc(disc, DISC_MM, width=0.6)
        canvas.text((disc[0], disc[1] + BODY_BOLD.cap / 2), str(point.number), BODY_BOLD, align=Align.CENTRE)
        if point.number in day.outing.missed:
            reach = DISC_MM * 1.3
            canvas.line((disc[0] - reach, disc[1] + reach), (disc[0] + reach, disc[1] - reach), 0.6)
    _paint_flag(canvas, picture)


def _start(day: DayPlan) -> int:
    """Return the place in the route of the point where one begins: to count, or on a set-up day to work."""
    counts = day.outing.of_kind(StepKind.COUNT)
    number = counts[0].point if counts else day.outing.steps[0].point
    numbers = [point.number for point in day.route.points]
    return numbers.index(number) if number in numbers else 0


def _flag_words(day: DayPlan) -> str:
    """Return what the flag says: 'COUNTS START' where one arrives elsewhere, for the round before the counts."""
    arrives = next((step.point for step in day.outing.steps if step.kind is not StepKind.DRIVE), None)
    counts = day.outing.of_kind(StepKind.COUNT)
    return "COUNTS START" if counts and counts[0].point != arrives else "START"


def _flag_box(picture: MapPicture) -> Box:
    """Return where the flag flies: beside its pole above or below the disc, on no other disc where that can be."""
    across, down = picture.discs[picture.start]
    width, height = SMALL_BOLD.width(picture.flag) + 3.0, SMALL_BOLD.line
    tops = (down - DISC_MM - POLE_MM - height, down + DISC_MM + POLE_MM)
    boxes = [Box(left, top, width, height) for top in tops for left in (across, across - width)]
    taken = [around_disc(disc) for disc in picture.discs]
    inside = [box for box in boxes if picture.frame.inset(1.0).holds(box)]
    clear = [box for box in inside if is_clear(box, taken, picture.frame)]
    return next(iter([*clear, *inside, *boxes]))


def _paint_flag(canvas: Canvas, picture: MapPicture) -> None:
    box = _flag_box(picture)
    across, down = picture.discs[picture.start]
    above = box.top < down
    foot = down - DISC_MM if above else down + DISC_MM
    canvas.line((across, foot), (across, box.top if above else box.bottom), 0.5)
    canvas.fill(box)
    canvas.text((box.left + 1.5, box.top + SMALL_BOLD.ascent), picture.flag, SMALL_BOLD, white=True)


def _paint_strip(canvas: Canvas, box: Box, projection: Projection, day: DayPlan, radius_m: float | None) -> None:
    baseline = box.top + SMALL.ascent
    _paint_north(canvas, (box.left + 3.0, box.top + 3.4))
    left = _paint_scale_bar(canvas, (box.left + 12.0, baseline), projection) + 8.0
    canvas.line((left, baseline - 1.3), (left + 12.0, baseline - 1.3), WAY_MM)
    _paint_arrow(canvas, (left + 6.5, baseline - 1.3), 0.0, 2.0)
    words = "order of the counts" if day.outing.order else "way along the points"
    canvas.text((left + 14.0, baseline), words, SMALL)
    left += 14.0 + SMALL.width(words) + 8.0
    if radius_m is not None and _ring_mm(projection, radius_m):
        canvas.ring((left + 2.2, baseline - 1.3), 2.2, width=0.25, dashes=(1.2, 0.8))
        canvas.text((left + 6.0, baseline), f"radius {radius_m:.0f} m", SMALL)
    source = day.map.attribution if day.map.roads else "Roads not known: straight lines from point to point."
    canvas.lines((box.left + 12.0, box.top + SMALL.line + 1.0), wrapped(source, SMALL, box.width - 12.0)[:1], SMALL)


def _paint_north(canvas: Canvas, spot: Spot) -> None:
    across, down = spot
    canvas.shape([(across, down - 3.4), (across + 1.8, down + 2.0), (across, down + 0.8), (across - 1.8, down + 2.0)])
    canvas.text((across, down + 3.0 + SMALL_BOLD.ascent), "N", SMALL_BOLD, align=Align.CENTRE)


def _paint_scale_bar(canvas: Canvas, spot: Spot, projection: Projection) -> float:
    """Draw a scale bar that starts at the spot; return its right end, words included."""
    length_m = round_length_m(42.0 / projection.mm_per_m)
    left, baseline = spot
    right = left + length_m * projection.mm_per_m
    canvas.line((left, baseline), (right, baseline), 0.8)
    for at in (left, right):
        canvas.line((at, baseline - 2.2), (at, baseline + 0.4), 0.4)
    words = f"{length_m / 1000:g} km" if length_m >= 1000 else f"{length_m:g} m"
    canvas.text((right + 2.0, baseline), words, SMALL)
    return right + 2.0 + SMALL.width(words)
