"""A proposal over the map: its line, its numbered stops, the stretches left out with the reason, and the pins."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import Sight, draw_lines
from planner.desktop.map.ground import Ground
from planner.desktop.map.layers import MARK_ASIDE_PX, Lines
from planner.desktop.map.pointing import LINE_REACH_PX, nearest_spot, pieces_away
from planner.desktop.map.route_layer import CIRCLE_FROM_PX, PAINTED_ONCE_PX
from planner.desktop.map.sprites import DISC_PX, MARK_PX, PIN_PX, Role, Sprites, paint_circle, set_down
from planner.desktop.map.things import MapProposal, pin_name
from planner.domain.finding import Severity

LINE_PX, BARRED_PX, BED_PX = 4.0, 5.0, 3.0
EDGE_PX = 4.0
_DASHES = [1.4, 1.0]
"""Of a stretch that is left out, in widths of its line: seen without its colour."""


class ProposalLayer:
    """Points that are proposed and not there yet."""

    def __init__(self, proposal: MapProposal, ground: Ground) -> None:
        self.proposal = proposal
        self._ground = ground
        self._line = Lines.of([proposal.line], ground)
        self._roads = Lines.of(proposal.roads, ground)
        self._barred = Lines.of([one.line for one in proposal.barred], ground)
        self._middles = [ground.spot(one.line[len(one.line) // 2]) for one in proposal.barred]
        self._stops = ground.spots([stop.place for stop in proposal.stops])
        self._pins = ground.spots([*proposal.pins])

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint the line first, then the pins, and the stops over them, so that their numbers are read."""
        self._paint_circles(painter, sight, sprites)
        self._paint_lines(painter, sight)
        for number, spot in enumerate(self._pin_spots(sight.camera)):
            set_down(painter, sprites.pin(pin_name(number)), spot)
        x, y = sight.camera.spots(*self._stops)
        for stop, left, top in zip(self.proposal.stops, x.tolist(), y.tolist(), strict=True):
            set_down(painter, sprites.disc(stop.number, Role.PROPOSED), QPointF(left, top))
        self._paint_reasons(painter, sight, sprites)

    def words_at(self, camera: Camera, spot: QPointF) -> str:
        """Return what lies under a spot of the window, in words; empty where nothing of the proposal does."""
        stop = nearest_spot(*camera.spots(*self._stops), spot)
        if stop is not None:
            return self.proposal.stops[stop].words
        for barred, line in zip(self.proposal.barred, self._pieces(self._barred), strict=True):
            x, y = camera.spots(self._barred.east[line], self._barred.south[line])
            if pieces_away(x[:-1], y[:-1], x[1:], y[1:], spot).min(initial=np.inf) <= LINE_REACH_PX:
                words = QCoreApplication.translate("Map", "No point may stand here: {}")
                return words.format(barred.words)
        return ""

    @property
    def words(self) -> str:
        """The proposal in a sentence, for those who do not see it."""
        words = QCoreApplication.translate("Map", "Proposed points: {}; stretches left out: {}; places chosen: {}.")
        return words.format(len(self.proposal.stops), len(self.proposal.barred), len(self.proposal.pins))

    def _paint_lines(self, painter: QPainter, sight: Sight) -> None:
        joins = (Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
        colours = sight.colours
        bed = QPen(QColor(colours.surface), LINE_PX + BED_PX, Qt.PenStyle.SolidLine, *joins)
        good = QPen(QColor(colours.good), LINE_PX, Qt.PenStyle.SolidLine, *joins)
        wide_bed = QPen(QColor(colours.surface), BARRED_PX + BED_PX, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
        dashes = QPen(QColor(colours.trouble), BARRED_PX, Qt.PenStyle.CustomDashLine, Qt.PenCapStyle.FlatCap)
        dashes.setDashPattern(_DASHES)
        named = QPen(QColor(colours.accent), LINE_PX, Qt.PenStyle.SolidLine, *joins)
        for lines, pens in ((self._roads, (bed, named)), (self._line, (bed, good)), (self._barred, (wide_bed, dashes))):
            x, y = sight.camera.spots(lines.east, lines.south)
            for pen in pens:
                draw_lines(painter, pen, x, y, lines.counts, sight.ratio)

    def _paint_circles(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        radius_m = self.proposal.radius_m
        if radius_m is None or not self.proposal.stops:
            return
        stretch = self._ground.stretch(self._ground.latitude(self._stops[1]))
        across, along = (radius_m * sight.camera.scale * axis for axis in stretch)
        if across.max() < CIRCLE_FROM_PX:
            return
        x, y = sight.camera.spots(*self._stops)
        for left, top, wide, high in zip(x.tolist(), y.tolist(), across.tolist(), along.tolist(), strict=True):
            if wide <= PAINTED_ONCE_PX:
                set_down(painter, sprites.circle(wide, high), QPointF(left, top))
            else:
                paint_circle(painter, QPointF(left, top), wide, high, sight.colours)

    def _paint_reasons(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint a mark in the middle of each stretch that is left out, and the reason beside it where it has room."""
        taken = list(self._taken(sight))
        for barred, middle in zip(self.proposal.barred, self._middles, strict=True):
            if not sight.frame.contains(sight.camera.spot(*middle)):
                continue
            spot = _aside(sight.camera.spot(*middle))
            set_down(painter, sprites.mark(Severity.TROUBLE), spot)
            wide, high = sprites.label_size(barred.words)
            across = min(max(spot.x(), wide / 2 + EDGE_PX), sight.camera.width - wide / 2 - EDGE_PX)
            for below in (-1, 1):
                centre = QPointF(across, spot.y() + below * (MARK_PX / 2 + high / 2 + 4.0))
                box = QRectF(centre.x() - wide / 2, centre.y() - high / 2, wide, high)
                if not any(box.intersects(other) for other in taken):
                    taken.append(box)
                    set_down(painter, sprites.label(barred.words, Role.USUAL), centre)
                    break

    def _taken(self, sight: Sight) -> Iterator[QRectF]:
        """Yield where no reason may be written."""
        yield from sight.kept_free
        for x, y in zip(*(axis.tolist() for axis in sight.camera.spots(*self._stops)), strict=True):
            yield QRectF(x - DISC_PX, y - DISC_PX, 2 * DISC_PX, 2 * DISC_PX)
        for spot in self._pin_spots(sight.camera):
            yield QRectF(spot.x() - PIN_PX, spot.y() - 3 * PIN_PX, 2 * PIN_PX, 3 * PIN_PX)
        for middle in self._middles:
            spot = _aside(sight.camera.spot(*middle))
            yield QRectF(spot.x() - MARK_PX / 2, spot.y() - MARK_PX / 2, MARK_PX, MARK_PX)

    def _pin_spots(self, camera: Camera) -> list[QPointF]:
        x, y = camera.spots(*self._pins)
        return [QPointF(left, top) for left, top in zip(x.tolist(), y.tolist(), strict=True)]

    @staticmethod
    def _pieces(lines: Lines) -> list[slice]:
        ends = np.cumsum(lines.counts).tolist()
        return [slice(start, end) for start, end in zip([0, *ends[:-1]], ends, strict=True)]


def _aside(spot: QPointF) -> QPointF:
    """Return where a stretch is marked: beside it, for a stop may stand at its end, and findings lie the other side."""
    return QPointF(spot.x() - MARK_ASIDE_PX, spot.y() - MARK_ASIDE_PX)


class CrossHairLayer:
    """A cross-hair in the middle of the map: the place that Enter picks."""

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint it, open in its middle so that the place is seen."""
        middle = sight.frame.center()
        for colour, width in ((sight.colours.surface, 4.5), (sight.colours.focus, 2.0)):
            painter.setPen(QPen(QColor(colour), width))
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                painter.drawLine(middle + QPointF(5.0 * dx, 5.0 * dy), middle + QPointF(16.0 * dx, 16.0 * dy))
