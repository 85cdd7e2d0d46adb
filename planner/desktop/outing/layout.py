"""Where everything lies in the picture of an outing."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from planner.desktop.outing.evening import Evening, HourScale, Lane
from planner.desktop.outing.sky_band import event_labels
from planner.desktop.outing.words import due_time, leave_time, spare_words, tr
from planner.domain.outing import Outing
from planner.printing.times import LocalClock

SIDE = 18.0
SKY, LOW_SKY = 92.0, 66.0
"""Height of the sky over one lane, and over two."""
WINDOW = 8.0
BLOCK = 40.0
_APART = 8.0
"""Between two lanes."""


@dataclass(frozen=True, slots=True)
class LaneRows:
    """Where the rows of one lane lie, from above."""

    lane: Lane
    name: QRectF
    window: QRectF
    blocks: QRectF
    margin: QRectF
    flags: QRectF


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything lies in a picture of a width."""

    scale: HourScale
    labels_top: float
    sky: QRectF
    hours: QRectF
    lanes: tuple[LaneRows, ...]
    legend: QRectF
    height: float

    @classmethod
    def of(cls, evening: Evening, scale: HourScale, font: QFont) -> Layout:
        """Lay out a picture; its height follows from the type and the number of lanes."""
        metrics = QFontMetricsF(font)
        line = metrics.height()
        labels = event_labels(evening.sun, scale, evening.clock, metrics)
        top = 4.0 + (max((label.level for label in labels), default=0) + 1) * line + 8.0

        def row(height: float) -> QRectF:
            nonlocal top
            box = QRectF(scale.left, top, scale.width, height)
            top += height
            return box

        sky, hours = row(SKY if len(evening.lanes) == 1 else LOW_SKY), row(line + 10.0)
        lanes = []
        for number, lane in enumerate(evening.lanes):
            row(_APART if number else 0.0)
            name = row(line + 4.0 if lane.name or lane.spans else 0.0)
            window, _, blocks = row(WINDOW), row(4.0), row(BLOCK)
            flags = row(line + 8.0)
            margin = QRectF(flags)
            if lane.binding is None:
                margin.setHeight(4.0)
            elif _collide(lane, evening.clock, scale, metrics):
                flags = row(line + 8.0)
            lanes.append(LaneRows(lane, name, window, blocks, margin, flags))
        row(6.0)
        legend = row(line + 4.0)
        return cls(scale, 4.0, sky, hours, tuple(lanes), legend, top + 4.0)


def _collide(lane: Lane, clock: LocalClock, scale: HourScale, metrics: QFontMetricsF) -> bool:
    """Whether the words of the margin would lie on those of departure or return, if they stood in one row."""
    binding, outing = lane.binding, lane.outing
    if binding is None or outing.margin_minutes is None:
        return False
    ends, closes = scale.at(binding[0].end_utc), scale.at(binding[1].close_utc)
    spare = metrics.horizontalAdvance(spare_words(outing.margin_minutes))
    leaves = scale.at(outing.leave_home_utc) + metrics.horizontalAdvance(leave_words(outing, clock)) + 8.0
    due = scale.at(outing.due_home_utc)
    if due + metrics.horizontalAdvance(due_words(outing, clock)) + 4.0 > scale.right:
        due = scale.right - metrics.horizontalAdvance(due_words(outing, clock))
    return min(ends, closes) - 16.0 - spare < leaves or max(ends, closes) + 6.0 > due


def leave_words(outing: Outing, clock: LocalClock) -> str:
    """Return the words under the departure."""
    return tr("leave home {time}").format(time=leave_time(outing, clock))


def due_words(outing: Outing, clock: LocalClock) -> str:
    """Return the words under the return."""
    return tr("due back {time}").format(time=due_time(outing, clock))
