"""The evening as one picture: the sky darkening over an hour scale, the light window, and what is done when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from planner.domain.light import Span, SunLine
from planner.domain.outing import Step, StepKind
from planner.printing import patterns
from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.times import LocalClock, Shown, minute_after, minute_before, nearest_minute
from planner.printing.twilight import Darkness, darkness_at, draw_darkness
from planner.printing.type_scale import SMALL, SMALL_BOLD

HALF_HOUR = dt.timedelta(minutes=30)
SKY_MM = 8.0
CLOCK_MM = 7.0
WINDOW_MM = 6.0
WORK_MM = 9.0
GUTTER_MM = 22.0

_FILLS: dict[StepKind, Callable[[Canvas, Box], None]] = {
    StepKind.DRIVE: patterns.bar,
    StepKind.SETUP: patterns.level,
    StepKind.HABITAT: patterns.dotted,
    StepKind.WAIT: patterns.empty,
    StepKind.COUNT: patterns.solid,
}


@dataclass(frozen=True, slots=True)
class Lane:
    """One variant of the outing: its window and its steps; named where there are two."""

    name: str
    spans: tuple[Span, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """From moments to millimetres across the page."""

    begin: dt.datetime
    end: dt.datetime
    left: float
    width: float

    def at(self, moment: dt.datetime) -> float:
        """Return the place of a moment, kept inside the scale."""
        share = (moment - self.begin) / (self.end - self.begin)
        return self.left + self.width * min(1.0, max(0.0, share))

    def shows(self, moment: dt.datetime) -> bool:
        """Whether the moment lies on the scale."""
        return self.begin <= moment <= self.end


def timeline_range(lanes: Sequence[Lane]) -> tuple[dt.datetime, dt.datetime]:
    """Return the scale's ends: full half hours round all that the lanes hold."""
    begin = min(lane.steps[0].start_utc for lane in lanes)
    end = max(moment for lane in lanes for moment in (lane.steps[-1].end_utc, *(s.close_utc for s in lane.spans)))
    return _half_hour_before(begin), _half_hour_before(end) + HALF_HOUR


def _half_hour_before(moment: dt.datetime) -> dt.datetime:
    return minute_before(moment).replace(minute=0 if moment.minute < 30 else 30)


def page_darkness(sun: SunLine, begin: dt.datetime, end: dt.datetime) -> Darkness:
    """Return the darkness along a page's width, from a beginning to an end."""
    return lambda share: darkness_at(sun, begin + (end - begin) * share)


def timeline(lanes: Sequence[Lane], sun: SunLine, clock: LocalClock, width: float) -> Block:
    """Return the picture of an outing; two lanes where the sky decides."""
    begin, end = timeline_range(lanes)
    gutter = GUTTER_MM if len(lanes) > 1 else 0.0
    lane_height = WINDOW_MM + WORK_MM + 4.0
    labels = _event_labels(Scale(begin, end, gutter, width - gutter), sun, clock)
    events_mm = max((label.level + 1 for label in labels), default=0) * SMALL.line + (1.5 if labels else 0.0)
    height = events_mm + SKY_MM + CLOCK_MM + len(lanes) * lane_height + SMALL.line + 5.0

    def paint(canvas: Canvas, box: Box) -> None:
        scale = Scale(begin, end, box.left + gutter, box.width - gutter)
        sky = Box(scale.left, box.top + events_mm, scale.width, SKY_MM)
        _paint_sky(canvas, sky, scale, sun)
        for label in labels:
            _paint_event(canvas, sky, label, box.left)
        _paint_hours(canvas, sky, scale, clock)
        top = sky.bottom + CLOCK_MM
        for lane in lanes:
            _paint_lane(canvas, Box(box.left, top, box.width, lane_height), lane, scale, clock)
            top += lane_height
        _paint_legend(canvas, Box(box.left, top + 1.0, box.width, SMALL.line), lanes)

    return Block(height, paint)


def _paint_sky(canvas: Canvas, sky: Box, scale: Scale, sun: SunLine) -> None:
    draw_darkness(canvas, sky, page_darkness(sun, scale.begin, scale.end))
    canvas.frame(sky, 0.4)


def _events(sun: SunLine) -> Iterator[tuple[str, dt.datetime]]:
    for name, moment in (
        ("nautical dawn", sun.nautical_dawn_utc),
        ("civil dawn", sun.civil_dawn_utc),
        ("sunrise", sun.sunrise_utc),
        ("sunset", sun.sunset_utc),
        ("civil dusk", sun.civil_dusk_utc),
        ("nautical dusk", sun.nautical_dusk_utc),
    ):
        if moment is not None:
            yield name, moment


@dataclass(frozen=True, slots=True)
class _EventLabel:
    """What is written over the sky, and how far up it must go to lie on no other."""

    words: str
    at: float
    left: float
    level: int


def _event_labels(scale: Scale, sun: SunLine, clock: LocalClock) -> list[_EventLabel]:
    labels: list[_EventLabel] = []
    ends = [-1.0, -1.0]
    for name, moment in _events(sun):
        if not scale.shows(moment):
            continue
        words = f"{name} {clock.show(nearest_minute(moment))}"
        width = SMALL.width(words)
        at = scale.at(moment)
        left = min(max(at - width / 2, scale.left), scale.left + scale.width - width)
        level = 0 if left >= ends[0] + 2.0 else 1
        ends[level] = left + width
        labels.append(_EventLabel(words, at, left, level))
    return labels


def _paint_event(canvas: Canvas, sky: Box, label: _EventLabel, left: float) -> None:
    baseline = sky.top - 1.4 - SMALL.descent - label.level * SMALL.line
    canvas.text((left + label.left, baseline), label.words, SMALL)
    canvas.line((left + label.at, baseline + SMALL.descent), (left + label.at, sky.bottom), 0.6)


def _hours(scale: Scale, clock: LocalClock) -> Iterator[tuple[dt.datetime, Shown]]:
    step = dt.timedelta(hours=1 if scale.end - scale.begin <= dt.timedelta(hours=8) else 2)
    first = clock.local(scale.begin)
    moment = scale.begin + dt.timedelta(minutes=(60 - first.minute) % 60)
    while moment <= scale.end:
        yield moment, clock.show(moment)
        moment += step


def _paint_hours(canvas: Canvas, sky: Box, scale: Scale, clock: LocalClock) -> None:
    for moment, shown in _hours(scale, clock):
        at = scale.at(moment)
        canvas.line((at, sky.bottom), (at, sky.bottom + 1.8), 0.4)
        width = SMALL_BOLD.width(str(shown))
        left = min(max(at - width / 2, sky.left), sky.right - width)
        canvas.text((left, sky.bottom + 2.0 + SMALL_BOLD.ascent), str(shown), SMALL_BOLD)


def _paint_lane(canvas: Canvas, box: Box, lane: Lane, scale: Scale, clock: LocalClock) -> None:
    if lane.name:
        canvas.text((box.left, box.top + WINDOW_MM + WORK_MM / 2 + 1.3), lane.name, SMALL_BOLD, width=GUTTER_MM - 1.0)
    for span in lane.spans:
        _paint_window(canvas, box.top, span, scale)
    _paint_window_words(canvas, box.top, lane.spans, scale, clock)
    middle = box.top + WINDOW_MM + 1.0
    for step in lane.steps:
        left, right = scale.at(step.start_utc), scale.at(step.end_utc)
        if right > left:
            _FILLS[step.kind](canvas, Box(left, middle, right - left, WORK_MM))


def _paint_window(canvas: Canvas, top: float, span: Span, scale: Scale) -> None:
    left, right = scale.at(span.open_utc), scale.at(span.close_utc)
    patterns.slanted(canvas, Box(left, top + 0.8, right - left, WINDOW_MM - 1.6))
    for at in (left, right):
        canvas.line((at, top), (at, top + WINDOW_MM + WORK_MM + 2.0), 0.5)


def _paint_window_words(canvas: Canvas, top: float, spans: Sequence[Span], scale: Scale, clock: LocalClock) -> None:
    """Set the windows' times before the first of them, or behind the last one, wherever there is room."""
    if not spans:
        return
    times = [f"{clock.show(minute_after(s.open_utc))}–{clock.show(minute_before(s.close_utc))}" for s in spans]
    words = f"light window {', '.join(times)}"
    left, right = scale.at(spans[0].open_utc), scale.at(spans[-1].close_utc)
    baseline = top + WINDOW_MM / 2 + SMALL_BOLD.cap / 2
    needed = SMALL_BOLD.width(words) + 2.0
    if scale.left + needed <= left:
        canvas.text((left - 1.5, baseline), words, SMALL_BOLD, align=Align.RIGHT)
    elif right + needed <= scale.left + scale.width:
        canvas.text((right + 1.5, baseline), words, SMALL_BOLD)
    else:
        _paint_label_over(canvas, (left + right) / 2, baseline, words)


def _paint_label_over(canvas: Canvas, middle: float, baseline: float, words: str) -> None:
    width = SMALL_BOLD.width(words) + 2.0
    canvas.fill(Box(middle - width / 2, baseline - SMALL_BOLD.ascent, width, SMALL_BOLD.line), white=True)
    canvas.text((middle, baseline), words, SMALL_BOLD, align=Align.CENTRE)


def _paint_legend(canvas: Canvas, box: Box, lanes: Sequence[Lane]) -> None:
    used = {step.kind for lane in lanes for step in lane.steps}
    left = box.left
    for kind in (kind for kind in StepKind if kind in used):
        middle = box.top + SMALL.ascent - SMALL.cap / 2
        _FILLS[kind](canvas, Box(left, middle - 1.7, 8.0, 3.4))
        canvas.text((left + 10.0, box.top + SMALL.ascent), kind.value, SMALL)
        left += 10.0 + SMALL.width(kind.value) + 8.0
