"""Roads as they are drawn in the page: clipped to the frame, without corners that nobody sees, few enough to carry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from planner.domain.geo import Place
from planner.domain.itinerary import MapRoad, Walk
from planner.printing.geometry import Box, Spot
from planner.printing.projection import Projection

TOLERANCE = 0.12
"""Corners that lie no farther off than this share of the frame's width, in percent, are left out: half a pixel."""
MOST_CORNERS = 4000
"""Of all roads of one map; beyond, the smallest and those that are farthest from the way are left out. About 35 kB."""
BROAD = ("motorway", "trunk", "primary", "secondary")
MIDDLE = ("tertiary", "unclassified")
ON_FOOT = ("path", "footway", "steps", "bridleway", "cycleway", "pedestrian")
AGREES_M = 5.0
"""A parking place is drawn where it is so near the length that the walk is said to have: else nothing is."""

Line = tuple[Spot, ...]


def road_rank(kind: str) -> int:
    """Return 0 for broad roads, 1 for middling ones, 2 for small ones (OpenStreetMap highway classes)."""
    plain = kind.removesuffix("_link")
    return 0 if plain in BROAD else 1 if plain in MIDDLE else 2


def drawn_lines(lines: Sequence[Sequence[Place]], projection: Projection, frame: Box) -> tuple[tuple[int, Line], ...]:
    """Return the parts of lines that lie in the frame, each with its line's number, with the corners that are seen."""
    numbers = [number for number, line in enumerate(lines) if len(line) > 1]
    if not numbers:
        return ()
    corners = [projection.spot(place) for number in numbers for place in lines[number]]
    owners = np.repeat(np.arange(len(numbers)), [len(lines[number]) for number in numbers])
    whole = shapely.linestrings(np.array(corners), indices=owners)
    inside = shapely.clip_by_rect(whole, frame.left, frame.top, frame.right, frame.bottom)
    parts, of = shapely.get_parts(shapely.simplify(inside, TOLERANCE), return_index=True)
    drawn = (tuple((x, y) for x, y in shapely.get_coordinates(part).tolist()) for part in parts)
    return tuple((numbers[at], line) for at, line in zip(of.tolist(), drawn, strict=True) if len(line) > 1)


def drawn_line(places: Sequence[Place], projection: Projection, frame: Box) -> tuple[Line, ...]:
    """Return the parts of one line that lie in the frame."""
    return tuple(line for _, line in drawn_lines([places], projection, frame))


def drawn_roads(
    roads: Sequence[MapRoad], way: Sequence[Place], projection: Projection, frame: Box
) -> Mapping[int, tuple[Line, ...]]:
    """Return the lines of each rank of roads; where there are too many, those that matter least are missing."""
    drawn = drawn_lines([road.line for road in roads], projection, frame)
    lines = [(road_rank(roads[number].kind), line) for number, line in drawn]
    if sum(len(line) for _, line in lines) > MOST_CORNERS:
        lines = list(_nearest(lines, [projection.spot(place) for place in way]))
    return {rank: tuple(line for one, line in lines if one == rank) for rank in (2, 1, 0)}


def _nearest(lines: Sequence[tuple[int, Line]], way: Sequence[Spot]) -> Iterator[tuple[int, Line]]:
    owners = np.repeat(np.arange(len(lines)), [len(line) for _, line in lines])
    drawn = shapely.linestrings(np.array([spot for _, line in lines for spot in line]), indices=owners)
    far_off = np.atleast_1d(shapely.distance(drawn, shapely.multipoints(list(way))))
    left = MOST_CORNERS
    for number in sorted(range(len(lines)), key=lambda at: (lines[at][0], float(far_off[at]))):
        left -= len(lines[number][1])
        if left < 0:
            return
        yield lines[number]


def parking_place(walk: Walk, point: Place, roads: Sequence[MapRoad], projection: Projection) -> Spot | None:
    """Return where the car stands for a point that is walked to: the nearest spot of a road.

    None where no road of the map is as far from the point as the walk is said to be long.
    """
    driven = (road.line for road in roads if road.kind not in ON_FOOT and len(road.line) > 1)
    lines = [[projection.spot(place) for place in line] for line in driven]
    if not lines:
        return None
    ground = shapely.multilinestrings([shapely.linestrings(line) for line in lines])
    spot = projection.spot(point)
    near = shapely.shortest_line(shapely.points(spot), ground)
    if abs(float(shapely.length(near)) / projection.mm_per_m - walk.metres) > AGREES_M:
        return None
    across, down = shapely.get_coordinates(near)[-1].tolist()
    return across, down
