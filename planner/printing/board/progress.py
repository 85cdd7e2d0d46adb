"""How far the visits have come, as a bar for each number of visit."""

from __future__ import annotations

from planner.domain.reports.progress import Progress, Tally, VisitState
from planner.printing.board.parts import (
    DONE,
    PARTLY,
    TO_COME,
    UNFILLED,
    UNRECORDED,
    Fill,
    paint_head,
    paint_legend,
    paint_stack,
)
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.type_scale import SMALL

_BAR = 5.5
_LEGEND = (
    ("done", DONE),
    ("partly", PARTLY),
    ("planned", TO_COME),
    ("not recorded", UNRECORDED),
    ("nobody", UNFILLED),
)


def paint_progress(canvas: Canvas, box: Box, progress: Progress) -> None:
    """Paint a bar for each number of visit, as many as there is room for, and what its fills mean."""
    room = paint_head(canvas, box, "Visits")
    top = paint_legend(canvas, room, _LEGEND) + 1.6
    row = SMALL.line + _BAR + 1.6
    most = max(int((room.bottom - top) / row), 1)
    shown = progress.by_visit if len(progress.by_visit) <= most else (progress.whole,)
    for tally in shown:
        _paint_tally(canvas, Box(room.left, top, room.width, row), tally)
        top += row


def _paint_tally(canvas: Canvas, box: Box, tally: Tally) -> None:
    baseline = box.top + SMALL.ascent
    done = f"{tally.count(VisitState.DONE)} of {tally.visits} done"
    canvas.text((box.left, baseline), tally.name, SMALL, width=box.width / 2)
    canvas.text((box.right, baseline), done, SMALL, align=Align.RIGHT)
    if tally.visits:
        paint_stack(canvas, Box(box.left, box.top + SMALL.line, box.width, _BAR), _parts(tally), tally.visits)


def _parts(tally: Tally) -> list[tuple[int, Fill]]:
    return [
        (tally.count(VisitState.DONE), DONE),
        (tally.count(VisitState.PARTLY), PARTLY),
        (tally.count(VisitState.PLANNED, VisitState.CONFIRMED), TO_COME),
        (tally.count(VisitState.UNRECORDED), UNRECORDED),
        (tally.count(VisitState.UNFILLED), UNFILLED),
    ]
