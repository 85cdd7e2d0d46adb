"""Roads as they are drawn in the page: clipped to the frame, without corners that nobody sees, few enough to carry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

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


def drawn_line(places: Sequence[Place], projection: Projection, frame: Box) -> tuple[Line, ...]:
    """Return the parts of a line that lie in the frame, with the corners that can be seen."""
    if len(places) < 2:
        return ()
    line = shapely.linestrings([projection.spot(place) for place in places])
    inside = shapely.clip_by_rect(line, frame.left, frame.top, frame.right, frame.bottom)
    parts = shapely.get_parts(shapely.simplify(inside, TOLERANCE))
    lines = [tuple((x, y) for x, y in shapely.get_coordinates(part).tolist()) for part in parts]
    return tuple(line for line in lines if len(line) > 1)


def drawn_roads(
    roads: Sequence[MapRoad], way: Sequence[Place], projection: Projection, frame: Box
) -> Mapping[int, tuple[Line, ...]]:
    """Return the lines of each rank of roads; where there are too many, those that matter least are missing."""
    lines = [(road_rank(road.kind), line) for road in roads for line in drawn_line(road.line, projection, frame)]
    if sum(len(line) for _, line in lines) > MOST_CORNERS:
        lines = list(_nearest(lines, [projection.spot(place) for place in way]))
    return {rank: tuple(line for one, line in lines if one == rank) for rank in (2, 1, 0)}


def _nearest(lines: Sequence[tuple[int, Line]], way: Sequence[Spot]) -> Iterator[tuple[int, Line]]:
    ground = shapely.multipoints(list(way))
    far_off = [float(shapely.distance(shapely.linestrings(line), ground)) for _, line in lines]
    left = MOST_CORNERS
    for number in sorted(range(len(lines)), key=lambda at: (lines[at][0], far_off[at])):
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
