"""Evenings lost, what was given, the weakest routes, and what is asked of the board."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence

from planner.domain.reports.hours import Basis
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import LossKind, LostEvening, RouteChance, SeasonReport
from planner.printing.board.parts import paint_head, paint_share
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.setting import at_most_lines, elided
from planner.printing.times import short_date
from planner.printing.type_scale import BODY, SMALL, SMALL_BOLD

_BAR = 2.0
_LOSSES = {
    LossKind.CANCELLED: "cancelled by weather",
    LossKind.ROAD: "by a closed road",
    LossKind.SETUP: "set-up by weather",
    LossKind.WEATHER: "stopped by weather",
    LossKind.LIGHT: "out of light",
    LossKind.OTHER: "stopped otherwise",
}


def paint_lost(canvas: Canvas, box: Box, lost: Sequence[LostEvening], unknown_until: dt.date | None = None) -> None:
    """Paint how many evenings were lost or cut short, team by team, and why."""
    room = paint_head(canvas, box, "Evenings lost or cut short")
    counts = Counter(one.kind for one in lost)
    parts = [f"{counts[kind]} {words}" for kind, words in _LOSSES.items() if counts[kind]]
    said = ", ".join(parts) + "." if parts else "None."
    if unknown_until is not None:
        said += f" Not known up to {short_date(unknown_until)}."
    _paint_text(canvas, room, said)


def paint_given(canvas: Canvas, box: Box, report: SeasonReport) -> None:
    """Paint hours, kilometres, and driving beside a plan by hand."""
    room = paint_head(canvas, box, "Given by volunteers")
    _paint_text(canvas, room, " ".join(_given(report)))


def _given(report: SeasonReport) -> Iterator[str]:
    hours, saved = report.hours, report.saved
    recorded, planned = hours.hours(Basis.RECORDED), hours.hours(Basis.AS_PLANNED)
    yield f"{recorded:.0f} h recorded, {planned:.0f} h done as planned, {hours.hours(Basis.PLANNED):.0f} h to come;"
    yield f"{hours.km(past=True):.0f} km driven, {hours.km(past=False):.0f} km to come."
    yield saved.said_shortly


def paint_weakest(canvas: Canvas, box: Box, report: SeasonReport) -> None:
    """Paint the routes that the weather is least likely to let be completed, as many as there is room for."""
    room = paint_head(canvas, box, "Weakest routes")
    if report.chances is None:
        _paint_text(canvas, room, "No chance can be told: nothing is planned, or nothing is said of the weather.")
        return
    finished = {one.key.route for one in report.progress.standings} - {
        one.key.route for one in report.progress.standings if one.state is not VisitState.DONE
    }
    routes = [one for one in report.chances.routes if one.route not in finished]
    row = SMALL.line + _BAR + 1.0
    most = max(int(room.height / row), 1)
    top = room.top
    short = {one.key.route for one in report.progress.standings if one.state is VisitState.PARTLY}
    for one in routes[:most]:
        words = _chance_words(one, cut_short=one.route in short)
        baseline = top + SMALL.ascent
        canvas.text((room.right, baseline), words, SMALL, align=Align.RIGHT)
        canvas.text((room.left, baseline), one.title, SMALL, width=room.width - SMALL.width(words) - 2.0)
        paint_share(canvas, Box(room.left, top + SMALL.line, room.width, _BAR), one.complete)
        top += row
    if not routes:
        _paint_text(canvas, room, "Every route is complete.")


def _chance_words(one: RouteChance, *, cut_short: bool) -> str:
    """Return how likely a route is completed, or why it cannot be, in a few words."""
    if not one.whole:
        return "a visit has nobody"
    if cut_short:
        return "was cut short"
    if one.missed:
        return "past, no finished record"
    return f"{100 * one.complete:.0f} %{', in reserve' if one.past_words else ''}"


def paint_asked(canvas: Canvas, box: Box, report: SeasonReport) -> None:
    """Paint what is asked of the board in a frame, each request with its number; what does not fit is counted."""
    canvas.frame(box, 0.8)
    inner = box.inset(3.0, 2.0)
    canvas.text((inner.left, inner.top + BODY.ascent), "Asked of the board", SMALL_BOLD)
    top = inner.top + BODY.line + 0.5
    if not report.asked:
        canvas.text((inner.left, top + BODY.ascent), "Nothing is wanting today.", BODY)
    for number, words in enumerate(report.asked, start=1):
        lines = at_most_lines(words, SMALL, inner.width - 6.0, 2)
        left = len(report.asked) - number
        needed = len(lines) * SMALL.line + (SMALL.line if left else 0.0)
        if top + needed > inner.bottom + 0.01:
            more = f"and {left + 1} more, in the Reports room"
            canvas.text((inner.left, top + SMALL.ascent), elided(more, SMALL, inner.width), SMALL)
            return
        canvas.text((inner.left, top + SMALL.ascent), f"{number}.", SMALL_BOLD)
        canvas.lines((inner.left + 6.0, top), lines, SMALL)
        top += len(lines) * SMALL.line + 0.4


def _paint_text(canvas: Canvas, room: Box, words: str) -> None:
    most = max(int((room.height + 0.3) / SMALL.line), 1)
    canvas.lines((room.left, room.top), at_most_lines(words, SMALL, room.width, most), SMALL)
