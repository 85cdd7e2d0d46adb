"""The picture of one outing: the sky over an hour scale, the light window, what is done when, and what is to spare."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPen, QPolygonF

from planner.desktop.look.colours import Colours
from planner.desktop.outing.block_fills import fill_block, number_block
from planner.desktop.outing.evening import Evening
from planner.desktop.outing.layout import LaneRows, Layout, due_words, leave_words
from planner.desktop.outing.sky_band import SkyBand, event_labels, paint_labels
from planner.desktop.outing.words import kind_words, spare_words, tr
from planner.domain.light import Span
from planner.domain.outing import Step, StepKind
from planner.printing.times import minute_after, minute_before

GRIP = 13.0
_EDGE = 2.4
"""Width of the two edges of the light window."""
_SHADE = QColor(20, 14, 40, 150)
"""Behind white lines in the sky, so that they are seen by day too."""
_KINDS = (StepKind.DRIVE, StepKind.SETUP, StepKind.HABITAT, StepKind.WAIT, StepKind.COUNT)


class Picture:
    """Paints one evening in one palette."""

    def __init__(self, evening: Evening, layout: Layout, colours: Colours) -> None:
        self._evening = evening
        self._layout = layout
        self._colours = colours

    def paint(self, painter: QPainter, strip: QImage) -> None:
        """Paint it all, from the sky down."""
        layout, evening = self._layout, self._evening
        self._paint_light(painter)
        SkyBand.over(evening.sun, layout.scale, layout.sky).paint(painter, strip)
        labels = event_labels(evening.sun, layout.scale, evening.clock, QFontMetricsF(painter.font()))
        paint_labels(painter, labels, layout.sky, layout.labels_top, self._colours)
        self._paint_hours(painter)
        for rows in layout.lanes:
            self._paint_lane(painter, rows)
        self._paint_legend(painter)

    def _paint_light(self, painter: QPainter) -> None:
        """Tint the ground under each light window, so that its hours are seen at once."""
        tint = QColor(self._colours.accent)
        tint.setAlpha(30 if self._colours.dark else 24)
        for rows in self._layout.lanes:
            for span in rows.lane.spans:
                left, right = self._across(span)
                painter.fillRect(
                    QRectF(left, rows.window.top(), right - left, rows.margin.bottom() - rows.window.top()), tint
                )

    def _paint_hours(self, painter: QPainter) -> None:
        layout, clock = self._layout, self._evening.clock
        metrics = QFontMetricsF(painter.font())
        for moment in layout.scale.hours(clock):
            at = layout.scale.at(moment)
            words = str(clock.show(moment))
            width = metrics.horizontalAdvance(words)
            left = min(max(at - width / 2, layout.scale.left), layout.scale.right - width)
            painter.setPen(QPen(QColor(self._colours.edge), 1.0))
            painter.drawLine(QPointF(at, layout.hours.top()), QPointF(at, layout.hours.top() + 5.0))
            painter.setPen(QColor(self._colours.quiet))
            painter.drawText(QPointF(left, layout.hours.top() + 6.0 + metrics.ascent()), words)

    def _paint_lane(self, painter: QPainter, rows: LaneRows) -> None:
        self._paint_name(painter, rows)
        for span in rows.lane.spans:
            self._paint_window(painter, rows, span)
        for step in rows.lane.outing.steps:
            self._paint_step(painter, rows, step)
        self._paint_margin(painter, rows)
        self._paint_flags(painter, rows)

    def _paint_name(self, painter: QPainter, rows: LaneRows) -> None:
        """Write the sky of the lane at the left, and the window's times over the window."""
        metrics, base = QFontMetricsF(painter.font()), rows.name.top() + QFontMetricsF(painter.font()).ascent()
        clock, taken = self._evening.clock, rows.name.left()
        if rows.lane.name:
            painter.setPen(QColor(self._colours.quiet))
            painter.drawText(QPointF(rows.name.left(), base), rows.lane.name)
            taken += metrics.horizontalAdvance(rows.lane.name) + 12.0
        several = len(rows.lane.spans) > 1
        for number, span in enumerate(rows.lane.spans, start=1):
            words = tr("light for run {number}") if several else tr("light window")
            opens, closes = clock.show(minute_after(span.open_utc)), clock.show(minute_before(span.close_utc))
            text = f"{words.format(number=number)} {opens}–{closes}"
            width = metrics.horizontalAdvance(text)
            left = max(taken, min(sum(self._across(span)) / 2 - width / 2, rows.name.right() - width))
            painter.setPen(QColor(self._colours.accent))
            painter.drawText(QPointF(left, base), text)
            taken = left + width + 12.0

    def _paint_window(self, painter: QPainter, rows: LaneRows, span: Span) -> None:
        left, right = self._across(span)
        accent = QColor(self._colours.accent)
        painter.fillRect(QRectF(left, rows.window.top(), right - left, rows.window.height()), accent)
        for at, inward in ((left, 1.0), (right, -1.0)):
            painter.setPen(QPen(accent, _EDGE))
            painter.drawLine(QPointF(at, rows.window.top()), QPointF(at, rows.margin.bottom()))
            self._paint_edge(painter, at, inward, first=rows is self._layout.lanes[0])

    def _paint_edge(self, painter: QPainter, at: float, inward: float, *, first: bool) -> None:
        """Draw an edge of the window through the sky: strong for the first lane, broken for the other sky's."""
        sky = self._layout.sky
        top, bottom = QPointF(at, sky.top()), QPointF(at, sky.bottom())
        white = QPen(QColor("#ffffff"), _EDGE)
        if first:
            painter.setPen(QPen(_SHADE, _EDGE + 1.8))
            painter.drawLine(top, bottom)
        else:
            white = QPen(QColor(255, 255, 255, 200), 1.4)
            white.setDashPattern([3.0, 3.0])
        painter.setPen(white)
        painter.drawLine(top, bottom)
        if first:
            self._paint_gate(painter, top, inward)

    def _paint_gate(self, painter: QPainter, spot: QPointF, inward: float) -> None:
        """Mark an edge of the window in the sky with a pennant that points into it."""
        pennant = QPolygonF([spot, spot + QPointF(9.0 * inward, 4.5), spot + QPointF(0.0, 9.0)])
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(_SHADE, 1.0))
        painter.setBrush(QColor("#ffffff"))
        painter.drawPolygon(pennant)
        painter.restore()

    def _paint_step(self, painter: QPainter, rows: LaneRows, step: Step) -> None:
        box = self.block_box(rows, step)
        if box.width() <= 0:
            return
        stands = rows.lane.stands(step)
        fill_block(painter, box, step.kind, self._colours, stands=stands)
        if step.kind in (StepKind.COUNT, StepKind.HABITAT, StepKind.SETUP) and step.point is not None:
            number_block(painter, box, step.point, step.kind, self._colours, stands=stands)

    def block_box(self, rows: LaneRows, step: Step) -> QRectF:
        """Return where a step lies; a count that does not stand has slipped down."""
        left, right = self._layout.scale.at(step.start_utc), self._layout.scale.at(step.end_utc)
        gap = 0.8 if step.kind is not StepKind.DRIVE and right - left > 4 else 0.0
        slip = 0.0 if rows.lane.stands(step) else 5.0
        return QRectF(left, rows.blocks.top() + slip, right - left - gap, rows.blocks.height())

    def _paint_margin(self, painter: QPainter, rows: LaneRows) -> None:
        """Draw what lies between the end of the last count and the closing, with the minutes beside it."""
        binding, margin = rows.lane.binding, rows.lane.outing.margin_minutes
        if binding is None or margin is None:
            return
        colours = self._colours
        colour = QColor(colours.broken if margin < 0 else colours.good)
        ends, closes = self._layout.scale.at(binding[0].end_utc), self._layout.scale.at(binding[1].close_utc)
        down = rows.margin.center().y()
        painter.setPen(QPen(colour, 2.0))
        painter.drawLine(QPointF(ends, down), QPointF(closes, down))
        for at in (ends, closes):
            painter.drawLine(QPointF(at, down - 4.5), QPointF(at, down + 4.5))
        metrics = QFontMetricsF(painter.font())
        painter.setPen(QColor(colours.ink))
        text = spare_words(margin)
        # To the left, under the counts, nothing else is drawn.
        left = min(ends, closes) - 8.0 - metrics.horizontalAdvance(text)
        if left < rows.margin.left():
            left = max(ends, closes) + 8.0
        painter.drawText(QPointF(left, down + metrics.capHeight() / 2), text)

    def _paint_flags(self, painter: QPainter, rows: LaneRows) -> None:
        """Write departure and return under the ends of the lane, and draw the grip of the departure."""
        outing, clock, scale = rows.lane.outing, self._evening.clock, self._layout.scale
        metrics = QFontMetricsF(painter.font())
        base = rows.flags.top() + 4.0 + metrics.ascent()
        leave, due = scale.at(outing.leave_home_utc), scale.at(outing.due_home_utc)
        first, last = leave_words(outing, clock), due_words(outing, clock)
        pen = QPen(QColor(self._colours.ink), 1.6)
        for at in (leave, due):
            painter.setPen(pen)
            painter.drawLine(QPointF(at, rows.blocks.top() - 2), QPointF(at, rows.flags.top() + 4.0))
        if rows.lane is self._evening.lanes[0]:
            self._paint_grips(painter, rows, leave)
        left = min(leave + 4.0, rows.flags.right() - metrics.horizontalAdvance(first))
        right = min(due + 4.0, rows.flags.right() - metrics.horizontalAdvance(last))
        painter.setPen(QColor(self._colours.ink))
        painter.drawText(QPointF(left, base), first)
        painter.drawText(QPointF(max(right, left + metrics.horizontalAdvance(first) + 12.0), base), last)

    def _paint_grips(self, painter: QPainter, rows: LaneRows, leave: float) -> None:
        """Draw what can be taken hold of: the departure, the end of the first count, and where the plan leaves."""
        scale = self._layout.scale
        if self._evening.tried and abs(scale.at(self._evening.latest_utc) - leave) > 1.0:
            self._paint_planned(painter, rows, scale.at(self._evening.latest_utc))
        for spot in self.grips(rows):
            self._paint_grip(painter, spot)

    def _paint_planned(self, painter: QPainter, rows: LaneRows, at: float) -> None:
        """Draw where the plan leaves, and say so where the words of the window leave room."""
        pen = QPen(QColor(self._colours.edge), 1.4)
        pen.setDashPattern([2.0, 2.0])
        painter.setPen(pen)
        painter.drawLine(QPointF(at, rows.window.top()), QPointF(at, rows.blocks.bottom() + 6.0))
        metrics = QFontMetricsF(painter.font())
        time = self._evening.clock.show(minute_before(self._evening.latest_utc))
        words = tr("planned {time}").format(time=time)
        opens = [self._across(span)[0] for span in rows.lane.spans[:1]]
        if all(at + metrics.horizontalAdvance(words) < left for left in opens) and not rows.lane.name:
            painter.setPen(QColor(self._colours.quiet))
            painter.drawText(QPointF(at, rows.name.top() + metrics.ascent()), words)

    def grips(self, rows: LaneRows) -> Iterator[QPointF]:
        """Yield where the grips are: the departure, then the end of the first count where there is one."""
        down = rows.blocks.center().y()
        yield QPointF(self._layout.scale.at(rows.lane.outing.leave_home_utc), down)
        counts = rows.lane.outing.of_kind(StepKind.COUNT)
        if counts:
            box = self.block_box(rows, counts[0])
            yield QPointF(box.right(), box.bottom())

    def _paint_grip(self, painter: QPainter, spot: QPointF) -> None:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self._colours.ink), 1.5))
        painter.setBrush(QColor(self._colours.surface))
        painter.drawEllipse(spot, GRIP / 2, GRIP / 2)
        painter.setBrush(QColor(self._colours.ink))
        painter.setPen(Qt.PenStyle.NoPen)
        for side in (-1.0, 1.0):
            tip = spot + QPointF(4.3 * side, 0.0)
            painter.drawPolygon(QPolygonF([tip, spot + QPointF(1.2 * side, -2.8), spot + QPointF(1.2 * side, 2.8)]))
        painter.restore()

    def _paint_legend(self, painter: QPainter) -> None:
        steps = [(lane, step) for lane in self._evening.lanes for step in lane.outing.steps]
        used = {step.kind for _, step in steps}
        entries = [(kind, True, kind_words(kind)) for kind in _KINDS if kind in used]
        if any(not lane.stands(step) for lane, step in steps):
            entries.append((StepKind.COUNT, False, tr("count, too late")))
        metrics, left = QFontMetricsF(painter.font()), self._layout.legend.left()
        for kind, stands, words in entries:
            box = QRectF(left, self._layout.legend.top() + 2.0, 26.0, metrics.height() - 2.0)
            fill_block(painter, box, kind, self._colours, stands=stands)
            painter.setPen(QColor(self._colours.quiet))
            painter.drawText(QPointF(box.right() + 6.0, self._layout.legend.top() + metrics.ascent()), words)
            left = box.right() + 6.0 + metrics.horizontalAdvance(words) + 20.0
        hint = tr("drag, or keys: ← → departure, ↑ ↓ count")
        start = self._layout.legend.right() - metrics.horizontalAdvance(hint)
        if start > left:
            painter.setPen(QColor(self._colours.quiet))
            painter.drawText(QPointF(start, self._layout.legend.top() + metrics.ascent()), hint)

    def _across(self, span: Span) -> tuple[float, float]:
        return self._layout.scale.at(span.open_utc), self._layout.scale.at(span.close_utc)
