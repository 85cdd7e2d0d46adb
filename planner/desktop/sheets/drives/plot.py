"""Recorded drives as a picture: expected minutes to the right, recorded ones upwards, a mark for each drive."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QHelpEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.sheets.drives.legend import Sample, legend_height, paint_legend
from planner.desktop.sheets.drives.said import factor_words, leg_words
from planner.desktop.sheets.drives.scale import MinuteScale, bounds
from planner.desktop.sheets.words import tr
from planner.usecases.calibrating import FactorChange, LegKind, RecordedLeg

_LEAST_WIDTH, _LEAST_HEIGHT = 280, 210
_MARK = 3.6
"""Half of a mark, in pixels."""
_RING = 7.0
_REACH = 10.0
"""How near the mouse must come to a drive, in pixels."""
_PAD = 8.0


class DrivesPlot(QWidget):
    """Paints drives and the lines that they are held against; a click chooses one, hovering tells which it is."""

    picked = Signal(int)
    """The place of the drive that was clicked."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._legs: Sequence[RecordedLeg] = ()
        self._season: FactorChange | None = None
        self._chosen: int | None = None
        self._route = ""
        self._laid: tuple[QRectF, Sequence[QPointF]] | None = None
        self.setAccessibleName(tr("Recorded against expected minutes"))
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_legs(self, legs: Sequence[RecordedLeg], season: FactorChange | None) -> None:
        """Show other drives, and the season's figure that they come to."""
        self._legs, self._season, self._chosen, self._laid = legs, season, None, None
        self.setAccessibleDescription(self._description())
        self.update()

    def choose(self, place: int | None) -> None:
        """Ring one of the drives; None: none."""
        self._chosen = place
        self.update()

    def show_route(self, code: str) -> None:
        """Show the drives of one route in front of the others; empty: all alike."""
        self._route = code
        self.update()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.update()

    def place_of(self, leg: int) -> QPointF:
        """Return where the middle of a drive's mark lies."""
        return self._spots()[leg]

    def nearest(self, where: QPointF) -> int | None:
        """Return the drive under the mouse, or near it; None: there is none."""
        away = [math.hypot(spot.x() - where.x(), spot.y() - where.y()) for spot in self._spots()]
        place = min(range(len(away)), key=away.__getitem__, default=None)
        return place if place is not None and away[place] <= _REACH else None

    def sizeHint(self) -> QSize:  # Qt's name
        """Return what it would like to have."""
        return QSize(400, 300)

    def minimumSizeHint(self) -> QSize:  # Qt's name
        """Return what it cannot do without."""
        return QSize(_LEAST_WIDTH, _LEAST_HEIGHT)

    def event(self, event: QEvent) -> bool:  # Qt's name
        """Tell which drive the mouse rests on."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            place = self.nearest(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), "" if place is None else leg_words(self._legs[place]), self)
            return True
        return super().event(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # Qt's name
        """Show by the pointer that a drive can be clicked."""
        there = self.nearest(event.position()) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if there else Qt.CursorShape.ArrowCursor)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # Qt's name
        """Choose the drive that is clicked."""
        place = self.nearest(event.position())
        if place is not None:
            self.picked.emit(place)

    def paintEvent(self, _event: QPaintEvent) -> None:  # Qt's name
        """Paint the field with its scales, the lines, the drives and what they mean."""
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        across, up = self._scales()
        self._paint_field(painter, across, up)
        self._paint_lines(painter, across, up)
        self._paint_legs(painter)
        paint_legend(
            painter, self._samples(), QPointF(self._field().left(), _PAD), self._field().width(), self._colours
        )
        painter.end()

    def _spots(self) -> Sequence[QPointF]:
        """Return where all marks lie; they are looked up at each move of the mouse."""
        field = self._field()
        if self._laid is None or self._laid[0] != field:
            across, up = self._scales()
            spots = [QPointF(across.at(leg.expected_minutes), up.at(leg.driven_minutes)) for leg in self._legs]
            self._laid = field, spots
        return self._laid[1]

    def _scales(self) -> tuple[MinuteScale, MinuteScale]:
        """Return both scales; they hold the same minutes, so that the line of the road map leads corner to corner."""
        least, most = bounds(
            minutes for leg in self._legs for minutes in (leg.expected_minutes, leg.driven_minutes) if minutes > 0.0
        )
        field = self._field()
        return MinuteScale(least, most, field.left(), field.right()), MinuteScale(
            least, most, field.bottom(), field.top()
        )

    def _field(self) -> QRectF:
        metrics = self.fontMetrics()
        left = metrics.horizontalAdvance("100") + 2 * _PAD + metrics.height()
        # The legend is as wide as the field under it: measured at another width, it would break into other lines.
        width = max(self.width() - left - 1.5 * _PAD, 40.0)
        top = 2 * _PAD + legend_height(self._samples(), width, self.font())
        below = 2 * metrics.height() + 2 * _PAD
        return QRectF(left, top, width, max(self.height() - top - below, 40.0))

    def _paint_field(self, painter: QPainter, across: MinuteScale, up: MinuteScale) -> None:
        field, colours, metrics = self._field(), self._colours, QFontMetricsF(self.font())
        painter.fillRect(field, QColor(colours.surface))
        for minutes in across.ticks():
            x, y, word = across.at(minutes), up.at(minutes), f"{minutes:g}"
            painter.setPen(QPen(QColor(colours.line), 1.0))
            painter.drawLine(QPointF(x, field.top()), QPointF(x, field.bottom()))
            painter.drawLine(QPointF(field.left(), y), QPointF(field.right(), y))
            painter.setPen(QColor(colours.quiet))
            wide = metrics.horizontalAdvance(word)
            painter.drawText(QPointF(x - wide / 2, field.bottom() + 3 + metrics.ascent()), word)
            painter.drawText(QPointF(field.left() - wide - 5, y + metrics.ascent() / 2 - 1), word)
        painter.setPen(QColor(colours.ink))
        below = QRectF(field.left(), field.bottom() + metrics.height() + 4, field.width(), metrics.height() + 2)
        painter.drawText(below, Qt.AlignmentFlag.AlignCenter, tr("expected, min"))
        painter.save()
        painter.translate(0, field.bottom())
        painter.rotate(-90)
        beside = QRectF(0, 1, field.height(), metrics.height() + 2)
        painter.drawText(beside, Qt.AlignmentFlag.AlignCenter, tr("recorded, min"))
        painter.restore()
        painter.setPen(QPen(QColor(colours.edge), 1.0))
        painter.drawRect(field)

    def _paint_lines(self, painter: QPainter, across: MinuteScale, up: MinuteScale) -> None:
        painter.save()
        painter.setClipRect(self._field())
        season = self._season
        if season is not None:
            band = QColor(self._colours.accent)
            band.setAlphaF(0.18)
            low, high = (_line(across, up, factor) for factor in (season.least, season.most))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(band)
            painter.drawPolygon(QPolygonF([*low, *reversed(high)]))
            painter.setPen(QPen(QColor(self._colours.accent), 2.0))
            painter.drawLine(*_line(across, up, season.after))
        painter.setPen(QPen(QColor(self._colours.quiet), 1.4, Qt.PenStyle.DashLine))
        painter.drawLine(*_line(across, up, 1.0))
        painter.restore()

    def _paint_legs(self, painter: QPainter) -> None:
        front, behind, inner = (QColor(getattr(self._colours, name)) for name in ("note", "edge", "surface"))
        marks = list(zip(self._legs, self._spots(), strict=True))
        for is_front, colour in ((False, behind), (True, front)):
            for leg, spot in marks:
                if self._is_in_front(leg) is is_front:
                    paint_mark_of(painter, spot, colour, inner, leg.name.kind)
        if self._chosen is not None and self._chosen < len(self._legs):
            painter.setPen(QPen(QColor(self._colours.focus), 2.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(self.place_of(self._chosen), _RING, _RING)

    def _is_in_front(self, leg: RecordedLeg) -> bool:
        return self._route in ("", leg.name.record.route)

    def _samples(self) -> tuple[Sample, ...]:
        colours, surface = self._colours, QColor(self._colours.surface)

        def mark(kind: LegKind) -> Sample:
            words = tr("point to point") if kind is LegKind.BETWEEN else tr("from or to home")
            return Sample(
                words, lambda painter, box: paint_mark_of(painter, box.center(), QColor(colours.note), surface, kind)
            )

        map_pen = QPen(QColor(colours.quiet), 1.4, Qt.PenStyle.DashLine)
        samples = [mark(LegKind.BETWEEN), mark(LegKind.OUT)]
        if self._route:
            samples.append(Sample(tr("other routes"), self._paint_other))
        samples += [Sample.line(tr("as expected"), map_pen)]
        if self._season is not None:
            words = tr("%1 times that", factor_words(self._season.after))
            samples.append(Sample.line(words, QPen(QColor(colours.accent), 2.0)))
        return tuple(samples)

    def _paint_other(self, painter: QPainter, box: QRectF) -> None:
        colours = self._colours
        paint_mark_of(painter, box.center(), QColor(colours.edge), QColor(colours.surface), LegKind.BETWEEN)

    def _description(self) -> str:
        if self._season is None:
            return tr("%1 drives.", len(self._legs))
        above = sum(leg.driven_minutes > leg.expected_minutes for leg in self._legs)
        return tr(
            "%1 drives, %2 of them longer than expected. The season's figure is %3, from %4 to %5. The list "
            "of drives below says each.",
            len(self._legs),
            above,
            factor_words(self._season.after),
            factor_words(self._season.least),
            factor_words(self._season.most),
        )


def paint_mark_of(painter: QPainter, middle: QPointF, colour: QColor, inner: QColor, kind: LegKind) -> None:
    """Paint a drive's mark: a disc from point to point, an open square from or to home."""
    if kind is LegKind.BETWEEN:
        painter.setPen(QPen(inner, 0.8))
        painter.setBrush(colour)
        painter.drawEllipse(middle, _MARK, _MARK)
    else:
        painter.setPen(QPen(colour, 1.6))
        painter.setBrush(inner)
        painter.drawRect(QRectF(middle.x() - _MARK, middle.y() - _MARK, 2 * _MARK, 2 * _MARK))


def _line(across: MinuteScale, up: MinuteScale, factor: float) -> tuple[QPointF, QPointF]:
    """Return the ends of the line on which drives take ``factor`` times what is expected; it is straight."""
    slope = (up.end - up.begin) / math.log(up.most / up.least) * math.log(factor)
    start = QPointF(across.begin, up.begin + slope)
    return start, QPointF(across.end, up.end + slope)
