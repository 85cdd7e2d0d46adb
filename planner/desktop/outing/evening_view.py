"""The picture of one outing as a widget: looked at, and taken hold of to try a departure or another length of count."""

from __future__ import annotations

import math
from enum import Enum

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QHelpEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.outing.evening import MINUTE, Evening, HourScale
from planner.desktop.outing.layout import SIDE, LaneRows, Layout
from planner.desktop.outing.picture import GRIP, Picture
from planner.desktop.outing.sky_band import sky_strip
from planner.desktop.outing.words import minutes_words, step_times, step_words, summary
from planner.domain.outing import Step, StepKind

COUNT_STEP = 0.5
"""Minutes by which the length of a count is tried."""
FAR_STEP = 10
"""Minutes by which the departure is moved with Shift."""
_REACH = GRIP
"""How near the mouse must be to a grip to take hold of it."""


class Grip(Enum):
    """What the mouse has hold of."""

    DEPARTURE = 0
    COUNT = 1


class EveningView(QWidget):
    """Shows an evening. It changes nothing itself: it says what somebody wishes to try."""

    departure_wished = Signal(int)
    """Minutes after the latest departure as planned; negative: before it."""
    departure_nudged = Signal(int)
    """Minutes by which the departure is to be moved."""
    count_wished = Signal(float)
    """Minutes of each count."""
    count_nudged = Signal(float)
    reset_wished = Signal()
    step_pointed = Signal(object)
    """The Step of the first lane that was clicked."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._evening: Evening | None = None
        self._layout: Layout | None = None
        self._strip = QImage()
        self._held: Grip | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("The outing over its hours"))
        self.setMinimumSize(480, 240)

    @property
    def evening(self) -> Evening | None:
        """What is shown."""
        return self._evening

    def show_evening(self, evening: Evening) -> None:
        """Show an evening; while the mouse has hold of something, the hour scale stays as it is."""
        self._evening = evening
        self.setAccessibleDescription(" ".join(summary(lane, evening.clock) for lane in evening.lanes))
        self._lay_out()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.update()

    def spot_of(self, grip: Grip) -> QPointF | None:
        """Return where a grip is; None where there is nothing to take hold of."""
        grips = self._grips()
        return grips.get(grip)

    def sizeHint(self) -> QSize:  # Qt's name
        """Return the height that the lanes need."""
        return QSize(900, self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:  # Qt's name
        """Lay out anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._lay_out()

    def changeEvent(self, event: QEvent) -> None:  # Qt's name
        """Lay out anew where the type has changed."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.LanguageChange):
            self._lay_out()

    def paintEvent(self, _event: QPaintEvent) -> None:  # Qt's name
        """Paint the picture, and the focus round it."""
        painter = QPainter(self)
        if self._evening is not None and self._layout is not None:
            Picture(self._evening, self._layout, self._colours).paint(painter, self._strip)
        if self.hasFocus():
            painter.setPen(QPen(QColor(self._colours.focus), 2.0))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # Qt's name
        """Move the departure with Left and Right (ten minutes with Shift), the count with Up and Down."""
        far = FAR_STEP if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        match event.key():
            case Qt.Key.Key_Left:
                self.departure_nudged.emit(-far)
            case Qt.Key.Key_Right:
                self.departure_nudged.emit(far)
            case Qt.Key.Key_Up:
                self.count_nudged.emit(COUNT_STEP)
            case Qt.Key.Key_Down:
                self.count_nudged.emit(-COUNT_STEP)
            case Qt.Key.Key_Escape | Qt.Key.Key_Home:
                self.reset_wished.emit()
            case _:
                super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # Qt's name
        """Take hold of a grip, or point at a step."""
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        self._held = self._grip_at(event.position())
        found = self._step_at(event.position())
        if self._held is None and found is not None:
            self.step_pointed.emit(found[1])

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # Qt's name
        """Try what the grip is dragged to; show what could be taken hold of."""
        if self._held is None:
            near = self._grip_at(event.position()) is not None
            self.setCursor(Qt.CursorShape.SizeHorCursor if near else Qt.CursorShape.ArrowCursor)
        else:
            self._drag(self._held, event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # Qt's name
        """Let go, and let the hour scale fit again."""
        if event.button() is Qt.MouseButton.LeftButton and self._held is not None:
            self._held = None
            self._lay_out()

    def focusInEvent(self, event: QFocusEvent) -> None:  # Qt's name
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # Qt's name
        """Take the focus away."""
        super().focusOutEvent(event)
        self.update()

    def event(self, event: QEvent) -> bool:
        """Say what the step under the mouse is."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self._tip_at(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def _drag(self, grip: Grip, across: float) -> None:
        if self._evening is None or self._layout is None:
            return
        moment = self._layout.scale.moment(across)
        if grip is Grip.DEPARTURE:
            self.departure_wished.emit(round((moment - self._evening.latest_utc) / MINUTE))
            return
        starts = self._evening.lanes[0].outing.of_kind(StepKind.COUNT)[0].start_utc
        self.count_wished.emit(max(COUNT_STEP, round((moment - starts) / MINUTE / COUNT_STEP) * COUNT_STEP))

    def _lay_out(self) -> None:
        if self._evening is None:
            return
        begin, end = self._evening.range()
        if self._held is not None and self._layout is not None:
            begin, end = self._layout.scale.begin, self._layout.scale.end
        scale = HourScale(begin, end, SIDE, max(1.0, self.width() - 2 * SIDE))
        before, self._layout = self._layout, Layout.of(self._evening, scale, self.font())
        if before is None or before.scale != scale or self._strip.isNull():
            pixels = round(scale.width * self.devicePixelRatioF())
            self._strip = sky_strip(self._evening.sun, scale, pixels)
        self.setMinimumHeight(math.ceil(self._layout.height))
        self.updateGeometry()
        self.update()

    def _grips(self) -> dict[Grip, QPointF]:
        if self._evening is None or self._layout is None:
            return {}
        picture = Picture(self._evening, self._layout, self._colours)
        return dict(zip(Grip, picture.grips(self._layout.lanes[0]), strict=False))

    def _grip_at(self, spot: QPointF) -> Grip | None:
        near = {
            grip: (where - spot).manhattanLength()
            for grip, where in self._grips().items()
            if abs(where.x() - spot.x()) <= _REACH and abs(where.y() - spot.y()) <= _REACH
        }
        return min(near, key=lambda grip: near[grip], default=None)

    def _step_at(self, spot: QPointF) -> tuple[LaneRows, Step] | None:
        if self._evening is None or self._layout is None:
            return None
        picture = Picture(self._evening, self._layout, self._colours)
        return next(
            (
                (rows, step)
                for rows in self._layout.lanes
                for step in rows.lane.outing.steps
                if picture.block_box(rows, step).contains(spot)
            ),
            None,
        )

    def _tip_at(self, spot: QPointF) -> str:
        grip, found = self._grip_at(spot), self._step_at(spot)
        if grip is Grip.DEPARTURE:
            return self.tr("Drag to try another departure. Keys: Left and Right, with Shift ten minutes.")
        if grip is Grip.COUNT:
            return self.tr("Drag to try longer or shorter counts. Keys: Up and Down.")
        if found is None or self._evening is None:
            return ""
        rows, step = found
        begin, end = step_times(rows.lane, step, self._evening.clock)
        return f"{begin}–{end}  {step_words(rows.lane, step)}, {minutes_words(round(step.minutes))}"
