"""Names on the map: codes of routes from far, their titles and the homes' names from near."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from planner.desktop.map.boxes import Boxes
from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Floats, Ground, Ints
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, HOME_PX, Role, Sprites
from planner.desktop.map.things import MapHome

ABOVE_PX = DISC_PX + 4.0
"""From a route's northernmost point up to the lower edge of its name: clear of all its own discs."""
BELOW_PX = HOME_PX + 3.0
NEW_A_FRAME = 25


@dataclass(frozen=True, eq=False)
class Labels:
    """All names, the weightiest first: codes, then homes, then titles; and where each hangs."""

    texts: tuple[str, ...]
    boxes: Boxes
    titles: Ints
    """For each route's code, the place of its title among the names; -1 for homes and titles themselves."""

    @property
    def routes(self) -> Ints:
        """Place of each name's route; negative for homes."""
        return self.boxes.owners

    def spots(self, sight: Sight) -> tuple[Floats, Floats]:
        """Return the middle of each name in the window, pixels."""
        x, y = sight.camera.spots(self.boxes.east, self.boxes.south)
        return x + self.boxes.aside, y + self.boxes.below


@dataclass(frozen=True, slots=True)
class _Hung:
    text: str
    east: float
    south: float
    owner: int
    above: bool


def labels_of(sheet: RouteSheet, homes: Sequence[MapHome], ground: Ground, sprites: Sprites) -> Labels:
    """Return the names of routes and homes, measured in the window's font."""
    filled = [place for place in range(len(sheet.routes)) if sheet.starts[place + 1] > sheet.starts[place]]
    tops = [sheet.top_row(place) for place in filled]
    anchors = [(float(sheet.east[row]), float(sheet.south[row])) for row in tops]
    codes = [_Hung(sheet.routes[p].code, *anchor, p, above=True) for p, anchor in zip(filled, anchors, strict=True)]
    titles = [_Hung(sheet.routes[p].title, *anchor, p, above=True) for p, anchor in zip(filled, anchors, strict=True)]
    named = [_Hung(home.name, *ground.spot(home.place), -1 - i, above=False) for i, home in enumerate(homes)]
    hung = [*codes, *named, *titles]
    sizes = np.array([sprites.label_size(one.text) for one in hung], dtype=np.float64).reshape(-1, 2) / 2
    signs = np.array([-1.0 if one.above else 1.0 for one in hung])
    clearances = np.array([ABOVE_PX if one.above else BELOW_PX for one in hung])
    title_places = np.full(len(hung), -1, dtype=np.int64)
    title_places[: len(codes)] = np.arange(len(codes)) + len(codes) + len(named)
    boxes = Boxes(
        np.array([one.east for one in hung], dtype=np.float64),
        np.array([one.south for one in hung], dtype=np.float64),
        np.zeros(len(hung)),
        signs * (clearances + sizes[:, 1]),
        sizes[:, 0],
        sizes[:, 1],
        np.array([one.owner for one in hung], dtype=np.int64),
    )
    return Labels(tuple(one.text for one in hung), boxes, title_places)


class LabelLayer:
    """The names that have room at this size; the selected route's always."""

    def __init__(self, labels: Labels, shown_from: Floats, sheet: RouteSheet) -> None:
        self.labels = labels
        self.shown_from = shown_from
        self.sheet = sheet

    def shown(self, sight: Sight) -> dict[int, QRectF]:
        """Return the names to paint and the boxes they fill, pixels of the window."""
        scale = sight.camera.scale
        there = self.shown_from <= scale
        titled = (self.labels.titles >= 0) & there[self.labels.titles]
        there &= ~titled
        x, y = self.labels.spots(sight)
        boxes = self.labels.boxes
        there &= (x + boxes.half_width > 0) & (x - boxes.half_width < sight.camera.width)
        there &= (y + boxes.half_height > 0) & (y - boxes.half_height < sight.camera.height)
        boxed = {place: self._box(place, x, y) for place in np.flatnonzero(there).tolist()}
        found = {
            place: box for place, box in boxed.items() if not any(box.intersects(free) for free in sight.kept_free)
        }
        chosen = self.chosen(sight)
        if chosen is None:
            return found
        on_top = self._box(chosen, x, y)
        kept = {place: box for place, box in found.items() if not box.intersects(on_top)}
        return {**kept, chosen: on_top}

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint all but the selected route's; while the map moves, only so many in a frame that are new."""
        chosen, new = self.chosen(sight), 0
        for place, box in self.shown(sight).items():
            text = self.labels.texts[place]
            role = Role.HOME if self.labels.routes[place] < 0 else Role.USUAL
            new += not sprites.has_label(text, role)
            is_due = sight.at_rest or new <= NEW_A_FRAME or sprites.has_label(text, role)
            if place != chosen and is_due:
                painter.drawPixmap(QPointF(round(box.left()), round(box.top())), sprites.label(text, role))

    def chosen(self, sight: Sight) -> int | None:
        """Return the name of the selected route: in full where that has room, else its code."""
        route = self.sheet.route_place(sight.route)
        codes = np.flatnonzero((self.labels.routes == route) & (self.labels.titles >= 0))
        if route is None or not len(codes):
            return None
        code = int(codes[0])
        title = int(self.labels.titles[code])
        return title if self.shown_from[title] <= sight.camera.scale else code

    def _box(self, place: int, x: Floats, y: Floats) -> QRectF:
        wide, high = float(self.labels.boxes.half_width[place]), float(self.labels.boxes.half_height[place])
        return QRectF(float(x[place]) - wide, float(y[place]) - high, 2 * wide, 2 * high)


class ChosenNameLayer:
    """The selected route's name, on top of everything."""

    def __init__(self, names: LabelLayer) -> None:
        self.names = names

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint it."""
        chosen = self.names.chosen(sight)
        if chosen is not None:
            box = self.names.shown(sight)[chosen]
            picture = sprites.label(self.names.labels.texts[chosen], Role.CHOSEN_ROUTE)
            painter.drawPixmap(QPointF(round(box.left()), round(box.top())), picture)
