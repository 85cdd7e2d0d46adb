"""What lies under a spot of the window."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF

from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import corners_of
from planner.desktop.map.ground import Flags, Floats
from planner.desktop.map.layers import HomeLayer, TieLayer
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.route_sheet import RouteSheet

POINT_REACH_PX = 12.0
LINE_REACH_PX = 6.0


@dataclass(frozen=True, slots=True)
class Hit:
    """A point, a route's line or a home under the mouse."""

    route: str = ""
    point: int | None = None
    home: str = ""


def hit_point(sheet: RouteSheet, shown: Flags, camera: Camera, spot: QPointF) -> Hit | None:
    """Return the point nearest to a spot, if it is near, of those that are shown."""
    rows = np.flatnonzero(shown)
    nearest = nearest_spot(*camera.spots(sheet.east[rows], sheet.south[rows]), spot)
    if nearest is None:
        return None
    row = int(rows[nearest])
    return Hit(route=sheet.code(row), point=int(sheet.numbers[row]))


def hit_home(homes: HomeLayer, camera: Camera, spot: QPointF) -> Hit | None:
    """Return the home nearest to a spot, if it is near."""
    row = nearest_spot(*camera.spots(homes.east, homes.south), spot)
    return None if row is None else Hit(home=homes.homes[row].code)


def hit_route(sheet: RouteSheet, camera: Camera, spot: QPointF) -> Hit | None:
    """Return the route whose line passes nearest to a spot, if it is near."""
    same = np.flatnonzero(sheet.owners[1:] == sheet.owners[:-1])
    if not len(same):
        return None
    x, y = camera.spots(sheet.east, sheet.south)
    away = pieces_away(x[same], y[same], x[same + 1], y[same + 1], spot)
    nearest = int(np.argmin(away))
    return Hit(route=sheet.code(int(same[nearest]))) if away[nearest] <= LINE_REACH_PX else None


def hit_tie(ties: TieLayer, camera: Camera, spot: QPointF) -> str | None:
    """Return the words of the tie nearest to a spot, if it is near."""
    if not ties.ties:
        return None
    x1, y1 = camera.spots(ties.origin_east, ties.origin_south)
    away = pieces_away(x1, y1, *camera.spots(ties.east, ties.south), spot)
    nearest = int(np.argmin(away))
    return ties.ties[nearest].words if away[nearest] <= LINE_REACH_PX else None


def hit_road(roads: RoadSheet, camera: Camera, spot: QPointF) -> tuple[str, str] | None:
    """Return name (may be empty) and highway class of the road shown nearest to a spot, if it is near."""
    east, south = camera.metres(spot)
    reach = LINE_REACH_PX / camera.scale
    detail, lines = roads.near(camera.scale, (east - reach, south - reach, east + reach, south + reach))
    if not len(lines):
        return None
    rows, counts = corners_of(lines, detail.starts)
    owners = np.repeat(lines, counts)
    same = np.flatnonzero(owners[1:] == owners[:-1])
    x, y = camera.spots(detail.east[rows], detail.south[rows])
    away = pieces_away(x[same], y[same], x[same + 1], y[same + 1], spot)
    nearest = int(np.argmin(away))
    if away[nearest] > LINE_REACH_PX:
        return None
    line, source = int(detail.lines[owners[same[nearest]]]), roads.source
    return source.names[int(source.name_numbers[line])], source.kinds[int(source.kind_numbers[line])]


def nearest_spot(x: Floats, y: Floats, spot: QPointF) -> int | None:
    """Return which of some spots is nearest to one, if it is near."""
    if not len(x):
        return None
    away = np.hypot(x - spot.x(), y - spot.y())
    nearest = int(np.argmin(away))
    return nearest if away[nearest] <= POINT_REACH_PX else None


def pieces_away(x1: Floats, y1: Floats, x2: Floats, y2: Floats, spot: QPointF) -> Floats:
    """Return how far a spot is from each of some straight pieces, pixels."""
    dx, dy = x2 - x1, y2 - y1
    long = np.maximum(dx * dx + dy * dy, 1e-12)
    share = np.clip(((spot.x() - x1) * dx + (spot.y() - y1) * dy) / long, 0.0, 1.0)
    return np.hypot(x1 + share * dx - spot.x(), y1 + share * dy - spot.y())
